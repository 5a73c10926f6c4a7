package cut

import (
	"cmp"
	"math"
	"slices"
)

// find returns the links that count counts, widest first in each half, and where each
// is narrowest.
func (g *linking) find(s *Sheet) []Link {
	h := g.halves.Get().(*half)
	defer g.halves.Put(h)
	h.lay(s)
	var all []Link
	for side := range signs {
		least, at := math.MaxInt, 0.0
		for _, move := range g.moves() {
			h.part(move)
			if n := h.links(side); n < least {
				least, at = n, move
			}
		}
		if least > 0 {
			h.part(at)
			h.take(side)
			all = append(all, h.widest(side, least, h.cavities(side))...)
		}
	}
	return all
}

// widest puts the cubes of a half together again, those farthest from the pattern first,
// and tells at which the links close for good: there the rubber of each is narrowest.
// Of several ways that a link may close it takes the widest.
func (h *half) widest(side, n, cavities int) []Link {
	order := h.byDistance()
	loops := h.build(order, cavities)
	var all []Link
	least := math.MaxInt
	for k := len(order) - 1; k >= 0; k-- {
		least = min(least, loops[k])
		before := 0
		if k > 0 {
			before = min(least, loops[k-1])
		}
		for range least - before {
			i := int(order[k])
			all = append(all, Link{Side: side, At: h.centre(i), WidthMM: 2 * h.distance[i]})
		}
	}
	slices.Reverse(all)
	return all[:min(n, len(all))]
}

// byDistance lists the cubes of a half, farthest from the pattern first.
func (h *half) byDistance() []int32 {
	var order []int32
	for i := range h.distance {
		if h.has(h.cubes, i) {
			order = append(order, int32(i))
		}
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(h.distance[b], h.distance[a]) })
	return order
}

// build adds cubes in an order and returns the number of loops after each.
func (h *half) build(order []int32, cavities int) []int {
	loops := make([]int, len(order))
	in := make([]bool, len(h.distance))
	root := make([]int32, len(h.distance))
	find := func(i int32) int32 {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	pieces, euler := 0, 0
	for k, i := range order {
		in[i], root[i] = true, i
		pieces++
		for _, d := range h.faceSteps() {
			if j := int(i) + d; j >= 0 && j < len(in) && in[j] && h.beside(int(i), j) {
				if p, q := find(i), find(int32(j)); p != q {
					root[max(p, q)] = min(p, q)
					pieces--
				}
			}
		}
		euler += h.star(int(i), in)
		loops[k] = pieces + cavities - euler
	}
	return loops
}

// faceSteps are the ways to the six cubes that share a face with one.
func (g *linking) faceSteps() [6]int {
	return [6]int{1, -1, g.n[0], -g.n[0], g.n[0] * g.n[1], -g.n[0] * g.n[1]}
}

// beside tells whether two cubes are near each other, not at opposite ends of rows.
func (g *linking) beside(i, j int) bool {
	x, y, z := g.cube(i)
	u, v, w := g.cube(j)
	return max(x-u, u-x, y-v, v-y, z-w, w-z) <= 1
}

// star is what a cube adds to the Euler characteristic of those that are in.
func (g *linking) star(i int, in []bool) int {
	x, y, z := g.cube(i)
	has := func(dx, dy, dz int) bool {
		u, v, w := x+dx, y+dy, z+dz
		return u >= 0 && v >= 0 && w >= 0 && u < g.n[0] && v < g.n[1] && w < g.n[2] && in[(w*g.n[1]+v)*g.n[0]+u]
	}
	sum := 1
	for _, d := range [3][3]int{{1}, {0, 1}, {0, 0, 1}} {
		for _, s := range [2]int{-1, 1} {
			if has(s*d[0], s*d[1], s*d[2]) {
				sum--
			}
		}
	}
	for _, s := range [2]int{-1, 1} {
		for _, t := range [2]int{-1, 1} {
			for _, square := range [3][3][3]int{{{s}, {0, t}, {s, t}}, {{s}, {0, 0, t}, {s, 0, t}}, {{0, s}, {0, 0, t}, {0, s, t}}} {
				full := true
				for _, c := range square {
					full = full && has(c[0], c[1], c[2])
				}
				if full {
					sum++
				}
			}
			for _, r := range [2]int{-1, 1} {
				if has(r, 0, 0) && has(0, s, 0) && has(0, 0, t) && has(r, s, 0) && has(r, 0, t) && has(0, s, t) && has(r, s, t) {
					sum--
				}
			}
		}
	}
	return sum
}
