package field

import (
	"math/bits"

	"pourwright/mesh/large"
)

// across measures the voxels beyond the band. It carries the nearest foot to
// every other voxel of every other row and plane, the coarse voxels: along each row
// and each column of a plane, then from plane to plane. Between them distances are
// filled in (see fill).
//
// Along a line of voxels, the squared distances to the feet are parabolas of the
// same width, so that each rules one interval of the line. Sources: Felzenszwalb
// & Huttenlocher, "Distance transforms of sampled functions", Theory of Computing
// 8, 2012; Maurer, Qi & Raghavan, "A linear time algorithm for computing exact
// Euclidean distance transforms of binary images in arbitrary dimensions", IEEE
// PAMI 25(2), 2003 (from memory). Here the feet are used that lie in their own
// voxel, anywhere in it; so a row passes on the foot that is nearest to the row,
// not to other rows, which is why improve looks again.
func (b *build) across() error {
	n, c := b.f.N, b.coarse()
	b.near = large.Make[int32](c[0] * c[1] * n[2])
	scratch := make([]planeWork, workers())
	if err := b.each(n[2], func(worker, z int) { scratch[worker].acrossPlane(b, z) }); err != nil {
		return err
	}
	b.spots = large.Make[spot](c[0] * c[1] * c[2])
	blocks := rowBlocks(c[0])
	err := b.each(c[1]*blocks, func(_, i int) {
		x := i % blocks * rowBlock
		b.acrossPlanes(x, min(c[0], x+rowBlock), i/blocks)
	})
	if err != nil {
		return err
	}
	for odd := range 2 {
		if err := b.each(c[2], func(_, z int) { b.share(z, odd) }); err != nil {
			return err
		}
	}
	return b.each((n[2]+1)/2, func(_, k int) { b.fill(k) })
}

// coarse returns how many coarse voxels there are along each axis: the last is the
// last of the grid or just beyond it.
func (b *build) coarse() [3]int {
	n := b.f.N
	return [3]int{n[0]/2 + 1, n[1]/2 + 1, n[2]/2 + 1}
}

// rowBlock is how many voxels of a row are worked on together: a line of cache.
const rowBlock = 16

func rowBlocks(n int) int { return (n + rowBlock - 1) / rowBlock }

// planeWork carries feet within a plane.
type planeWork struct {
	*build
	e    *envelope
	rows []int32 // feet carried to the coarse voxels of every row
}

// acrossPlane carries feet along the rows, then the columns of plane z.
func (w *planeWork) acrossPlane(b *build, z int) {
	nx, ny := b.coarse()[0], b.f.N[1]
	if w.build == nil {
		*w = planeWork{build: b, e: newEnvelope(max(b.f.N[0], ny) + 1), rows: make([]int32, nx*ny)}
	}
	for y := range ny {
		w.acrossRow(w.rows[y*nx:(y+1)*nx], y, z)
	}
	for x := range nx {
		w.acrossColumn(x, z)
	}
}

// ownVoxel is half a voxel and a little for rounding.
const ownVoxel = 0.501

// acrossRow carries feet along one row to its coarse voxels.
func (w *planeWork) acrossRow(near []int32, y, z int) {
	w.e.start()
	for i, s := range w.stripesOf(y, z) {
		id := int32(s.before)
		for left := s.bits; left != 0; left &= left - 1 {
			x := i*stripeVoxels + bits.TrailingZeros32(left)
			p := &w.feet[id]
			dx, dy, dz := p.x-float32(x), p.y-float32(y), p.z-float32(z)
			if max(abs(dx), abs(dy), abs(dz)) <= ownVoxel {
				w.e.add(float64(p.x), float64(dy)*float64(dy)+float64(dz)*float64(dz), id)
			}
			id++
		}
	}
	if w.e.count == 0 {
		for x := range near {
			near[x] = -1
		}
	}
	w.e.each(len(near), func(x int, id int32) { near[x] = id })
}

