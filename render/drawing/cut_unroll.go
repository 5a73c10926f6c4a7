package drawing

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
)

// unroller lays the cut flat: a plane as it is seen by someone who looks at it
// squarely, a stepped sheet rolled out along its profile, which keeps all lengths
// on it.
type unroller struct {
	point             r3.Vec
	right, up, toward r3.Vec // unit; toward whoever looks
	along             r3.Vec // of a stepped sheet: right or up, or against one of them
	steps             []analysis.CutStep
	sign              float64 // of the cut's own normal toward whoever looks
}

// newUnroller looks at the cut from the front, the right or above, from whichever it
// is seen best. It tells whether there is a cut.
func newUnroller(c *analysis.Cut) (*unroller, bool) {
	n := vec(c.Normal)
	if !(r3.Norm(n) > 0.5) || len(c.Rim) < 3 {
		return nil, false
	}
	n = r3.Scale(1/r3.Norm(n), n)
	un := &unroller{point: vec(c.PointMM), toward: n, steps: c.Steps, sign: 1}
	if from := lookedFrom(n); r3.Dot(n, from) < 0 {
		un.toward, un.sign = r3.Scale(-1, n), -1
	}
	un.right = r3.Vec{X: 1}
	if flat := math.Hypot(n.X, n.Y); flat > 1e-9 {
		un.right = r3.Vec{X: -un.toward.Y / flat, Y: un.toward.X / flat}
	}
	un.up = r3.Cross(un.toward, un.right)
	if c.StepsAlong != nil {
		un.along = vec(*c.StepsAlong)
	}
	return un, true
}

// lookedFrom is where a cut across n is looked at from.
func lookedFrom(n r3.Vec) r3.Vec {
	switch x, y, z := math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z); {
	case z > x && z > y:
		return r3.Vec{Z: 1}
	case x > y+1e-9:
		return r3.Vec{X: 1}
	}
	return r3.Vec{Y: -1}
}

// halves names the half whose face is drawn and the one in front of it.
func (un *unroller) halves() (seen, taken string) {
	switch from := lookedFrom(un.toward); {
	case from.Z != 0:
		return "lower", "upper"
	case from.X != 0:
		return "left", "right"
	}
	return "back", "front"
}

// flat is where a point of the cut comes to lie, +y up; what is off the cut is moved
// onto it along the normal.
func (un *unroller) flat(at [3]float64) Point {
	d := r3.Sub(vec(at), un.point)
	p := Point{r3.Dot(un.right, d), r3.Dot(un.up, d)}
	if len(un.steps) == 0 {
		return p
	}
	on := r3.Dot(un.along, d)
	more := un.profile(on) - un.profile(0) - on
	return p.plus(more*r3.Dot(un.along, un.right), more*r3.Dot(un.along, un.up))
}

// profile is how long the profile of a stepped sheet is from its first corner to a
// place along the plane.
func (un *unroller) profile(at float64) float64 {
	first := un.steps[0]
	sum := min(0, at-first.AtMM)
	for i := 1; i < len(un.steps) && un.steps[i-1].AtMM < at; i++ {
		a, b := un.steps[i-1], un.steps[i]
		whole := b.AtMM - a.AtMM
		if whole > 0 {
			sum += math.Hypot(whole, b.OffsetMM-a.OffsetMM) * min(1, (at-a.AtMM)/whole)
		}
	}
	return sum + max(0, at-un.steps[len(un.steps)-1].AtMM)
}

// off is how far a point is from the plane of the cut, toward whoever looks.
func (un *unroller) off(at [3]float64) float64 {
	return r3.Dot(un.toward, r3.Sub(vec(at), un.point))
}

func (un *unroller) flats(points [][3]float64) []Point {
	all := make([]Point, len(points))
	for i, p := range points {
		all[i] = un.flat(p)
	}
	return all
}

func vec(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }
