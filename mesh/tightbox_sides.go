package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// boxSides measures boxes that are turned but a little from one that is given: of
// all points it keeps, for each side of the box, those that can be at that side
// then. Few can, so that trying turns takes a fraction of the time, and the boxes
// are the same to the last bit.
type boxSides struct {
	points []r3.Vec
	slack  float64 // more than the rounding of a distance along an axis
	axes   [3]r3.Vec
	near   [3][2][]r3.Vec // by axis: at its low side, at its high side
	along  []float64
	next   int // place among the first points of a side that is filled next
}

const lately = 4 // points of a side that come first

func newBoxSides(points []r3.Vec) *boxSides {
	b := BoundsOf(points)
	far := math.Max(farthest(b.Min), farthest(b.Max))
	return &boxSides{points: points, slack: 1e-14 * far, along: make([]float64, len(points))}
}

// keep picks the points anew, for axes that turn by up to reach (radians) from
// these. A point p may come to be farther along an axis a than the one q that is
// farthest now only if p−q makes an angle of less than 90° + reach with a.
func (s *boxSides) keep(axes [3]r3.Vec, reach float64) {
	s.axes = axes
	sin2 := math.Pow(math.Sin(1.001*reach), 2)
	for k, a := range axes {
		low, high := 0, 0
		for i, p := range s.points {
			x := dot(a, p)
			s.along[i] = x
			if x < s.along[low] {
				low = i
			}
			if x > s.along[high] {
				high = i
			}
		}
		lowest, highest := s.points[low], s.points[high]
		near := [2][]r3.Vec{s.near[k][0][:0], s.near[k][1][:0]}
		for i, p := range s.points {
			if mayPass(s.along[i]-s.along[low]-s.slack, lowest, p, sin2) {
				near[0] = append(near[0], p)
			}
			if mayPass(s.along[high]-s.along[i]-s.slack, highest, p, sin2) {
				near[1] = append(near[1], p)
			}
		}
		s.near[k] = near
	}
}

// mayPass says whether a point that is behind another may come to be before it.
func mayPass(behind float64, other, p r3.Vec, sin2 float64) bool {
	if behind <= 0 {
		return true
	}
	x, y, z := p.X-other.X, p.Y-other.Y, p.Z-other.Z
	return behind*behind <= sin2*(x*x+y*y+z*z)
}

// boxAlong is boxAlong for axes within reach. Most boxes that are tried are not
// smaller than the best so far; the points that were farthest lately, which come first,
// tell that of most of them.
func (s *boxSides) boxAlong(axes [3]r3.Vec, best float64) (b turnedBox, smaller bool) {
	b.axes = axes
	for _, most := range [2]int{lately, math.MaxInt} {
		b.volume = 1
		for k := range axes {
			b.size[k] = s.size(k, &axes[k], most)
			b.volume *= b.size[k]
		}
		if b.volume >= best {
			return b, false
		}
	}
	return b, true
}

// size returns how far apart the two sides across axis k are when it points along a,
// as the first points of each side tell, up to most.
func (s *boxSides) size(k int, a *r3.Vec, most int) float64 {
	low, high := s.near[k][0], s.near[k][1]
	lo, hi, lowest, highest := math.Inf(1), math.Inf(-1), 0, 0
	for i := range low[:min(most, len(low))] {
		p := &low[i]
		if x := a.X*p.X + a.Y*p.Y + a.Z*p.Z; x < lo {
			lo, lowest = x, i
		}
	}
	for i := range high[:min(most, len(high))] {
		p := &high[i]
		if x := a.X*p.X + a.Y*p.Y + a.Z*p.Z; x > hi {
			hi, highest = x, i
		}
	}
	s.putFirst(low, lowest)
	s.putFirst(high, highest)
	return hi - lo
}

// putFirst puts a point that was farthest among the first, in turn with those there.
func (s *boxSides) putFirst(near []r3.Vec, at int) {
	if at >= lately {
		s.next = (s.next + 1) % lately
		near[s.next], near[at] = near[at], near[s.next]
	}
}
