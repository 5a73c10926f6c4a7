package field

import (
	"math"
	"math/bits"

	"pourwright/mesh/large"
)

const (
	// bandVoxels is how far from the surface distances are exact: two voxels and a
	// little for rounding.
	bandVoxels = 2.02
	// slabVoxels is how many planes of voxels are worked on at a time.
	slabVoxels = 8
	// chunk is how many vertices or faces make one task.
	chunk = 1 << 15
)

// point is a place in voxels from the centre of voxel 0. Rounding to 24 bits
// moves it by less than a ten-thousandth of a voxel; corners in the same place
// stay so.
type point struct{ x, y, z float32 }

func chunksOf(n int) int { return (n + chunk - 1) / chunk }

func (b *build) slabs() int { return (b.f.N[2] + slabVoxels - 1) / slabVoxels }

// slab returns the planes of slab s.
func (b *build) slab(s int) (z0, z1 int) {
	return s * slabVoxels, min((s+1)*slabVoxels, b.f.N[2])
}

// place turns the vertices into voxel coordinates.
func (b *build) place() error {
	n := len(b.m.Vertices)
	b.points, b.hashes = large.Make[point](n), large.Make[uint64](n)
	o, scale := b.f.Origin, 1/b.f.VoxelMM
	return b.each(chunksOf(n), func(_, c int) {
		for i := c * chunk; i < min(n, (c+1)*chunk); i++ {
			v := b.m.Vertices[i]
			p := point{float32((v.X - o.X) * scale), float32((v.Y - o.Y) * scale), float32((v.Z - o.Z) * scale)}
			b.points[i], b.hashes[i] = p, p.hash()
		}
	})
}

// hash scatters the bits of a point. Source of the finaliser: Steele, Lea &
// Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014 (from
// memory).
func (p point) hash() uint64 {
	// Adding 0 makes −0 into 0.
	xy := uint64(math.Float32bits(p.x+0))<<32 | uint64(math.Float32bits(p.y+0))
	return scatter(scatter(xy) + uint64(math.Float32bits(p.z+0)))
}

func scatter(h uint64) uint64 {
	h += 0x9e3779b97f4a7c15
	h = (h ^ h>>30) * 0xbf58476d1ce4e5b9
	h = (h ^ h>>27) * 0x94d049bb133111eb
	return h ^ h>>31
}

// edge gives the edge from a to b a number that is random but for its sign: the
// edge from b to a has the negative. Summed over all faces the numbers cancel
// when every edge is run as often one way as the other, and else, but for one
// chance in about 2⁶³, they do not.
func edge(a, b uint64) uint64 {
	return a*bits.RotateLeft64(b, 32) - b*bits.RotateLeft64(a, 32)
}

// sortIntoSlabs lists the faces near each slab, ascending, and finds whether
// the mesh is closed.
func (b *build) sortIntoSlabs() error {
	chunks, slabs := chunksOf(len(b.m.Faces)), b.slabs()
	counts, rims := make([]int32, chunks*slabs), make([]uint64, chunks)
	err := b.each(chunks, func(_, c int) {
		mine := counts[c*slabs : (c+1)*slabs]
		for f := c * chunk; f < min(len(b.m.Faces), (c+1)*chunk); f++ {
			t := b.m.Faces[f]
			h0, h1, h2 := b.hashes[t[0]], b.hashes[t[1]], b.hashes[t[2]]
			rims[c] += edge(h0, h1) + edge(h1, h2) + edge(h2, h0)
			first, last := b.slabsOf(t)
			for s := first; s <= last; s++ {
				mine[s]++
			}
		}
	})
	if err != nil {
		return err
	}
	rim := uint64(0)
	for _, r := range rims {
		rim += r
	}
	b.closed, b.hashes = rim == 0, nil
	b.slabStart = make([]int32, slabs+1)
	at := int32(0)
	for s := range slabs {
		b.slabStart[s] = at
		for c := range chunks {
			counts[c*slabs+s], at = at, at+counts[c*slabs+s]
		}
	}
	b.slabStart[slabs] = at
	b.slabFaces = large.Make[int32](int(at))
	err = b.each(chunks, func(_, c int) {
		next := counts[c*slabs : (c+1)*slabs]
		for f := c * chunk; f < min(len(b.m.Faces), (c+1)*chunk); f++ {
			first, last := b.slabsOf(b.m.Faces[f])
			for s := first; s <= last; s++ {
				b.slabFaces[next[s]] = int32(f)
				next[s]++
			}
		}
	})
	b.total = int64(b.tasks())
	return err
}

// tasks is how many there are from here on.
func (b *build) tasks() int {
	n := b.f.N
	c := b.coarse()
	sum := 2*b.slabs() + n[2] + c[1]*rowBlocks(c[0]) + 2*c[2] + (n[2]+1)/2 + len(n)
	if b.closed {
		return sum + n[2] + chunksOf(len(b.m.Faces))
	}
	return sum + n[2] + n[1] + 2*blocksOf(n[1])*blocksOf(n[2])
}

// slabsOf returns the slabs within the band of a face.
func (b *build) slabsOf(t [3]int32) (first, last int) {
	z0, z1, z2 := b.points[t[0]].z, b.points[t[1]].z, b.points[t[2]].z
	first = max(0, int(min(z0, z1, z2)-bandVoxels)) / slabVoxels
	last = min(b.f.N[2]-1, int(max(z0, z1, z2)+bandVoxels)) / slabVoxels
	return first, last
}
