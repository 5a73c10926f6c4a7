package field

import (
	"math"

	"pourwright/mesh/large"
)

// across carries the nearest foot to every voxel: along each row and each column
// of a plane, then from plane to plane, where the distances of the voxels beyond
// the band are measured from it.
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
	n := b.f.N
	b.near = large.Make[int32](len(b.f.Distance))
	if err := b.each(n[2], func(_, z int) { b.acrossPlane(z) }); err != nil {
		return err
	}
	blocks := rowBlocks(n[0])
	return b.each(n[1]*blocks, func(_, i int) {
		x := i % blocks * rowBlock
		b.acrossPlanes(x, min(n[0], x+rowBlock), i/blocks)
	})
}

// rowBlock is how many voxels of a row are worked on together: a line of cache.
const rowBlock = 16

func rowBlocks(n int) int { return (n + rowBlock - 1) / rowBlock }

// acrossPlane carries feet along the rows, then the columns of plane z.
func (b *build) acrossPlane(z int) {
	nx, ny := b.f.N[0], b.f.N[1]
	near := b.near[z*nx*ny : (z+1)*nx*ny]
	e := newEnvelope(max(nx, ny))
	for y := range ny {
		b.acrossRow(e, near[y*nx:(y+1)*nx], y, z)
	}
	for x := range nx {
		e.start(ny)
		for i := x; i < len(near); i += nx {
			if id := near[i]; id >= 0 {
				p := &b.feet[id]
				dx, dz := float64(p.x)-float64(x), float64(p.z)-float64(z)
				e.add(float64(p.y), dx*dx+dz*dz, id)
			}
		}
		e.each(func(id int32, from, to int) {
			for y := from; y < to; y++ {
				near[y*nx+x] = id
			}
		})
	}
}

// ownVoxel is half a voxel and a little for rounding.
const ownVoxel = 0.501

// acrossRow carries feet along one row.
func (b *build) acrossRow(e *envelope, near []int32, y, z int) {
	nx := len(near)
	first := b.footStart[z/slabVoxels]
	e.start(nx)
	for x, id := range b.foot[(z*b.f.N[1]+y)*nx:][:nx] {
		near[x] = -1
		if id >= 0 {
			p := &b.feet[id+first]
			dx, dy, dz := p.x-float32(x), p.y-float32(y), p.z-float32(z)
			if max(abs(dx), abs(dy), abs(dz)) <= ownVoxel {
				e.add(float64(p.x), float64(dy)*float64(dy)+float64(dz)*float64(dz), id+first)
			}
		}
	}
	e.each(func(id int32, from, to int) {
		for x := from; x < to; x++ {
			near[x] = id
		}
	})
}

// acrossPlanes carries feet along z for the voxels x0 ≤ x < x1 of rows y, and
// measures the voxels beyond the band.
func (b *build) acrossPlanes(x0, x1, y int) {
	nx, ny, nz := b.f.N[0], b.f.N[1], b.f.N[2]
	e := newEnvelope(nz)
	found := make([]*foot, nz+1) // in the column before, then in this one
	for x := x0; x < x1; x++ {
		e.start(nz)
		for z := range nz {
			if id := b.near[(z*ny+y)*nx+x]; id >= 0 {
				p := &b.feet[id]
				dx, dy := float64(p.x)-float64(x), float64(p.y)-float64(y)
				e.add(float64(p.z), dx*dx+dy*dy, id)
			}
		}
		e.each(func(id int32, from, to int) {
			for z := from; z < to; z++ {
				i := (z*ny+y)*nx + x
				if b.foot[i] >= 0 {
					found[z] = nil
					continue
				}
				l := look{at: point{float32(x), float32(y), float32(z)}, best: math.MaxFloat32}
				l.try(&b.feet[id])
				for _, f := range found[max(0, z-1) : z+2] {
					l.try(f)
				}
				b.improve(&l)
				found[z] = l.foot
				b.f.Distance[i] = b.finish(&l)
			}
		})
	}
}

// look is the search for the foot nearest to a voxel.
type look struct {
	at   point
	foot *foot
	away point   // from the foot
	best float32 // squared distance
}

// try takes f if it is nearer.
func (l *look) try(f *foot) bool {
	if f == nil {
		return false
	}
	v := f.to(l.at)
	if d2 := v.dot(v); d2 < l.best {
		l.foot, l.away, l.best = f, v, d2
		return true
	}
	return false
}

