package field

import (
	"math/bits"

	"pourwright/mesh/large"
)

// across measures the voxels beyond the band. It carries the nearest foot to
// every other voxel of every other row and plane, the coarse voxels: along each row
// and each column of a plane, then from plane to plane. In between, distances are
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
// finds a point of the surface near to each; for even voxels, those whose coordinates
// add up to an even number, the nearest.
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
			b.spots[(z*c[1]+y)*c[0]+x] = b.spotOf(2*x, 2*y, 2*z, id, (x+y+z)&1 == 0)
		})
	}
}

// spotOf returns the nearest point of the surface to a voxel, from a foot that is near.
func (b *build) spotOf(x, y, z int, foot int32, improve bool) spot {
	l := b.lookFrom(point{float32(x), float32(y), float32(z)})
	if _, own := b.bandAt(l.at); own >= 0 {
		l.try(own)
		return spot{l.way(), own}
	}
	l.try(foot)
	if improve {
		l.improve()
	}
	return spot{l.way(), l.id}
}

// shareVoxels is how far off the distance of an odd coarse voxel may be that is left
// alone, were those of the even ones exact.
const shareVoxels = 0.1

// share lets the even or the odd coarse voxels of plane z take what was found for those
// beside them, which are all odd or all even, and improves it; for odd ones only
// where their distance may else be too far off.
func (b *build) share(z, odd int) {
	c := b.coarse()
	for y := range c[1] {
		for x := (y + z + odd) & 1; x < c[0]; x += 2 {
			own := &b.spots[(z*c[1]+y)*c[0]+x]
			if own.way.dot(own.way) <= bandVoxels*bandVoxels {
				continue
			}
			best, low := b.beside(own, x, y, z)
			d := sqrt32(best.way.dot(best.way))
			if odd == 0 && best != *own || odd == 1 && low < (d-shareVoxels)*(d-shareVoxels) {
				best = b.spotOf(2*x, 2*y, 2*z, best.foot, true)
			}
			*own = best
		}
	}
}

// beside returns the nearest point that was found for a coarse voxel and those on both
// sides of it along each axis, and what the square of its distance is at least (see
// fill).
func (b *build) beside(own *spot, x, y, z int) (best spot, low float32) {
	c := b.coarse()
	at, shortest := (z*c[1]+y)*c[0]+x, own.way.dot(own.way)
	best = *own
	steps := [3]int{1, c[0], c[0] * c[1]}
	halves := [3]point{{x: 2}, {y: 2}, {z: 2}}
	for axis, i := range [3]int{x, y, z} {
		if i == 0 || i == c[axis]-1 {
			continue
		}
		s, t, half := b.spots[at-steps[axis]], b.spots[at+steps[axis]], halves[axis]
		low = max(low, (s.way.dot(s.way)+t.way.dot(t.way))/2-half.dot(half))
		s.way, t.way = half.to(s.way), half.plus(t.way)
		if d2 := s.way.dot(s.way); d2 < shortest {
			best, shortest = s, d2
		}
		if d2 := t.way.dot(t.way); d2 < shortest {
			best, shortest = t, d2
		}
	}
	return best, low
}
