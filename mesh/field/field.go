// Package field answers "what is inside, and how far from the surface,
// anywhere?" on a regular grid around a mesh that need not be closed.
package field

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/large"
)

// Choice says how fine a field is made.
type Choice struct {
	VoxelMM      float64 // side of a voxel; 0: chosen from Cells
	Cells        int     // voxels along the longest side of the mesh, 0 = 128
	MarginVoxels int     // voxels around the mesh on every side, 0 = 2
	// MemoryBytes is what making the field may take, 0 = 1 GiB; voxels grow to fit.
	// For a mesh with rims a mesh.Tree comes on top.
	MemoryBytes int64
}

// Field is the signed distance to a surface at the centres of cubic voxels. It
// is never changed after New.
type Field struct {
	Origin   r3.Vec // centre of voxel (0, 0, 0), mm, frame of the mesh
	VoxelMM  float64
	N        [3]int    // voxels along x, y, z
	Distance []float32 // mm, negative inside; x fastest, then y

	volume, volumeError float64 // mm³
}

// New measures the field of m, on all processors and with the same digits on
// any number of them. Inside is where the winding number is at least 1/2 in
// magnitude. Distances are exact within bandVoxels of the surface and good to half
// a voxel beyond. progress may be nil.
func New(ctx context.Context, m *mesh.Mesh, c Choice, progress func(done, total int64)) (*Field, error) {
	f, err := layOut(m, c)
	if err != nil {
		return nil, err
	}
	b := &build{crew: crew{ctx: ctx, progress: progress}, m: m, f: f}
	for _, step := range []func() error{b.place, b.sortIntoSlabs, b.nearSurface, b.across, b.through, b.sides, b.integrate} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// build is a field in the making.
type build struct {
	crew
	m      *mesh.Mesh
	f      *Field
	points []point  // vertices, in voxels from the centre of voxel 0
	hashes []uint64 // of the points
	closed bool     // no rim: windings are whole numbers

	slabStart []int32 // faces near slab s are slabFaces[slabStart[s]:slabStart[s+1]]
	slabFaces []int32
	stripes   []stripe        // of the rows, one after the other
	near      []int32         // the foot carried to each coarse voxel of every plane; −1 for none
	spots     []spot          // of the coarse voxels
	feet      []foot          // of the voxels in the band, in order
	found     [3][][]crossing // by axis and slab
	lines     [3]lineSet
	winding   []float32 // of each voxel of a mesh that is not closed
}

// layOut chooses the grid.
func layOut(m *mesh.Mesh, c Choice) (*Field, error) {
	if len(m.Faces) == 0 {
		return nil, errors.New("the mesh has no faces, so there is no surface to measure from")
	}
	box := m.Bounds()
	size := r3.Sub(box.Max, box.Min)
	longest := max(size.X, size.Y, size.Z)
	if !(longest > 0) || math.IsInf(longest, 0) {
		return nil, errors.New("the mesh has no size or corners that are not numbers; remove those and try again")
	}
	margin := c.MarginVoxels
	if margin <= 0 {
		margin = 2
	}
	voxel := c.VoxelMM
	if !(voxel > 0) {
		cells := c.Cells
		if cells <= 0 {
			cells = 128
		}
		voxel = longest / float64(cells)
	}
	voxel = min(voxel, longest/leastCells)
	limit := c.MemoryBytes
	if limit <= 0 {
		limit = 1 << 30
	}
	f, area := &Field{}, m.Area()
	for {
		f.fit(box, voxel, margin)
		if bytesFor(f.N, m, area/(voxel*voxel)) <= float64(limit) {
			break
		}
		voxel *= 1.02
		if voxel*leastCells > longest {
			return nil, errors.New("a field of this mesh does not fit into the memory allowed; allow more or reduce the mesh")
		}
	}
	f.Distance = large.Make[float32](f.N[0] * f.N[1] * f.N[2])
	return f, nil
}

// leastCells is the coarsest grid worth making.
const leastCells = 8

// askew is how far the grid is moved along each axis, voxels. Were it in the
// middle of a part that is symmetric, lines on both sides would miss alike, and no
// comparison of them would show it.
var askew = [3]float64{0.19, -0.31, 0.11}

// fit puts the voxels around the box.
func (f *Field) fit(box r3.Box, voxel float64, margin int) {
	f.VoxelMM = voxel
	along := func(axis int, lo, hi float64) (int, float64) {
		// A side that is a whole number of voxels must not get one more from rounding.
		n := max(1, math.Ceil((hi-lo)/voxel-1e-9)) + 2*float64(margin)
		n = min(n, math.MaxInt32)
		return int(n), (lo+hi)/2 - ((n-1)/2+askew[axis])*voxel
	}
	f.N[0], f.Origin.X = along(0, box.Min.X, box.Max.X)
	f.N[1], f.Origin.Y = along(1, box.Min.Y, box.Max.Y)
	f.N[2], f.Origin.Z = along(2, box.Min.Z, box.Max.Z)
}

// bytesFor estimates the memory New takes at its peak for a mesh of that area in
// square voxels, on a few processors. It does not ask how many there are, so that
// voxels are alike everywhere.
func bytesFor(n [3]int, m *mesh.Mesh, area float64) float64 {
	const (
		perVoxel  = 4 + 5 + 7                     // distance; stripe, near, spot, feet of slabs; turns and winding
		perSquare = 2*16*1.75 + 2*16*2*bandVoxels // crossings along three axes and feet, twice
		perVertex = 12 + 8                        // point, hash
		perFace   = 8                             // in slabs
		perPiece  = 2 * (68 + 8)                  // loose and sorted, and their order
		batches   = 4                             // of pieces at the same time
	)
	vertices, faces := float64(len(m.Vertices)), float64(len(m.Faces))
	pieces := min(batches*pieceBatch, 1.6*(faces+2*area))
	return float64(n[0])*float64(n[1])*float64(n[2])*perVoxel + area*perSquare +
		vertices*perVertex + faces*perFace + pieces*perPiece
}

// At returns the distance at p, mm, by linear interpolation between the eight
// voxels around it. Outside the grid it is the distance at the nearest place in
// the grid plus the way there.
func (f *Field) At(p r3.Vec) float64 {
	q := r3.Scale(1/f.VoxelMM, r3.Sub(p, f.Origin))
	x, i, ox := between(q.X, f.N[0])
	y, j, oy := between(q.Y, f.N[1])
	z, k, oz := between(q.Z, f.N[2])
	out := f.VoxelMM * math.Sqrt(ox*ox+oy*oy+oz*oz)
	at := (k*f.N[1]+j)*f.N[0] + i
	row := func(at int) float64 {
		return float64(f.Distance[at])*(1-x) + float64(f.Distance[at+1])*x
	}
	plane := func(at int) float64 { return row(at)*(1-y) + row(at+f.N[0])*y }
	return plane(at)*(1-z) + plane(at+f.N[0]*f.N[1])*z + out
}

// between splits a coordinate into a voxel and the fraction to the next one, and
// says how far outside the grid it is.
func between(x float64, n int) (t float64, i int, out float64) {
	inside := min(max(x, 0), float64(n-1))
	i = min(int(inside), n-2)
	return inside - float64(i), i, x - inside
}
