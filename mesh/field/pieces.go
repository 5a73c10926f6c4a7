package field

import (
	"math"
	"math/bits"

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
	face    int32 // −1 when it is so small that any point of it will do
}

func (p point) to(q point) point    { return point{q.x - p.x, q.y - p.y, q.z - p.z} }
func (p point) plus(q point) point  { return point{p.x + q.x, p.y + q.y, p.z + q.z} }
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
	planes := w.z1 - w.z0 + 2*cellRim
	w.order = resized(w.order, len(w.loose))
	for i := range w.loose {
		m := &w.loose[i].m
		z := min(max(0, int(m.z+0.5)-w.z0+cellRim), planes-1)
		w.order[i] = uint64((z*ny+int(m.y+0.5))*nx+int(m.x+0.5))<<32 | uint64(i)
	}
	w.spare = resized(w.spare, len(w.loose))
	w.order, w.spare = sortByHigh(w.order, w.spare, bits.Len(uint(planes*ny*nx)))
	w.pieces, w.cells = resized(w.pieces, len(w.loose)), w.cells[:0]
	for i, o := range w.order {
		if i == 0 || o>>32 != w.order[i-1]>>32 {
			w.cells = append(w.cells, int32(i))
		}
		w.pieces[i] = w.loose[uint32(o)]
	}
	w.cells = append(w.cells, int32(len(w.pieces)))
}

