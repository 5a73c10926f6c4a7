package implicit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Curve is a polyline in the xz plane, followed by arc length.
type Curve struct {
	points  []r3.Vec
	lengths []float64 // arc length at each point
}

// Bezier returns the cubic Bézier curve of four control points, cut into n
// straight pieces.
func Bezier(a, b, c, d r3.Vec, n int) Curve {
	points := make([]r3.Vec, n+1)
	for i := range points {
		t := float64(i) / float64(n)
		u := 1 - t
		points[i] = r3.Add(
			r3.Add(r3.Scale(u*u*u, a), r3.Scale(3*u*u*t, b)),
			r3.Add(r3.Scale(3*u*t*t, c), r3.Scale(t*t*t, d)))
	}
	return Polyline(points...)
}

// Polyline returns the curve straight from point to point.
func Polyline(points ...r3.Vec) Curve {
	lengths := make([]float64, len(points))
	for i := 1; i < len(points); i++ {
		lengths[i] = lengths[i-1] + r3.Norm(r3.Sub(points[i], points[i-1]))
	}
	return Curve{points: points, lengths: lengths}
}

// Length returns the arc length of the whole curve.
func (c Curve) Length() float64 { return c.lengths[len(c.lengths)-1] }

// At returns the point at arc length s, on the straight beyond the ends.
func (c Curve) At(s float64) r3.Vec {
	i := 1
	for i < len(c.points)-1 && c.lengths[i] < s {
		i++
	}
	t := (s - c.lengths[i-1]) / (c.lengths[i] - c.lengths[i-1])
	return r3.Add(c.points[i-1], r3.Scale(t, r3.Sub(c.points[i], c.points[i-1])))
}

// Along is where a point lies relative to a curve: the arc length of the
// nearest place on it (beyond the ends along the end's direction), and how far
// it is off that, within the plane of the curve and across it (along y).
type Along struct {
	S, In, Across float64
}

// Off returns the distance from the curve, Turn the angle about it in turns.
func (a Along) Off() float64  { return math.Hypot(a.In, a.Across) }
func (a Along) Turn() float64 { return math.Atan2(a.Across, a.In) / (2 * math.Pi) }

// Locate returns where p lies along the curve.
func (c Curve) Locate(p r3.Vec) Along {
	var found Along
	nearest := math.Inf(1)
	last := len(c.points) - 2
	for i := 0; i <= last; i++ {
		a := c.points[i]
		length := c.lengths[i+1] - c.lengths[i]
		dir := r3.Scale(1/length, r3.Sub(c.points[i+1], a))
		s := r3.Dot(r3.Sub(p, a), dir)
		if s < 0 && i > 0 {
			s = 0
		}
		if s > length && i < last {
			s = length
		}
		off := r3.Sub(p, r3.Add(a, r3.Scale(s, dir)))
		if d := r3.Norm2(off); d < nearest {
			nearest = d
			found = Along{S: c.lengths[i] + s, In: off.X*dir.Z - off.Z*dir.X, Across: off.Y}
		}
	}
	return found
}
