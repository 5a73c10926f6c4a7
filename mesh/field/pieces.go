package field

import (
	"math"

	"pourwright/mesh/large"
)

const (
	// pieceVoxels is the radius above which a face is cut, so that the voxels
	// around each piece are few.
	pieceVoxels = 1
	// cellRim is how many planes of cells beyond a slab have pieces that matter
	// to it: the band and the radius of a piece, rounded up.
	cellRim = 4
)

// piece is a face, or a part of one, in the disc of radius r about m across the
// unit vector n.
type piece struct {
	a, b, c point
	m, n    point
	r       float32
	face    int32
}

func (p point) to(q point) point    { return point{q.x - p.x, q.y - p.y, q.z - p.z} }
func (p point) dot(q point) float32 { return p.x*q.x + p.y*q.y + p.z*q.z }
func (p point) cross(q point) point {
	return point{p.y*q.z - p.z*q.y, p.z*q.x - p.x*q.z, p.x*q.y - p.y*q.x}
}
func halfway(p, q point) point { return point{(p.x + q.x) / 2, (p.y + q.y) / 2, (p.z + q.z) / 2} }

func sqrt32(x float32) float32 { return float32(math.Sqrt(float64(x))) }

// pieceBatch is how many pieces are measured together: more would take much
// memory.
const pieceBatch = 1 << 16

// flush measures the loose pieces.
func (w *slabWork) flush() {
	if len(w.loose) > 0 && w.ctx.Err() == nil {
		w.sortByCell()
		w.sketch()
		w.measure()
	}
	w.loose = w.loose[:0]
}

// cut adds a face, or the parts of one that are near the slab, to the loose
// pieces.
func (w *slabWork) cut(a, b, c point, face int32) {
	const third = 1. / 3
	m := point{(a.x + b.x + c.x) * third, (a.y + b.y + c.y) * third, (a.z + b.z + c.z) * third}
	ma, mb, mc := m.to(a), m.to(b), m.to(c)
	r := sqrt32(max(ma.dot(ma), mb.dot(mb), mc.dot(mc)))
	if m.z+r < float32(w.z0)-bandVoxels || m.z-r > float32(w.z1-1)+bandVoxels {
		return
	}
	ab, bc := a.to(b), b.to(c)
	if r <= pieceVoxels {
		n := ab.cross(bc)
		if length := sqrt32(n.dot(n)); length > 1e-6*r*r {
			n = point{n.x / length, n.y / length, n.z / length}
		} else {
			n = point{}
		}
		if len(w.loose) >= pieceBatch {
			w.flush()
		}
		w.loose = append(w.loose, piece{a, b, c, m, n, r, face})
		return
	}
	ca := c.to(a)
	lab, lbc, lca := ab.dot(ab), bc.dot(bc), ca.dot(ca)
	switch {
	case lab >= lbc && lab >= lca:
		h := halfway(a, b)
		w.cut(a, h, c, face)
		w.cut(h, b, c, face)
	case lbc >= lca:
		h := halfway(b, c)
		w.cut(a, b, h, face)
		w.cut(a, h, c, face)
	default:
		h := halfway(c, a)
		w.cut(a, b, h, face)
		w.cut(h, b, c, face)
	}
}

