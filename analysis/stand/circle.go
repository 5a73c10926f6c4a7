package stand

import (
	"container/heap"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// A circle of no more than this radius (mm) is no opening.
const noCircleMM = 0.1

// near says where the middle of a circle has to be: within reach of at.
type near struct {
	at    r2.Vec
	reach float64
}

// off returns twice how far p is beyond the reach: what a circle there could gain
// in radius, and as much again.
func (n *near) off(p r2.Vec) float64 {
	if n == nil {
		return 0
	}
	return 2 * max(0, r2.Norm(r2.Sub(p, n.at))-n.reach)
}

// widestCircle returns the largest circle inside rings (outer ones and holes,
// even-odd), to a share of its radius; radius 0, or any up to noCircleMM, when
// there is none to speak of. Given near, its middle is
// within reach. It searches squares best first by an upper bound of the
// distance to the rings (Agafonkin, "A new algorithm for finding a visual center
// of a polygon", 2016, from memory).
func widestCircle(rings [][]r2.Vec, within *near, share float64) (centre r2.Vec, radius float64) {
	lo, hi := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, ring := range rings {
		for _, p := range ring {
			lo = r2.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
			hi = r2.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
		}
	}
	w, h := hi.X-lo.X, hi.Y-lo.Y
	if !(w > 0 && h > 0) {
		return r2.Vec{}, 0
	}
	side := max(min(w, h), max(w, h)/64)
	search := circleSearch{rings, within}
	var todo squares
	for x := lo.X + side/2; x < hi.X+side/2; x += side {
		for y := lo.Y + side/2; y < hi.Y+side/2; y += side {
			todo = append(todo, search.square(r2.Vec{X: x, Y: y}, side/2))
		}
	}
	heap.Init(&todo)
	for len(todo) > 0 {
		s := heap.Pop(&todo).(square)
		if s.inside > radius {
			centre, radius = s.middle, s.inside
		}
		if s.most <= max(radius*(1+share), noCircleMM) {
			break
		}
		half := s.half / 2
		for _, d := range [4]r2.Vec{{X: -half, Y: -half}, {X: half, Y: -half}, {X: -half, Y: half}, {X: half, Y: half}} {
			heap.Push(&todo, search.square(r2.Add(s.middle, d), half))
		}
	}
	return centre, radius
}

type circleSearch struct {
	rings  [][]r2.Vec
	within *near
}

func (c circleSearch) square(middle r2.Vec, half float64) square {
	d := insideDistance(c.rings, middle) - c.within.off(middle)
	steep := math.Sqrt2
	if c.within != nil {
		steep *= 3 // the distance changes, and twice the way out of reach
	}
	return square{middle, half, d, d + half*steep}
}

// square is one part of the plane still to be searched.
type square struct {
	middle r2.Vec
	half   float64
	inside float64 // distance of the middle to the rings, negative outside
	most   float64 // bound for any point of the square
}

type squares []square

func (s squares) Len() int           { return len(s) }
func (s squares) Less(i, j int) bool { return s[i].most > s[j].most }
func (s squares) Swap(i, j int)      { s[i], s[j] = s[j], s[i] }
func (s *squares) Push(x any)        { *s = append(*s, x.(square)) }
func (s *squares) Pop() any {
	last := (*s)[len(*s)-1]
	*s = (*s)[:len(*s)-1]
	return last
}

// insideDistance returns the distance from p to the nearest ring, negative
// when p is outside by the even-odd rule.
func insideDistance(rings [][]r2.Vec, p r2.Vec) float64 {
	inside, least := false, math.Inf(1)
	for _, ring := range rings {
		a := ring[len(ring)-1]
		for _, b := range ring {
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
				inside = !inside
			}
			least = min(least, segmentDistance2(p, a, b))
			a = b
		}
	}
	if !inside {
		return -math.Sqrt(least)
	}
	return math.Sqrt(least)
}

func segmentDistance2(p, a, b r2.Vec) float64 {
	ab, ap := r2.Sub(b, a), r2.Sub(p, a)
	if l := r2.Norm2(ab); l > 0 {
		t := min(1, max(0, r2.Dot(ab, ap)/l))
		ap = r2.Sub(ap, r2.Scale(t, ab))
	}
	return r2.Norm2(ap)
}

// thinned returns a ring without points that are within a distance of the line
// through those kept. Source: Douglas & Peucker, "Algorithms for the reduction of
// the number of points required to represent a digitized line", 1973 (from memory).
func thinned(ring []r2.Vec, within float64) []r2.Vec {
	if len(ring) < 16 {
		return ring
	}
	half := len(ring) / 2
	out := keep(nil, ring[:half+1], within*within)
	return keep(out, append(slices.Clone(ring[half:]), ring[0]), within*within)
}

// keep adds the points of a line that are needed, but its last.
func keep(out, line []r2.Vec, within2 float64) []r2.Vec {
	last, far, most := len(line)-1, 0, within2
	for i := 1; i < last; i++ {
		if d := segmentDistance2(line[i], line[0], line[last]); d > most {
			far, most = i, d
		}
	}
	if far == 0 {
		return append(out, line[0])
	}
	return keep(keep(out, line[:far+1], within2), line[far:], within2)
}
