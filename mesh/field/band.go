package field

import "math"

// seed is a point of the surface from which far distances are measured: the
// nearest one to the centre of the voxel it lies in.
type seed struct {
	x, y, z float32
	face    int32
}

// pieceVoxels is the radius above which a face is split, so that the voxels
// around each piece are few.
const pieceVoxels = 1.5

// slabWork measures the band in one slab.
type slabWork struct {
	*build
	z0, z1   int
	distance []float32 // voxels; of the slab
	face     []int32
	t        triangle
	found    [3][]crossing
}

// nearSurface measures exact distances in the band, and finds where scan lines
// cross faces.
func (b *build) nearSurface() error {
	n := b.f.N
	b.face = make([]int32, len(b.f.Distance))
	b.seeds = make([][]seed, b.slabs())
	b.near = make([]int32, len(b.f.Distance))
	for axis := range b.found {
		b.found[axis] = make([][]crossing, b.slabs())
	}
	return b.each(b.slabs(), func(s int) {
		z0, z1 := b.slab(s)
		lo, hi := z0*n[0]*n[1], z1*n[0]*n[1]
		w := &slabWork{build: b, z0: z0, z1: z1, distance: b.f.Distance[lo:hi], face: b.face[lo:hi]}
		for i := range w.distance {
			w.distance[i], w.face[i] = bandVoxels, -1
		}
		for _, f := range b.slabFaces[b.slabStart[s]:b.slabStart[s+1]] {
			c := b.corners(f)
			w.cast(c, s)
			w.measure(c[0], c[1], c[2], f)
		}
		b.seeds[s] = w.plant(b.near[lo:hi])
		for axis, list := range w.found {
			b.found[axis][s] = list
		}
	})
}

// measure lowers the distances around a face, or a piece of one.
func (w *slabWork) measure(a, b, c vec, face int32) {
	m := vec{(a.x + b.x + c.x) / 3, (a.y + b.y + c.y) / 3, (a.z + b.z + c.z) / 3}
	ma, mb, mc := m.to(a), m.to(b), m.to(c)
	r2 := max(ma.dot(ma), mb.dot(mb), mc.dot(mc))
	r := math.Sqrt(r2)
	if m.z+r+bandVoxels < float64(w.z0) || m.z-r-bandVoxels > float64(w.z1-1) {
		return
	}
	if r > pieceVoxels {
		w.split(a, b, c, face)
		return
	}
	w.t.set(a, b, c)
	w.around(m, r, face)
}

// split cuts a piece across its longest edge.
func (w *slabWork) split(a, b, c vec, face int32) {
	ab, bc, ca := a.to(b), b.to(c), c.to(a)
	lab, lbc, lca := ab.dot(ab), bc.dot(bc), ca.dot(ca)
	switch {
	case lab >= lbc && lab >= lca:
		h := middle(a, b)
		w.measure(a, h, c, face)
		w.measure(h, b, c, face)
	case lbc >= lca:
		h := middle(b, c)
		w.measure(a, b, h, face)
		w.measure(a, h, c, face)
	default:
		h := middle(c, a)
		w.measure(a, b, h, face)
		w.measure(h, b, c, face)
	}
}

// around visits the voxels within the band of the sphere of radius r about m,
// which holds the piece in w.t. A voxel whose distance is already less than
// that to the sphere is passed over.
func (w *slabWork) around(m vec, r float64, face int32) {
	nx, ny := w.f.N[0], w.f.N[1]
	reach := bandVoxels + r
	for z := max(w.z0, int(m.z-reach)); z < w.z1; z++ {
		dz := float64(z) - m.z
		left := reach*reach - dz*dz
		if left <= 0 {
			if dz > 0 {
				break
			}
			continue
		}
		half := math.Sqrt(left)
		for y := max(0, int(m.y-half)); y <= min(ny-1, int(m.y+half)); y++ {
			dy := float64(y) - m.y
			rest := left - dy*dy
			if rest <= 0 {
				continue
			}
			across := math.Sqrt(rest)
			x0, x1 := max(0, int(m.x-across)), min(nx-1, int(m.x+across))
			at := ((z-w.z0)*ny + y) * nx
			distance := w.distance[at : at+x1+1]
			for x := x0; x < len(distance); x++ {
				dx := float64(x) - m.x
				known := float64(distance[x])
				if t := known + r; dx*dx+dy*dy+dz*dz >= t*t {
					continue
				}
				if _, d2 := w.t.nearest(vec{float64(x), float64(y), float64(z)}); d2 < known*known {
					distance[x] = float32(math.Sqrt(d2))
					w.face[at+x] = face
				}
			}
		}
	}
}

// plant lists the seeds of the slab and writes their places, the others −1.
func (w *slabWork) plant(near []int32) []seed {
	var seeds []seed
	halfDiagonal := float32(math.Sqrt(0.75)) + 1e-6
	i := 0
	for z := w.z0; z < w.z1; z++ {
		for y := range w.f.N[1] {
			for x := range w.f.N[0] {
				near[i] = -1
				if w.face[i] >= 0 && w.distance[i] <= halfDiagonal {
					c := w.corners(w.face[i])
					w.t.set(c[0], c[1], c[2])
					q, _ := w.t.nearest(vec{float64(x), float64(y), float64(z)})
					if math.Abs(q.x-float64(x)) <= 0.5 && math.Abs(q.y-float64(y)) <= 0.5 && math.Abs(q.z-float64(z)) <= 0.5 {
						near[i] = int32(len(seeds))
						seeds = append(seeds, seed{float32(q.x), float32(q.y), float32(q.z), w.face[i]})
					}
				}
				i++
			}
		}
	}
	return seeds
}