// sortByCell sorts the pieces by the voxel their middle is in. Cells begin cellRim
// planes below the slab.
func (w *slabWork) sortByCell() {
	nx, ny := w.f.N[0], w.f.N[1]
	cell := func(p *piece) int {
		z := min(max(0, int(p.m.z+0.5)-w.z0+cellRim), w.z1-w.z0+2*cellRim-1)
		return (z*ny+int(p.m.y+0.5))*nx + int(p.m.x+0.5)
	}
	w.cells = resized(w.cells, nx*ny*(w.z1-w.z0+2*cellRim)+2)
	clear(w.cells)
	start := w.cells
	// While filling, start[i+1] is where the next piece of cell i goes; in the
	// end it is where those of cell i+1 begin.
	for i := range w.loose {
		start[cell(&w.loose[i])+2]++
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	w.pieces = resized(w.pieces, len(w.loose))
	for i := range w.loose {
		at := &start[cell(&w.loose[i])+1]
		w.pieces[*at] = w.loose[i]
		*at++
	}
	w.cells = w.cells[:len(w.cells)-1]
}

// resized returns a slice of length n, s if it is large enough.
func resized[T any](s []T, n int) []T {
	if n > cap(s) {
		return large.Make[T](n + n/8)[:n]
	}
	return s[:n]
}

// in returns the pieces of a cell.
func (w *slabWork) in(cell int) []piece { return w.pieces[w.cells[cell]:w.cells[cell+1]] }

// eachCell visits the cells that are not empty.
func (w *slabWork) eachCell(visit func(cell int, list []piece)) {
	for i := range len(w.cells) - 1 {
		if w.cells[i] < w.cells[i+1] {
			visit(i, w.in(i))
		}
	}
}

// row is the part of a row of voxels that is in the band around a box: x0 ≤ x < x1,
// the voxel x at at+x in the slab, and the row's squared distance to the box.
type row struct {
	y, z, at, x0, x1 int
	beside           float32
}

// eachRow visits the rows of the slab in the band around the box from lo to hi.
func (w *slabWork) eachRow(lo, hi point, visit func(row)) {
	nx, ny := w.f.N[0], w.f.N[1]
	z0, z1 := max(w.z0, int(lo.z-bandVoxels)), min(w.z1-1, int(hi.z+bandVoxels))
	y0, y1 := max(0, int(lo.y-bandVoxels)), min(ny-1, int(hi.y+bandVoxels))
	for z := z0; z <= z1; z++ {
		dz := beyond(float32(z), lo.z, hi.z)
		for y := y0; y <= y1; y++ {
			dy := beyond(float32(y), lo.y, hi.y)
			beside := dy*dy + dz*dz
			if beside >= bandVoxels*bandVoxels {
				continue
			}
			reach := sqrt32(bandVoxels*bandVoxels - beside)
			visit(row{
				y: y, z: z, at: ((z-w.z0)*ny + y) * nx,
				x0: max(0, int(lo.x-reach)), x1: min(nx, int(hi.x+reach)+1), beside: beside,
			})
		}
	}
}

// beyond returns how far x is outside an interval.
func beyond(x, lo, hi float32) float32 { return max(lo-x, x-hi, 0) }

// noFoot stands for no face, toCell(cell) for the nearest face in a cell.
const noFoot = -1

func toCell(cell int) int32 { return int32(noFoot - 1 - cell) }

// sketch lowers the distances to those of one point of each cell, then to the
// pieces of the cell whose point is nearest, so that measure has little left to do.
func (w *slabWork) sketch() {
	w.eachCell(func(cell int, list []piece) {
		m := list[0].m
		w.eachRow(m, m, func(r row) {
			for x := r.x0; x < r.x1; x++ {
				dx, known := float32(x)-m.x, w.distance[r.at+x]
				if d2 := r.beside + dx*dx; d2 < known*known {
					w.distance[r.at+x], w.foot[r.at+x] = sqrt32(d2), toCell(cell)
				}
			}
		})
	})
	nx, ny := w.f.N[0], w.f.N[1]
	for i, foot := range w.foot {
		if foot >= noFoot {
			continue
		}
		list := w.in(int(toCell(int(foot))))
		// The point is on the first piece, so that is the face unless another is nearer.
		w.foot[i] = list[0].face
		w.lower(list, i, point{float32(i % nx), float32(i / nx % ny), float32(w.z0 + i/nx/ny)})
	}
}

// measure lowers the distances around the pieces of each cell to the exact ones.
func (w *slabWork) measure() {
	w.eachCell(func(_ int, list []piece) {
		lo, hi := bounds(list)
		w.eachRow(lo, hi, func(r row) {
			for x := r.x0; x < r.x1; x++ {
				at := r.at + x
				dx, known := beyond(float32(x), lo.x, hi.x), w.distance[at]
				if r.beside+dx*dx < known*known {
					w.lower(list, at, point{float32(x), float32(r.y), float32(r.z)})
				}
			}
		})
	})
}

func bounds(list []piece) (lo, hi point) {
	lo, hi = list[0].a, list[0].a
	for i := range list {
		p := &list[i]
		lo = point{min(lo.x, p.a.x, p.b.x, p.c.x), min(lo.y, p.a.y, p.b.y, p.c.y), min(lo.z, p.a.z, p.b.z, p.c.z)}
		hi = point{max(hi.x, p.a.x, p.b.x, p.c.x), max(hi.y, p.a.y, p.b.y, p.c.y), max(hi.z, p.a.z, p.b.z, p.c.z)}
	}
	return lo, hi
}

// lower lowers the distance of a voxel at q to that of the nearest of the pieces.
// A disc is passed over when it is no nearer than what is known: with the voxel h
// above it and l beside its middle, when h² ≥ known² or, beside the disc, when
// h² + (l − r)² ≥ known².
func (w *slabWork) lower(list []piece, at int, q point) {
	known := w.distance[at]
	for i := range list {
		p := &list[i]
		v := p.m.to(q)
		d2, h, r2 := v.dot(v), v.dot(p.n), p.r*p.r
		if l2 := d2 - h*h; l2 > r2 {
			if k := d2 + r2 - known*known; k > 0 && k*k >= 4*r2*l2 {
				continue
			}
		} else if h*h >= known*known {
			continue
		}
		w.t.set(p.a.vec(), p.b.vec(), p.c.vec())
		if _, e2 := w.t.nearest(q.vec()); float32(e2) < known*known {
			known = float32(math.Sqrt(e2))
			w.distance[at], w.foot[at] = known, p.face
		}
	}
}
