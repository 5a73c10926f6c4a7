package cut

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// sectionLoop is a loop in which a sheet cuts the surface, as seen along its normal.
type sectionLoop struct {
	mm2   float64 // of what is inside it; negative of one that goes round a hole
	sides [][2]r2.Vec
	ends  [2]int32 // a vertex on either side of the sheet that it passes between
}

// section returns the loops in which the sheet, moved so far, cuts the surface.
func (p *parter) section(s *Sheet, move float32) []sectionLoop {
	var crossed [][2]int32 // edges, the lower end first
	number := make(map[[2]int32]int32, len(p.cut))
	var ways [][2]int32 // from edge to edge, the pattern on the left
	for _, t := range p.cut {
		up := [3]bool{p.up[t[0]] == 1, p.up[t[1]] == 1, p.up[t[2]] == 1}
		var way [2]int32
		for i := range 3 {
			k := (i + 1) % 3
			if up[i] == up[k] {
				continue
			}
			edge := [2]int32{t[i], t[k]}
			if up[i] {
				edge = [2]int32{t[k], t[i]}
			}
			n, known := number[edge]
			if !known {
				n = int32(len(crossed))
				number[edge] = n
				crossed = append(crossed, edge)
			}
			if up[i] {
				way[0] = n
			} else {
				way[1] = n
			}
		}
		ways = append(ways, way)
	}
	return p.loops(s, move, crossed, ways)
}

// loops puts ways from edge to edge together.
func (p *parter) loops(s *Sheet, move float32, crossed, ways [][2]int32) []sectionLoop {
	roots := newRoots(len(crossed))
	for _, w := range ways {
		roots.join(w[0], w[1])
	}
	at := make([]r2.Vec, len(crossed))
	for i, e := range crossed {
		a, b := e[0], e[1]
		t := float64((move - p.height[a]) / (p.height[b] - p.height[a]))
		q := r3.Add(p.Vertices[a], r3.Scale(t, r3.Sub(p.Vertices[b], p.Vertices[a])))
		at[i].X, at[i].Y = s.Flat(q)
	}
	of := make([]int32, len(crossed))
	var all []sectionLoop
	for i, e := range crossed {
		if root := roots.of(int32(i)); root == int32(i) {
			of[i] = int32(len(all))
			all = append(all, sectionLoop{ends: e})
		}
	}
	for _, w := range ways {
		l := &all[of[roots.of(w[0])]]
		a, b := at[w[0]], at[w[1]]
		l.mm2 += r2.Cross(a, b) / 2
		l.sides = append(l.sides, [2]r2.Vec{a, b})
	}
	return all
}

// enclosing returns the least of the loops that a loop lies in, −1 for none.
func enclosing(loops []sectionLoop, i int) int {
	best, least := -1, math.Inf(1)
	for k := range loops {
		if l := &loops[k]; l.mm2 > 0 && l.mm2 < least && l.holds(loops[i].sides[0][0]) {
			best, least = k, l.mm2
		}
	}
	return best
}

func (l *sectionLoop) holds(p r2.Vec) bool {
	inside := false
	for _, s := range l.sides {
		a, b := s[0], s[1]
		if (a.Y < p.Y) != (b.Y < p.Y) && p.X > a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	return inside
}
