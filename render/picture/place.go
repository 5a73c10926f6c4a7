package picture

import "math"

// rect is an upright rectangle in px.
type rect struct{ X0, Y0, X1, Y1 float64 }

func around(middle point, wide, high float64) rect {
	return rect{middle.X - wide/2, middle.Y - high/2, middle.X + wide/2, middle.Y + high/2}
}

func (r rect) wide() float64 { return r.X1 - r.X0 }
func (r rect) high() float64 { return r.Y1 - r.Y0 }
func (r rect) middle() point { return point{(r.X0 + r.X1) / 2, (r.Y0 + r.Y1) / 2} }
func (r rect) corners() []point {
	return []point{{r.X0, r.Y0}, {r.X1, r.Y0}, {r.X1, r.Y1}, {r.X0, r.Y1}}
}

func (r rect) grown(by float64) rect { return rect{r.X0 - by, r.Y0 - by, r.X1 + by, r.Y1 + by} }

func (r rect) moved(by point) rect { return rect{r.X0 + by.X, r.Y0 + by.Y, r.X1 + by.X, r.Y1 + by.Y} }

func (r rect) with(o rect) rect {
	return rect{math.Min(r.X0, o.X0), math.Min(r.Y0, o.Y0), math.Max(r.X1, o.X1), math.Max(r.Y1, o.Y1)}
}

func (r rect) hits(o rect) bool { return r.X0 < o.X1 && o.X0 < r.X1 && r.Y0 < o.Y1 && o.Y0 < r.Y1 }

func (r rect) holds(o rect) bool { return o.X0 >= r.X0 && o.Y0 >= r.Y0 && o.X1 <= r.X1 && o.Y1 <= r.Y1 }

// boundsOf is the smallest rectangle around points.
func boundsOf(points []point) rect {
	r := rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range points {
		r = r.with(rect{p.X, p.Y, p.X, p.Y})
	}
	return r
}

// nearest is the point of r nearest to p.
func (r rect) nearest(p point) point {
	return point{min(max(p.X, r.X0), r.X1), min(max(p.Y, r.Y0), r.Y1)}
}

// disjoint tells whether two convex shapes have a line between them, which
// then runs along a side of one of them (separating axis theorem).
func disjoint(a, b []point) bool {
	for _, shape := range [][]point{a, b} {
		for i, p := range shape {
			q := shape[(i+1)%len(shape)]
			n := point{q.Y - p.Y, p.X - q.X}
			lowA, highA := reach(a, n)
			lowB, highB := reach(b, n)
			if n.length() > 0 && (highA <= lowB || highB <= lowA) {
				return true
			}
		}
	}
	return false
}

func reach(shape []point, along point) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range shape {
		d := p.dot(along)
		low, high = math.Min(low, d), math.Max(high, d)
	}
	return low, high
}

// taken is the room that labels must leave free.
type taken struct {
	shapes [][]point // convex, never under a label
	rects  []rect    // labels placed already
	lines  [][2]point
}

// spot is where a label could go, and the line that would tie it to what it
// names; without one both ends are the same.
type spot struct {
	box    rect
	leader [2]point
	cost   float64 // less is better
}

// What it costs a label to lie on a line, and its leader to cross one.
const (
	coverCost = 2000
	crossCost = 60
)

func (s spot) tied() bool { return s.leader[0] != s.leader[1] }

// free tells whether a label can go somewhere, and at what cost.
func (t *taken) free(s spot) (cost float64, ok bool) {
	const gap, beside = 7, 18
	box, near := s.box.grown(gap), s.box.grown(gap/2).corners()
	box.X0, box.X1 = s.box.X0-beside, s.box.X1+beside
	for _, o := range t.rects {
		if box.hits(o) || s.tied() && !disjoint(s.leader[:], o.grown(gap/2).corners()) {
			return 0, false
		}
	}
	for _, shape := range t.shapes {
		if !disjoint(near, shape) {
			return 0, false
		}
	}
	cost = s.cost
	for _, l := range t.lines {
		if !disjoint(near, l[:]) {
			cost += coverCost
		} else if s.tied() && !disjoint(s.leader[:], past(l)) {
			cost += crossCost
		}
	}
	return cost, true
}

// past is a line that is longer at both ends, so that no leader touches them.
func past(l [2]point) []point {
	const by = 12
	u := l[1].minus(l[0]).unit().times(by)
	return []point{l[0].minus(u), l[1].plus(u)}
}

// put takes the spot that costs least; false when every one meets a shape or a
// label.
func (t *taken) put(spots []spot) (spot, bool) {
	var best spot
	least := math.Inf(1)
	for _, s := range spots {
		if s.cost >= least {
			continue
		}
		if cost, ok := t.free(s); ok && cost < least {
			best, least = s, cost
		}
	}
	if math.IsInf(least, 1) {
		return spot{}, false
	}
	t.rects = append(t.rects, best.box)
	if best.tied() {
		t.lines = append(t.lines, best.leader)
	}
	return best, true
}
