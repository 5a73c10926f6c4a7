package field

import "math"

// crossing is where a line through voxel centres meets a face.
type crossing struct {
	at   float64 // voxels along the line
	line int32
	turn int32 // +1 where the line leaves through the face, −1 where it enters
}

// lineSet is the crossings of all lines along one axis. Those of line i are
// all[start[i]:start[i+1]], in order along the line.
type lineSet struct {
	start []int32
	all   []crossing
}

func (l *lineSet) of(i int) []crossing { return l.all[l.start[i]:l.start[i+1]] }

// A line along an axis is named by the voxel coordinates across it.
func (f *Field) lineX(y, z int) int { return z*f.N[1] + y }
func (f *Field) lineY(x, z int) int { return z*f.N[0] + x }
func (f *Field) lineZ(x, y int) int { return y*f.N[0] + x }

// corner is a corner of a face as seen along a line: u and v across, h along.
type corner struct{ u, v, h float64 }

// cast finds where the lines of this slab cross a face. Lines along z belong to
// the first slab near the face.
func (w *slabWork) cast(p, q, r point, slab int) {
	x := meets(min(p.x, q.x, r.x), max(p.x, q.x, r.x))
	y := meets(min(p.y, q.y, r.y), max(p.y, q.y, r.y))
	least, most := min(p.z, q.z, r.z), max(p.z, q.z, r.z)
	z := meets(max(least, float32(w.z0)), min(most, float32(w.z1)))
	nx, ny := w.f.N[0], w.f.N[1]
	a, b, c := p.vec(), q.vec(), r.vec()
	if y && z {
		w.castAlong(0, 1, ny, w.z0, w.z1, [3]corner{{a.y, a.z, a.x}, {b.y, b.z, b.x}, {c.y, c.z, c.x}})
	}
	if x && z {
		w.castAlong(1, -1, nx, w.z0, w.z1, [3]corner{{a.x, a.z, a.y}, {b.x, b.z, b.y}, {c.x, c.z, c.y}})
	}
	if x && y && max(0, int(least-bandVoxels))/slabVoxels == slab {
		w.castAlong(2, 1, nx, 0, ny, [3]corner{{a.x, a.y, a.z}, {b.x, b.y, b.z}, {c.x, c.y, c.z}})
	}
}

// meets says whether a whole number is between lo and hi, neither negative.
func meets(lo, hi float32) bool { return float32(int32(hi)) >= lo }

// castAlong adds the crossings of the lines (u, v) with v0 ≤ v < v1, which are
// numbered v·nu+u. Seen along a line, an edge counts when it passes v with its
// lower end included and its upper end not, on the side of greater u. Faces at an
// edge see it alike, so that lines cross a closed surface as often inward as
// outward.
func (w *slabWork) castAlong(axis int, hand int32, nu, v0, v1 int, p [3]corner) {
	least, most := min(p[0].v, p[1].v, p[2].v), max(p[0].v, p[1].v, p[2].v)
	v := max(v0, ceil(least))
	lo, hi := min(p[0].u, p[1].u, p[2].u), max(p[0].u, p[1].u, p[2].u)
	for ; v < v1 && float64(v) < most; v++ {
		from, to := lo, hi
		if hi-lo > 4 {
			from, to = rowSpan(&p, float64(v))
		}
		for u := ceil(from); float64(u) <= to; u++ {
			x, y := float64(u), float64(v)
			turn := halfTurn(x, y, &p[0], &p[1]) + halfTurn(x, y, &p[1], &p[2]) + halfTurn(x, y, &p[2], &p[0])
			if turn != 0 {
				w.found[axis] = append(w.found[axis], crossing{height(x, y, &p), int32(v*nu + u), turn * hand})
			}
		}
	}
}

// ceil rounds up a number that is not negative.
func ceil(x float64) int {
	i := int(x)
	if float64(i) < x {
		i++
	}
	return i
}

// rowSpan returns the range of u of the face at v, a little widened.
func rowSpan(p *[3]corner, v float64) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for k := range p {
		a, b := &p[k], &p[(k+1)%3]
		if (a.v > v) != (b.v > v) || a.v == v || b.v == v {
			u := a.u
			if a.v != b.v {
				u += (b.u - a.u) * min(1, max(0, (v-a.v)/(b.v-a.v)))
			}
			least, most = min(least, u), max(most, u)
		}
	}
	const slack = 1e-6
	return max(0, least-slack), most + slack
}

// halfTurn returns +1 when edge ab passes v upward at greater u, −1 when
// downward. The ends are taken in order of v whatever the direction, so that
// rounding is alike for both faces at the edge.
func halfTurn(u, v float64, a, b *corner) int32 {
	sign := int32(1)
	if a.v > b.v {
		a, b, sign = b, a, -1
	}
	if v < a.v || v >= b.v {
		return 0
	}
	if float64((b.u-a.u)*(v-a.v)) > float64((u-a.u)*(b.v-a.v)) {
		return sign
	}
	return 0
}

// height returns where the plane of the face is at (u, v), within the face's own
// heights.
func height(u, v float64, p *[3]corner) float64 {
	a, b, c := &p[0], &p[1], &p[2]
	bu, bv, cu, cv := b.u-a.u, b.v-a.v, c.u-a.u, c.v-a.v
	u, v = u-a.u, v-a.v
	h := a.h
	if area := bu*cv - bv*cu; area != 0 {
		h += ((u*cv-v*cu)*(b.h-a.h) + (bu*v-bv*u)*(c.h-a.h)) / area
	}
	return min(max(h, min(a.h, b.h, c.h)), max(a.h, b.h, c.h))
}

// through sorts the crossings by line.
func (b *build) through() error {
	n := b.f.N
	counts := [3]int{n[1] * n[2], n[0] * n[2], n[0] * n[1]}
	return b.each(3, func(_, axis int) {
		b.lines[axis] = sortByLine(b.found[axis], counts[axis])
		b.found[axis] = nil
	})
}

func sortByLine(lists [][]crossing, lines int) lineSet {
	// While filling, start[i+1] is where the next crossing of line i goes; in
	// the end it is where those of line i+1 begin.
	start := make([]int32, lines+2)
	for _, list := range lists {
		for i := range list {
			start[list[i].line+2]++
		}
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	all := make([]crossing, start[lines+1])
	for _, list := range lists {
		for _, c := range list {
			at := start[c.line+1]
			start[c.line+1]++
			for ; at > 0 && all[at-1].line == c.line && all[at-1].at > c.at; at-- {
				all[at] = all[at-1]
			}
			all[at] = c
		}
	}
	return lineSet{start: start[:lines+1], all: all}
}
