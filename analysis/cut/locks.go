package cut

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Lock is rubber of one part that lies behind the pattern when that part is drawn
// off.
type Lock struct {
	Side      int     // 0: −normal, 1: +normal
	At        r3.Vec  // in the rubber, where it is deepest
	VolumeMM3 float64 // of rubber behind the pattern
	DepthMM   float64 // along the pull
	ReachMM   float64 // sideways, to where rubber is free; +Inf when it is free nowhere near
	BesideMM  float64 // rubber beyond that, to the outside
	Linked    bool    // it comes free on sides that the pattern parts: rubber goes round the pattern
	Gives     bool    // the rubber can move so far: ReachMM over BesideMM is within the stretch allowed
}

// What is too little to hold a part back (common practice, no source).
const (
	leastLockMM3   = 200
	leastLockMM    = 1
	mostReachCells = 80
)

// hook is the rubber behind the pattern along one line, on one side.
type hook struct {
	line   *line
	x, y   int
	depth  float64 // of rubber
	lowest float64 // where it begins, over the plane along the side's direction
	middle float64 // of its first piece
	lock   int     // number of its lock, −1 none yet
}

// locks gathers the rubber that hooks behind the pattern into places that touch,
// largest first. Whether it gives way is an indication (common practice, no source):
// to come out it has to move aside as far as it reaches under the pattern, which
// strains the rubber beside by that share of its thickness.
func (sh *shadow) locks(s *Sheet, room *Room, allowed float64) []Lock {
	at := sh.index()
	var all []Lock
	for side := range signs {
		hooks := sh.hooks(s, side)
		cells := map[[2]int]*hook{}
		for i := range hooks {
			cells[[2]int{hooks[i].x, hooks[i].y}] = &hooks[i]
		}
		for _, group := range groupsOf(hooks, cells) {
			l := Lock{Side: side}
			deepest := group[0]
			for _, h := range group {
				l.VolumeMM3 += h.depth * sh.cellMM2
				if h.depth > deepest.depth {
					deepest = h
				}
			}
			if l.VolumeMM3 < leastLockMM3 || deepest.depth < leastLockMM {
				continue
			}
			l.DepthMM = deepest.depth
			l.At = s.over(deepest.line.u, deepest.line.v, signs[side]*deepest.middle)
			l.ReachMM, l.BesideMM = sh.reach(s, room, side, group, at)
			l.Linked = sh.linked(side, group, at)
			l.Gives = !l.Linked && l.ReachMM <= allowed*l.BesideMM
			all = append(all, l)
		}
	}
	slices.SortStableFunc(all, func(a, b Lock) int { return cmp.Compare(b.VolumeMM3, a.VolumeMM3) })
	return all
}

// keepLinked leaves as many locks go round the pattern as links were counted, those that
// are nearest to one.
func keepLinked(locks []Lock, links []Link, allowed float64) {
	kept := map[int]bool{}
	for _, link := range links {
		nearest := -1
		for i, l := range locks {
			if l.Linked && !kept[i] && l.Side == link.Side && (nearest < 0 || r3.Norm(r3.Sub(l.At, link.At)) < r3.Norm(r3.Sub(locks[nearest].At, link.At))) {
				nearest = i
			}
		}
		if nearest >= 0 {
			kept[nearest] = true
		}
	}
	for i := range locks {
		if l := &locks[i]; l.Linked && !kept[i] {
			l.Linked, l.Gives = false, l.ReachMM <= allowed*l.BesideMM
		}
	}
}

// over returns the point at a height over the plane of the sheet.
func (s *Sheet) over(u, v, height float64) r3.Vec {
	p := r3.Add(s.Point, r3.Add(r3.Scale(u, s.Right), r3.Scale(v, s.Up)))
	return r3.Add(p, r3.Scale(height, s.Normal))
}

// hooks lists the lines with rubber behind the pattern on one side, in their order.
func (sh *shadow) hooks(s *Sheet, side int) []hook {
	var all []hook
	for i := range sh.lines {
		l := &sh.lines[i]
		gaps := gapsOn(l.turns, s.offset(l.u, l.v), signs[side])
		if len(gaps) == 0 {
			continue
		}
		h := hook{line: l, lock: -1, lowest: gaps[0][0], middle: (gaps[0][0] + gaps[0][1]) / 2}
		h.x, h.y = sh.place(l)
		for _, g := range gaps {
			h.depth += g[1] - g[0]
		}
		all = append(all, h)
	}
	return all
}

// gapsOn lists the pieces of a line that are rubber behind the pattern, from the
// sheet outward along sign times the normal, as heights in that direction.
func gapsOn(turns []turn, sheet, sign float64) [][2]float64 {
	free := sign * sheet // up to here all is known to be the other part, or pattern
	var gaps [][2]float64
	add := func(enter, leave float64) { // a piece of pattern, in the side's direction
		if leave <= free {
			return
		}
		if enter > free+thinnestMM {
			gaps = append(gaps, [2]float64{free, enter})
		}
		free = leave
	}
	n := len(turns)
	for i := 0; i+1 < n; i++ {
		a, b := turns[i], turns[i+1]
		if sign < 0 {
			a, b = turns[n-2-i], turns[n-1-i]
		}
		if a.leaves || !b.leaves {
			continue
		}
		if sign > 0 {
			add(a.height, b.height)
		} else {
			add(-b.height, -a.height)
		}
	}
	return gaps
}

