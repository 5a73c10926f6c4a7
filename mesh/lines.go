package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// Lines answers where parallel lines cross a mesh. Build it once for a
// direction with NewLines; any number of goroutines may then ask.
type Lines struct {
	m          *Mesh
	dir, u, v  r3.Vec
	loU, loV   float64
	perCell    float64 // cells per mm
	nu, nv     int
	start      []int32 // faces of cell c are index[start[c]:start[c+1]]
	index      []int32
	pu, pv, ph []float64 // every vertex in the frame (u, v, dir)
}

// Crossing is one place where a line meets the surface.
type Crossing struct {
	Height float64 // dot(dir, point), mm
	Face   int32
	Leaves bool // the line goes out of the solid here, seen along dir
}

// NewLines prepares m for lines along the unit vector dir.
func NewLines(m *Mesh, dir r3.Vec) *Lines {
	l := &Lines{m: m, dir: dir}
	l.u, l.v = Frame(dir)
	n := len(m.Vertices)
	l.pu, l.pv, l.ph = large.Make[float64](n), large.Make[float64](n), large.Make[float64](n)
	inParts(n, func(_, lo, hi int) {
		for i := lo; i < hi; i++ {
			p := m.Vertices[i]
			l.pu[i], l.pv[i], l.ph[i] = dot(l.u, p), dot(l.v, p), dot(dir, p)
		}
	})
	l.grid()
	return l
}

// grid sorts the faces into square cells of the plane across the lines, about
// one cell for two faces.
func (l *Lines) grid() {
	if len(l.pu) == 0 {
		l.start = make([]int32, 2)
		l.nu, l.nv = 1, 1
		return
	}
	hiU, hiV := slices.Max(l.pu), slices.Max(l.pv)
	l.loU, l.loV = slices.Min(l.pu), slices.Min(l.pv)
	du, dv := hiU-l.loU, hiV-l.loV
	side := math.Sqrt(du * dv / (1 + float64(len(l.m.Faces))/2))
	side = max(side, max(du, dv)/2048, math.SmallestNonzeroFloat32)
	l.perCell = 1 / side
	l.nu, l.nv = int(du*l.perCell)+1, int(dv*l.perCell)+1
	counts := make([]int32, l.nu*l.nv+1)
	l.eachCell(func(_ int32, cell int) { counts[cell+1]++ })
	for c := 1; c < len(counts); c++ {
		counts[c] += counts[c-1]
	}
	l.index = large.Make[int32](int(counts[len(counts)-1]))
	l.start = slices.Clone(counts)
	l.eachCell(func(face int32, cell int) {
		l.index[counts[cell]] = face
		counts[cell]++
	})
}

// A face over this many cells or fewer is filed under all of them.
const smallShadow = 12

// eachCell visits the cells that each face's shadow meets, row by row: a long
// oblique face must not fill its whole bounding box.
func (l *Lines) eachCell(visit func(face int32, cell int)) {
	for f, t := range l.m.Faces {
		a, b, c := t[0], t[1], t[2]
		v0, v1 := l.cells(l.pv[a], l.pv[b], l.pv[c], l.loV)
		u0, u1 := l.cells(l.pu[a], l.pu[b], l.pu[c], l.loU)
		if (u1-u0+1)*(v1-v0+1) <= smallShadow {
			for v := v0; v <= v1; v++ {
				for u := u0; u <= u1; u++ {
					visit(int32(f), v*l.nu+u)
				}
			}
			continue
		}
		for v := v0; v <= v1; v++ {
			lo, hi := l.rowSpan(t, l.loV+float64(v)/l.perCell, l.loV+float64(v+1)/l.perCell)
			for u := max(0, int((lo-l.loU)*l.perCell)); u <= min(l.nu-1, int((hi-l.loU)*l.perCell)); u++ {
				visit(int32(f), v*l.nu+u)
			}
		}
	}
}

// rowSpan returns the range of u of the triangle's part with v from lo to hi,
// a little widened against rounding.
func (l *Lines) rowSpan(t [3]int32, lo, hi float64) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	slack := 1e-9 / l.perCell
	for k, i := range t {
		j := t[(k+1)%3]
		u0, v0, u1, v1 := l.pu[i], l.pv[i], l.pu[j], l.pv[j]
		if v0 > v1 {
			u0, v0, u1, v1 = u1, v1, u0, v0
		}
		if v1 < lo-slack || v0 > hi+slack {
			continue
		}
		from, to := u0, u1
		if v1 > v0 {
			slope := (u1 - u0) / (v1 - v0)
			from, to = u0+slope*(max(lo-slack, v0)-v0), u0+slope*(min(hi+slack, v1)-v0)
		}
		least, most = min(least, from, to), max(most, from, to)
	}
	return least - slack, most + slack
}

func (l *Lines) cells(a, b, c, lo float64) (first, last int) {
	return int((min(a, b, c) - lo) * l.perCell), int((max(a, b, c) - lo) * l.perCell)
}

// Through returns the crossings of the line through p, sorted by height,
// appended to into. A line exactly through an edge crosses just one of the two
// faces there, so that going in and out stay paired.
func (l *Lines) Through(p r3.Vec, into []Crossing) []Crossing {
	u, v := dot(l.u, p), dot(l.v, p)
	cu, cv := math.Floor((u-l.loU)*l.perCell), math.Floor((v-l.loV)*l.perCell)
	if !(cu >= 0 && cv >= 0 && cu < float64(l.nu) && cv < float64(l.nv)) {
		return into
	}
	cell := int(cv)*l.nu + int(cu)
	from := len(into)
	for _, f := range l.index[l.start[cell]:l.start[cell+1]] {
		if c, ok := l.cross(f, u, v); ok {
			into = append(into, c)
		}
	}
	slices.SortFunc(into[from:], func(a, b Crossing) int {
		switch {
		case a.Height != b.Height:
			if a.Height < b.Height {
				return -1
			}
			return 1
		default:
			return int(a.Face - b.Face)
		}
	})
	return into
}

// cross tests face f against the line at (u, v) by the signs of its edges.
func (l *Lines) cross(f int32, u, v float64) (Crossing, bool) {
	t := l.m.Faces[f]
	wc, sc := l.edge(t[0], t[1], u, v)
	wa, sa := l.edge(t[1], t[2], u, v)
	wb, sb := l.edge(t[2], t[0], u, v)
	if sa != sb || sb != sc {
		return Crossing{}, false
	}
	sum := wa + wb + wc
	if sum == 0 {
		return Crossing{}, false
	}
	h := (wa*l.ph[t[0]] + wb*l.ph[t[1]] + wc*l.ph[t[2]]) / sum
	return Crossing{Height: h, Face: f, Leaves: sa}, true
}

// edge returns twice the area of (a, b, point) and whether the point is on the
// left. Both faces of an edge compute the same magnitude; a point on the edge is
// judged as if it were moved by (ε, ε²), which keeps lines through edges and
// vertices paired. Source: Edelsbrunner & Mücke, "Simulation of simplicity",
// ACM Transactions on Graphics 9(1), 1990 (from memory).
func (l *Lines) edge(a, b int32, u, v float64) (float64, bool) {
	i, j := min(a, b), max(a, b)
	du, dv := l.pu[j]-l.pu[i], l.pv[j]-l.pv[i]
	w := float64(du*(v-l.pv[i])) - float64(dv*(u-l.pu[i]))
	left := w > 0 || w == 0 && (dv < 0 || dv == 0 && du > 0)
	if a > b {
		return -w, !left
	}
	return w, left
}
