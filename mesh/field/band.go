package field

import (
	"math/bits"
	"slices"

	"pourwright/mesh/large"
)

// foot is the point of the surface nearest to the centre of a voxel in the band.
type foot struct {
	point
	face int32 // −1 when it is so small that the point will do
}

// smallVoxels is the longest edge up to which any point of a face does for far
// distances.
const smallVoxels = 1

// slabWork measures the band in one slab.
type slabWork struct {
	*build
	z0, z1  int
	squared []float32 // distances in voxels, squared, until stand takes the root; of the slab
	foot    []int32   // of each voxel, among the feet
	found   [3][]crossing
	loose   []piece // as they come
	pieces  []piece // by cell: those of the i-th cell that has any are pieces[cells[i]:cells[i+1]]
	cells   []int32
	order   []uint64 // of the pieces: cell and number among the loose ones
	spare   []uint64
	feet    []foot // as they come
	sorted  []foot // by voxel
	t       triangle
}

// nearSurface measures exact distances in the band, and finds where scan lines
// cross faces.
func (b *build) nearSurface() error {
	b.stripes = large.Make[stripe](b.stripesOfRow() * b.f.N[1] * b.f.N[2])
	feet := make([][]foot, b.slabs())
	for axis := range b.found {
		b.found[axis] = make([][]crossing, b.slabs())
	}
	crews := make([]slabWork, workers())
	err := b.each(b.slabs(), func(worker, s int) {
		w := &crews[worker]
		w.begin(b, s)
		for _, f := range b.slabFaces[b.slabStart[s]:b.slabStart[s+1]] {
			t := b.m.Faces[f]
			p0, p1, p2 := b.points[t[0]], b.points[t[1]], b.points[t[2]]
			w.cast(p0, p1, p2, s)
			if isSmall(p0, p1, p2) {
				f = -1
			}
			w.cut(p0, p1, p2, f)
		}
		w.flush()
		feet[s] = w.stand()
		for axis, list := range w.found {
			b.found[axis][s] = slices.Clone(list)
		}
	})
	if err != nil {
		return err
	}
	return b.gather(feet)
}

// gather puts the feet of all slabs into one list.
func (b *build) gather(feet [][]foot) error {
	start := make([]int, len(feet)+1)
	for s, list := range feet {
		start[s+1] = start[s] + len(list)
	}
	b.feet = large.Make[foot](start[len(feet)])
	return b.each(len(feet), func(_, s int) {
		copy(b.feet[start[s]:], feet[s])
		z0, z1 := b.slab(s)
		stripes := b.stripes[z0*b.f.N[1]*b.stripesOfRow() : z1*b.f.N[1]*b.stripesOfRow()]
		for i := range stripes {
			stripes[i].before += uint32(start[s])
		}
	})
}

// begin takes up slab s.
func (w *slabWork) begin(b *build, s int) {
	w.build = b
	w.z0, w.z1 = b.slab(s)
	plane := b.f.N[0] * b.f.N[1]
	w.squared, w.foot = b.f.Distance[w.z0*plane:w.z1*plane], resized(w.foot, (w.z1-w.z0)*plane)
	for i := range w.squared {
		w.squared[i], w.foot[i] = bandVoxels*bandVoxels, noFoot
	}
	w.feet = w.feet[:0]
	if most := min(pieceBatch, int(b.slabStart[s+1]-b.slabStart[s])); most > cap(w.loose) {
		w.loose = large.Make[piece](most)[:0]
	}
	for axis := range w.found {
		w.found[axis] = w.found[axis][:0]
	}
}

// isSmall says whether any point of a face will do for far distances.
func isSmall(a, b, c point) bool {
	ab, bc, ca := a.to(b), b.to(c), c.to(a)
	return max(ab.dot(ab), bc.dot(bc), ca.dot(ca)) <= smallVoxels*smallVoxels
}

// stand sorts the feet of the slab by voxel, and replaces squared distances by
// distances.
func (w *slabWork) stand() []foot {
	w.sorted = w.sorted[:0]
	nx, ny, stripes := w.f.N[0], w.f.N[1], w.stripesOfRow()
	for row := range (w.z1 - w.z0) * ny {
		squared, line := w.squared[row*nx:][:nx], w.stripes[(w.z0*ny+row)*stripes:][:stripes]
		for x, id := range w.foot[row*nx:][:nx] {
			s := &line[x/stripeVoxels]
			if x%stripeVoxels == 0 {
				s.before = uint32(len(w.sorted))
			}
			if id >= 0 {
				s.bits |= 1 << (x % stripeVoxels)
				squared[x] = sqrt32(squared[x])
				w.sorted = append(w.sorted, w.feet[id])
			}
		}
	}
	return slices.Clone(w.sorted)
}

// stripe is a stretch of voxels of a row: which of them are in the band, and how many
// feet there are before theirs. Feet are numbered as the voxels are.
type stripe struct{ bits, before uint32 }

// stripeVoxels is how many voxels a stripe has.
const stripeVoxels = 32

// stripesOfRow is how many stripes a row has.
func (b *build) stripesOfRow() int { return (b.f.N[0] + stripeVoxels - 1) / stripeVoxels }

// stripesOf returns the stripes of a row.
func (b *build) stripesOf(y, z int) []stripe {
	n := b.stripesOfRow()
	return b.stripes[(z*b.f.N[1]+y)*n:][:n]
}

// has says whether voxel x of the row is in the band.
func has(row []stripe, x int) bool {
	return row[x/stripeVoxels].bits>>(x%stripeVoxels)&1 != 0
}

// footOf returns the foot of a voxel in the grid, −1 when it is not in the band.
func (b *build) footOf(x, y, z int) int32 {
	s := &b.stripes[(z*b.f.N[1]+y)*b.stripesOfRow()+x/stripeVoxels]
	below := uint32(1)<<(x%stripeVoxels) - 1
	if s.bits&(below+1) == 0 {
		return -1
	}
	return int32(s.before) + int32(bits.OnesCount32(s.bits&below))
}