// groupsOf puts hooks together whose cells touch.
func groupsOf(hooks []hook, cells map[[2]int]*hook) [][]*hook {
	var groups [][]*hook
	for i := range hooks {
		if hooks[i].lock >= 0 {
			continue
		}
		number := len(groups)
		hooks[i].lock = number
		group := []*hook{&hooks[i]}
		for k := 0; k < len(group); k++ {
			h := group[k]
			for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				if next := cells[[2]int{h.x + d[0], h.y + d[1]}]; next != nil && next.lock < 0 {
					next.lock = number
					group = append(group, next)
				}
			}
		}
		groups = append(groups, group)
	}
	return groups
}

// reach returns how far the rubber of a lock has to move sideways to where nothing
// of the pattern lies over it, at most over its lines, and the least rubber beyond
// where it is about as far.
func (sh *shadow) reach(s *Sheet, room *Room, side int, group []*hook, at func(x, y int) *line) (reachMM, besideMM float64) {
	type way struct{ mm, beside float64 }
	ways := make([]way, len(group))
	for i, h := range group {
		d, x, y := sh.nearestFree(h, side, at)
		if math.IsInf(d, 1) {
			return d, 0
		}
		u, v := sh.low[0]+(float64(x)+0.5)*sh.cell[0], sh.low[1]+(float64(y)+0.5)*sh.cell[1]
		ways[i] = way{d, max(0, room.Outside(s.over(u, v, signs[side]*h.middle)))}
		reachMM = max(reachMM, d)
	}
	besideMM = math.Inf(1)
	for _, w := range ways {
		if w.mm >= reachMM-max(sh.cell[0], sh.cell[1]) {
			besideMM = min(besideMM, w.beside)
		}
	}
	return reachMM, besideMM
}

// Cells round a lock that tell where it is free: so far from it, and so many at least
// that hang together.
const (
	collarCells = 2
	leastCollar = 3
)

// linked tells whether the rubber of a lock comes free on several sides that the
// pattern parts: then it hangs together round the pattern, as through a hole. The free
// cells close by, taken together where they touch, are more than one piece.
func (sh *shadow) linked(side int, group []*hook, at func(x, y int) *line) bool {
	in, free := map[[2]int]bool{}, map[[2]int]bool{}
	for _, h := range group {
		in[[2]int{h.x, h.y}] = true
	}
	var order [][2]int
	pitch := max(sh.cell[0], sh.cell[1])
	for _, h := range group {
		for dy := -collarCells; dy <= collarCells; dy++ {
			for dx := -collarCells; dx <= collarCells; dx++ {
				c := [2]int{h.x + dx, h.y + dy}
				if in[c] || free[c] {
					continue
				}
				if l := at(c[0], c[1]); l == nil || outermost(l.turns, signs[side]) <= h.lowest+pitch/2 {
					free[c] = true
					order = append(order, c)
				}
			}
		}
	}
	pieces := 0
	for _, c := range order {
		if !free[c] {
			continue
		}
		delete(free, c)
		piece := [][2]int{c}
		for k := 0; k < len(piece); k++ {
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					if n := [2]int{piece[k][0] + dx, piece[k][1] + dy}; free[n] {
						delete(free, n)
						piece = append(piece, n)
					}
				}
			}
		}
		if len(piece) >= leastCollar {
			pieces++
		}
	}
	return pieces > 1
}

// nearestFree looks in growing rings of cells for one whose line leaves the rubber
// of a hook free to be drawn off: where the pattern ends below it.
func (sh *shadow) nearestFree(h *hook, side int, at func(x, y int) *line) (mm float64, x, y int) {
	mm = math.Inf(1)
	pitch := max(sh.cell[0], sh.cell[1])
	for ring := 1; ring <= mostReachCells && float64(ring-1)*min(sh.cell[0], sh.cell[1]) < mm; ring++ {
		for dy := -ring; dy <= ring; dy++ {
			step := 1
			if dy > -ring && dy < ring {
				step = 2 * ring
			}
			for dx := -ring; dx <= ring; dx += step {
				if l := at(h.x+dx, h.y+dy); l != nil && outermost(l.turns, signs[side]) > h.lowest+pitch/2 {
					continue
				}
				// To the edge between the cells, on average.
				d := max(0, math.Hypot(float64(dx)*sh.cell[0], float64(dy)*sh.cell[1])-pitch/2)
				if d < mm {
					mm, x, y = d, h.x+dx, h.y+dy
				}
			}
		}
	}
	return mm, x, y
}

// outermost returns where a line leaves the pattern for good, in the direction of
// sign.
func outermost(turns []turn, sign float64) float64 {
	if sign < 0 {
		return -turns[0].height
	}
	return turns[len(turns)-1].height
}