// acrossColumn carries feet along the coarse column x of plane z to its coarse
// voxels.
func (w *planeWork) acrossColumn(x, z int) {
	c := w.coarse()
	w.e.start()
	for y := range w.f.N[1] {
		if id := w.rows[y*c[0]+x]; id >= 0 {
			p := &w.feet[id]
			dx, dz := float64(p.x)-float64(2*x), float64(p.z)-float64(z)
			w.e.add(float64(p.y), dx*dx+dz*dz, id)
		}
	}
	near := w.near[z*c[0]*c[1]:][:c[0]*c[1]]
	if w.e.count == 0 {
		for y := range c[1] {
			near[y*c[0]+x] = -1
		}
	}
	w.e.each(c[1], func(y int, id int32) { near[y*c[0]+x] = id })
}

// acrossPlanes carries feet along z for the coarse voxels x0 ≤ x < x1 of rows y, and
// finds the point of the surface nearest to each.
func (b *build) acrossPlanes(x0, x1, y int) {
	c := b.coarse()
	e := newEnvelope(b.f.N[2] + 1)
	for x := x0; x < x1; x++ {
		e.start()
		for z := range b.f.N[2] {
			if id := b.near[(z*c[1]+y)*c[0]+x]; id >= 0 {
				p := &b.feet[id]
				dx, dy := float64(p.x)-float64(2*x), float64(p.y)-float64(2*y)
				e.add(float64(p.z), dx*dx+dy*dy, id)
			}
		}
		e.each(c[2], func(z int, id int32) {
			l := b.lookFrom(point{float32(2 * x), float32(2 * y), float32(2 * z)})
			_, in := b.bandAt(l.at)
			if in >= 0 {
				id = in
			}
			l.try(id)
			if in < 0 && (x+y+z)&1 == 0 {
				l.improve()
			}
			b.spots[(z*c[1]+y)*c[0]+x] = spot{l.way(), l.id}
		})
	}
}

// share tries for every other coarse voxel of plane z, odd ones or even ones, what was
// found for those beside it, which are the others. What is found for an odd one is
// improved only where those beside it do not show that it is near enough (see amid).
func (b *build) share(z, odd int) {
	c := b.coarse()
	beside := [3]struct {
		step int
		half point
	}{{1, point{x: 2}}, {c[0], point{y: 2}}, {c[0] * c[1], point{z: 2}}}
	for y := range c[1] {
		for x := (y + z + odd) & 1; x < c[0]; x += 2 {
			at := (z*c[1]+y)*c[0] + x
			own := b.spots[at]
			best, low := own.way.dot(own.way), float32(0)
			if best <= bandVoxels*bandVoxels {
				continue
			}
			before := best
			for axis, i := range [3]int{x, y, z} {
				if i == 0 || i == c[axis]-1 {
					continue
				}
				s, t, half := b.spots[at-beside[axis].step], b.spots[at+beside[axis].step], beside[axis].half
				low = max(low, (s.way.dot(s.way)+t.way.dot(t.way))/2-half.dot(half))
				s.way, t.way = half.to(s.way), t.way.plus(half)
				if d2 := s.way.dot(s.way); d2 < best {
					best, own = d2, s
				}
				if d2 := t.way.dot(t.way); d2 < best {
					best, own = d2, t
				}
			}
			d := sqrt32(best)
			if odd == 0 && best == before || odd == 1 && low >= (d-shareVoxels)*(d-shareVoxels) {
				b.spots[at] = own
				continue
			}
			l := b.lookFrom(point{float32(2 * x), float32(2 * y), float32(2 * z)})
			l.try(own.foot)
			l.improve()
			b.spots[at] = spot{l.way(), l.id}
		}
	}
}

// shareVoxels is how far off the distance of a coarse voxel may be that is not improved.
const shareVoxels = 0.1
