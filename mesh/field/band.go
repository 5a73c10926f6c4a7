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
	foot    []int32   // faces, until stand makes them feet
	found   [3][]crossing
	loose   []piece // as they come
	pieces  []piece // by cell: those of the i-th cell that has any are pieces[cells[i]:cells[i+1]]
	cells   []int32
	order   []uint64 // of the pieces: cell and number among the loose ones
	spare   []uint64
	feet    []foot
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
	if most := min(pieceBatch, int(b.slabStart[s+1]-b.slabStart[s])); most > cap(w.loose) {
		w.loose = large.Make[piece](most)[:0]
	}
	for axis := range w.found {
		w.found[axis] = w.found[axis][:0]
	}
}

// stand lists the feet of the slab, and replaces the faces of voxels by them and
// squared distances by distances.
func (w *slabWork) stand() []foot {
	w.feet = w.feet[:0]
	i := 0
	for z := w.z0; z < w.z1; z++ {
		for y := range w.f.N[1] {
			for x := range w.f.N[0] {
				if face := w.foot[i]; face >= 0 {
					c := w.corners(face)
					w.t.set(c[0], c[1], c[2])
					if max(w.t.abab, w.t.acac, w.t.bcbc) <= smallVoxels*smallVoxels {
						face = -1
					}
					q, _ := w.t.nearest(vec{float64(x), float64(y), float64(z)})
					w.squared[i], w.foot[i] = sqrt32(w.squared[i]), int32(len(w.feet))
					w.feet = append(w.feet, foot{point{float32(q.x), float32(q.y), float32(q.z)}, face})
				}
				i++
			}
		}
	}
	return slices.Clone(w.feet)
}
