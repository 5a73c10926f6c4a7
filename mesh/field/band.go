package field

import (
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
	foot    []int32   // of each voxel
	found   [3][]crossing
	loose   []piece // as they come
	pieces  []piece // by cell: those of the i-th cell that has any are pieces[cells[i]:cells[i+1]]
	cells   []int32
	order   []uint64 // of the pieces: cell and number among the loose ones
	spare   []uint64
	feet    []foot
	sorted  []foot
	t       triangle
}

// nearSurface measures exact distances in the band, and finds where scan lines
// cross faces.
func (b *build) nearSurface() error {
	b.foot = large.Make[int32](len(b.f.Distance))
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
	b.footStart = make([]int32, len(feet)+1)
	for s, list := range feet {
		b.footStart[s+1] = b.footStart[s] + int32(len(list))
	}
	b.feet = large.Make[foot](int(b.footStart[len(feet)]))
	for s, list := range feet {
		copy(b.feet[b.footStart[s]:], list)
	}
	return err
}

// begin takes up slab s.
func (w *slabWork) begin(b *build, s int) {
	w.build = b
	w.z0, w.z1 = b.slab(s)
	plane := b.f.N[0] * b.f.N[1]
	w.squared, w.foot = b.f.Distance[w.z0*plane:w.z1*plane], b.foot[w.z0*plane:w.z1*plane]
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
	for i, id := range w.foot {
		if id >= 0 {
			w.squared[i], w.foot[i] = sqrt32(w.squared[i]), int32(len(w.sorted))
			w.sorted = append(w.sorted, w.feet[id])
		}
	}
	return slices.Clone(w.sorted)
}
