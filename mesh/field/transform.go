package field

import "math"

// across carries the nearest seed to every voxel: along each row and each column
// of a plane, then from plane to plane, where the distances of the voxels beyond
// the band are measured from it.
//
// Along a line of voxels, the squared distances to the seeds are parabolas of the
// same width, so that each rules one interval of the line. Sources: Felzenszwalb
// & Huttenlocher, "Distance transforms of sampled functions", Theory of Computing
// 8, 2012; Maurer, Qi & Raghavan, "A linear time algorithm for computing exact
// Euclidean distance transforms of binary images in arbitrary dimensions", IEEE
// PAMI 25(2), 2003 (from memory). Seeds here lie anywhere in their voxels, so a
// row passes on the seed that is nearest to the row, not to the other rows; this
// costs a fraction of a voxel, see TestDistanceToSphere.
func (b *build) across() error {
	b.seedStart = make([]int32, len(b.seeds)+1)
	for s, list := range b.seeds {
		b.seedStart[s+1] = b.seedStart[s] + int32(len(list))
	}
	b.allSeeds = make([]seed, 0, b.seedStart[len(b.seeds)])
	for s, list := range b.seeds {
		b.allSeeds = append(b.allSeeds, list...)
		b.seeds[s] = nil
	}
	n := b.f.N
	if err := b.each(n[2], func(z int) { b.acrossPlane(z) }); err != nil {
		return err
	}
	blocks := (n[0] + rowBlock - 1) / rowBlock
	return b.each(n[1]*blocks, func(i int) {
		x := i % blocks * rowBlock
		b.acrossPlanes(x, min(n[0], x+rowBlock), i/blocks)
	})
}

// rowBlock is how many voxels of a row are worked on together: a line of cache.
const rowBlock = 16

// acrossPlane spreads seeds along the rows, then the columns of plane z.
func (b *build) acrossPlane(z int) {
	nx, ny := b.f.N[0], b.f.N[1]
	near := b.near[z*nx*ny : (z+1)*nx*ny]
	first := b.seedStart[z/slabVoxels]
	e := newEnvelope(max(nx, ny))
	for y := range ny {
		row := near[y*nx : (y+1)*nx]
		e.start(nx)
		for _, id := range row {
			if id >= 0 {
				s := &b.allSeeds[id+first]
				dy, dz := float64(s.y)-float64(y), float64(s.z)-float64(z)
				e.add(float64(s.x), dy*dy+dz*dz, id+first)
			}
		}
		e.each(func(id int32, from, to int) {
			for x := from; x < to; x++ {
				row[x] = id
			}
		})
	}
	for x := range nx {
		e.start(ny)
		for i := x; i < len(near); i += nx {
			if id := near[i]; id >= 0 {
				s := &b.allSeeds[id]
				dx, dz := float64(s.x)-float64(x), float64(s.z)-float64(z)
				e.add(float64(s.y), dx*dx+dz*dz, id)
			}
		}
		e.each(func(id int32, from, to int) {
			for y := from; y < to; y++ {
				near[y*nx+x] = id
			}
		})
	}
}

// acrossPlanes spreads seeds along z for the voxels x0 ≤ x < x1 of rows y, and
// measures the voxels beyond the band.
func (b *build) acrossPlanes(x0, x1, y int) {
	nx, ny, nz := b.f.N[0], b.f.N[1], b.f.N[2]
	e := newEnvelope(nz)
	var t triangle
	for x := x0; x < x1; x++ {
		e.start(nz)
		for z := range nz {
			if id := b.near[(z*ny+y)*nx+x]; id >= 0 {
				s := &b.allSeeds[id]
				dx, dy := float64(s.x)-float64(x), float64(s.y)-float64(y)
				e.add(float64(s.z), dx*dx+dy*dy, id)
			}
		}
		e.each(func(id int32, from, to int) {
			for z := from; z < to; z++ {
				if i := (z*ny+y)*nx + x; b.face[i] < 0 {
					b.f.Distance[i] = float32(b.beyond(&t, vec{float64(x), float64(y), float64(z)}, b.allSeeds[id]))
				}
			}
		})
	}
}

// beyond returns the distance of a voxel beyond the band: to the face of its
// seed, or to the face that is nearest to a voxel in the band on the way there,
// which sees the near side of a wall thinner than a voxel.
func (b *build) beyond(t *triangle, p vec, s seed) float64 {
	q := vec{float64(s.x), float64(s.y), float64(s.z)}
	d := q.to(p)
	on := q.plus(1.25/math.Sqrt(d.dot(d)), d)
	c := b.corners(s.face)
	t.set(c[0], c[1], c[2])
	_, best := t.nearest(p)
	x, y, z := int(on.x+0.5), int(on.y+0.5), int(on.z+0.5)
	if face := b.face[(z*b.f.N[1]+y)*b.f.N[0]+x]; face >= 0 && face != s.face {
		c := b.corners(face)
		t.set(c[0], c[1], c[2])
		if _, d2 := t.nearest(p); d2 < best {
			best = d2
		}
	}
	return math.Sqrt(best)
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