const (
	// lookVoxels is how far from a foot improve looks for a better one: as far as
	// the voxel there is as a rule still in the band.
	lookVoxels = 1.35
	// stepVoxels is how far it steps at most along the surface, and looks is how
	// often.
	stepVoxels = 3
	looks      = 4
	// goodVoxels is the error it leaves alone.
	goodVoxels = 0.02
)

// improve looks for a nearer foot: at the voxel of the band on the way to the one
// it has, which finds the near side of walls thinner than a voxel, then step by
// step along the surface, since a row passes on feet that are nearest to the row
// only.
func (b *build) improve(l *look) {
	for range looks {
		t := lookVoxels / sqrt32(l.best)
		at, f := b.bandAt(point{l.foot.x + t*l.away.x, l.foot.y + t*l.away.y, l.foot.z + t*l.away.z})
		if f == nil {
			return
		}
		l.try(f)
		n, v := f.to(at), f.to(l.at)
		n2 := n.dot(n)
		if n2 < 0.25 {
			return
		}
		h := v.dot(n) / n2
		s := point{v.x - h*n.x, v.y - h*n.y, v.z - h*n.z}
		s2 := s.dot(s)
		if s2*s2 <= 4*goodVoxels*goodVoxels*l.best {
			return
		}
		along, up := min(1, stepVoxels/sqrt32(s2)), 1/sqrt32(n2)
		_, f = b.bandAt(point{f.x + along*s.x + up*n.x, f.y + along*s.y + up*n.y, f.z + along*s.z + up*n.z})
		if !l.try(f) {
			return
		}
	}
}

// bandAt returns the centre of the voxel at p and its foot, nil when it is not in
// the band.
func (b *build) bandAt(p point) (point, *foot) {
	x, y, z := int(p.x+0.5), int(p.y+0.5), int(p.z+0.5)
	if x < 0 || y < 0 || z < 0 || x >= b.f.N[0] || y >= b.f.N[1] || z >= b.f.N[2] {
		return point{}, nil
	}
	id := b.foot[(z*b.f.N[1]+y)*b.f.N[0]+x]
	if id < 0 {
		return point{}, nil
	}
	return point{float32(x), float32(y), float32(z)}, &b.feet[id+b.footStart[z/slabVoxels]]
}

// finish returns the distance to the foot that was found, or to its face if that
// is large.
func (b *build) finish(l *look) float32 {
	if l.foot.face >= 0 {
		c := b.corners(l.foot.face)
		var t triangle
		t.set(c[0], c[1], c[2])
		_, d2 := t.nearest(l.at.vec())
		l.best = float32(d2)
	}
	return sqrt32(l.best)
}

// envelope is the lower envelope of parabolas over the integers of a line.
type envelope struct {
	n, count int
	at, key  []float64 // place of the lowest point; height there plus its square
	id       []int32
	from     []int32 // first integer where it is the lowest
}

func newEnvelope(n int) *envelope {
	return &envelope{at: make([]float64, n), key: make([]float64, n), id: make([]int32, n), from: make([]int32, n+1)}
}

func (e *envelope) start(n int) { e.n, e.count = n, 0 }

// add adds a parabola whose lowest point is not left of those before. Where two
// are equal the first wins.
func (e *envelope) add(at, height float64, id int32) {
	key, from := height+at*at, 0
	for e.count > 0 {
		last := e.count - 1
		apart := at - e.at[last]
		if apart > 0 {
			x := (key - e.key[last]) / (2 * apart)
			if x >= float64(e.n-1) {
				return
			}
			from = 0
			if x >= 0 {
				from = int(x) + 1
			}
			if from > int(e.from[last]) {
				break
			}
		} else if key >= e.key[last] {
			return
		}
		e.count--
		from = 0
	}
	e.at[e.count], e.key[e.count], e.id[e.count], e.from[e.count] = at, key, id, int32(from)
	e.count++
}

// each visits the intervals, left to right.
func (e *envelope) each(visit func(id int32, from, to int)) {
	e.from[e.count] = int32(e.n)
	for k := range e.count {
		visit(e.id[k], int(e.from[k]), int(e.from[k+1]))
	}
}