// sortByHigh sorts a list by as many of the lowest bits of the upper halves, and
// keeps those that agree in them in order. It returns the sorted list and a spare
// one, which are those it was given.
func sortByHigh(list, spare []uint64, most int) (sorted, left []uint64) {
	const digit = 11 // bits sorted by at a time
	for shift := 32; shift < 32+most; shift += digit {
		var next [1 << digit]int32
		for _, v := range list {
			next[v>>shift%(1<<digit)]++
		}
		at := int32(0)
		for d, n := range next {
			next[d], at = at, at+n
		}
		for _, v := range list {
			to := &next[v>>shift%(1<<digit)]
			spare[*to] = v
			*to++
		}
		list, spare = spare, list
	}
	return list, spare
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

// rowsBeside returns the planes and rows of the slab in the band around a box from lo
// to hi: those z0 ≤ z < z1 and y0 ≤ y < y1.
func (w *slabWork) rowsBeside(lo, hi point) (y0, y1, z0, z1 int) {
	z0, z1 = max(w.z0, int(lo.z-bandVoxels)), min(w.z1, int(hi.z+bandVoxels)+1)
	y0, y1 = max(0, int(lo.y-bandVoxels)), min(w.f.N[1], int(hi.y+bandVoxels)+1)
	return y0, y1, z0, z1
}

// inBand returns the part x0 ≤ x < x1 of a row of voxels in the band around a box
// from lo to hi, the row's squared distance to it being beside.
func (w *slabWork) inBand(lo, hi, beside float32) (x0, x1 int) {
	reach := sqrt32(bandVoxels*bandVoxels - beside)
	return max(0, int(lo-reach)), min(w.f.N[0], int(hi+reach)+1)
}

// beyond returns how far x is outside an interval.
func beyond(x, lo, hi float32) float32 { return max(lo-x, x-hi, 0) }

// noFoot stands for no foot, toCell(cell) for one in a cell.
const noFoot = -1

func toCell(cell int) int32 { return int32(noFoot - 1 - cell) }

// sketch lowers the distances to those of one point of each cell, then to the
// pieces of the cell whose point is nearest, so that measure has little left to do.
func (w *slabWork) sketch() {
	for cell := range len(w.cells) - 1 {
		w.sketchCell(cell, w.in(cell)[0].m)
	}
	nx, ny := w.f.N[0], w.f.N[1]
	for i, id := range w.foot {
		if id >= noFoot {
			continue
		}
		list := w.in(int(toCell(int(id))))
		w.setFoot(i, foot{list[0].m, list[0].face})
		w.lower(list, i, point{float32(i % nx), float32(i / nx % ny), float32(w.z0 + i/nx/ny)})
	}
}

// sketchCell lowers the distances to those of a point of a cell.
func (w *slabWork) sketchCell(cell int, m point) {
	y0, y1, z0, z1 := w.rowsBeside(m, m)
	for z := z0; z < z1; z++ {
		dz := float32(z) - m.z
		for y := y0; y < y1; y++ {
			dy := float32(y) - m.y
			beside := dy*dy + dz*dz
			if beside >= bandVoxels*bandVoxels {
				continue
			}
			x0, x1 := w.inBand(m.x, m.x, beside)
			at := ((z-w.z0)*w.f.N[1] + y) * w.f.N[0]
			known, foot := w.squared[at+x0:at+x1], w.foot[at+x0:at+x1]
			dx := float32(x0) - m.x
			for i := range known {
				if d2 := beside + dx*dx; d2 < known[i] {
					known[i], foot[i] = d2, toCell(cell)
				}
				dx++
			}
		}
	}
}

// measure lowers the distances around the pieces of each cell to the exact ones.
func (w *slabWork) measure() {
	for cell := range len(w.cells) - 1 {
		w.measureCell(w.in(cell))
	}
}

// measureCell lowers the distances around the pieces of a cell, where the thick disc
// around them is not too far away.
func (w *slabWork) measureCell(list []piece) {
	lo, hi := bounds(list)
	d := discAround(list, halfway(lo, hi))
	y0, y1, z0, z1 := w.rowsBeside(lo, hi)
	for z := z0; z < z1; z++ {
		dz := beyond(float32(z), lo.z, hi.z)
		for y := y0; y < y1; y++ {
			dy := beyond(float32(y), lo.y, hi.y)
			beside := dy*dy + dz*dz
			if beside >= bandVoxels*bandVoxels {
				continue
			}
			x0, x1 := w.inBand(lo.x, hi.x, beside)
			at := ((z-w.z0)*w.f.N[1] + y) * w.f.N[0]
			v := d.m.to(point{float32(x0), float32(y), float32(z)})
			off, along := v.y*v.y+v.z*v.z, v.y*d.n.y+v.z*d.n.z
			for i, known := range w.squared[at+x0 : at+x1] {
				if !d.apart(off+v.x*v.x, along+v.x*d.n.x, known) {
					w.lower(list, at+x0+i, point{float32(x0 + i), float32(y), float32(z)})
				}
				v.x++
			}
		}
	}
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

// disc is all that is within r of a line through m in the direction of the unit vector
// n, and within half of the plane across it there.
type disc struct {
	m, n     point
	r2, half float32
}

// discAround returns a disc around the pieces, and around m, widened by rounding.
func discAround(list []piece, m point) disc {
	const slack = 1e-5
	var n point
	for i := range list {
		n = point{n.x + list[i].n.x, n.y + list[i].n.y, n.z + list[i].n.z}
	}
	if length := sqrt32(n.dot(n)); length > 0 {
		n = point{n.x / length, n.y / length, n.z / length}
	}
	r2, low, high := float32(0), float32(0), float32(0)
	for i := range list {
		p := &list[i]
		for _, corner := range [3]point{p.a, p.b, p.c} {
			v := m.to(corner)
			h := v.dot(n)
			r2, low, high = max(r2, v.dot(v)-h*h), min(low, h), max(high, h)
		}
	}
	h := (low + high) / 2
	m = point{m.x + h*n.x, m.y + h*n.y, m.z + h*n.z}
	return disc{m, n, r2 + slack, (high-low)/2 + slack}
}

// apart says whether the disc is no nearer to a place than what is known, squared: a
// place whose squared distance to the middle is d2, and h along n. With the place g
// above the disc and l from the line, it is when g² ≥ known or, beside the disc, when
// g² + (l − r)² ≥ known.
func (d *disc) apart(d2, h, known float32) bool {
	l2 := d2 - h*h
	if h < 0 {
		h = -h
	}
	if h -= d.half; h > 0 {
		known -= h * h
	}
	if l2 <= d.r2 {
		return known <= 0
	}
	k := l2 + d.r2 - known
	return k > 0 && k*k >= 4*d.r2*l2
}

// lower lowers the distance of a voxel at q to that of the nearest of the pieces.
// A disc is passed over when it is no nearer than what is known: with the voxel h
// above it and l beside its middle, when h² ≥ known² or, beside the disc, when
// h² + (l − r)² ≥ known².
func (w *slabWork) lower(list []piece, at int, q point) {
	known := w.squared[at]
	for i := range list {
		p := &list[i]
		v := p.m.to(q)
		d2, h, r2 := v.dot(v), v.dot(p.n), p.r*p.r
		if l2 := d2 - h*h; l2 > r2 {
			if k := d2 + r2 - known; k > 0 && k*k >= 4*r2*l2 {
				continue
			}
		} else if h*h >= known {
			continue
		}
		w.t.set(p.a.vec(), p.b.vec(), p.c.vec())
		if n, e2 := w.t.nearest(q.vec()); float32(e2) < known {
			known = float32(e2)
			w.squared[at] = known
			w.setFoot(at, foot{point{float32(n.x), float32(n.y), float32(n.z)}, p.face})
		}
	}
}

// setFoot gives a voxel a foot.
func (w *slabWork) setFoot(at int, f foot) {
	if w.foot[at] < 0 {
		w.foot[at] = int32(len(w.feet))
		w.feet = append(w.feet, f)
		return
	}
	w.feet[w.foot[at]] = f
}
