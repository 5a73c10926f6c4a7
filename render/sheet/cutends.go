package sheet

import (
	"fmt"
	"math"

	"pourwright/analysis"
)

// cutEnds is where an upright plane meets the inside of the box walls, the end
// with the smaller x first (then y).
func cutEnds(p *analysis.Plan) ([2]cutEnd, bool) {
	n := p.Cut.Normal
	flat := math.Hypot(n[0], n[1])
	half := [2]float64{p.Box.InsideMM[0] / 2, p.Box.InsideMM[1] / 2}
	if !(flat > 1e-9) || !drawable(half[0], half[1]) {
		return [2]cutEnd{}, false
	}
	at, along := [2]float64{p.Cut.PointMM[0], p.Cut.PointMM[1]}, [2]float64{-n[1] / flat, n[0] / flat}
	var ends [2]cutEnd
	var ok bool
	switch {
	case p.Box.Shape == "tube" && p.Box.RadiusMM != nil:
		ends, ok = cutCircle(*p.Box.RadiusMM, at, along)
	case p.Box.Shape == "faceted" && len(p.Box.OutlineMM) > 2:
		ends, ok = cutPolygon(p.Box.OutlineMM, at, along)
	default:
		ends, ok = cutRectangle(half, at, along)
	}
	if ends[1].X < ends[0].X-1e-9 || math.Abs(ends[1].X-ends[0].X) < 1e-9 && ends[1].Y < ends[0].Y {
		ends[0], ends[1] = ends[1], ends[0]
	}
	return ends, ok
}

// cutCircle cuts a circle round the middle of the box; along is a unit vector.
func cutCircle(radius float64, at, along [2]float64) ([2]cutEnd, bool) {
	middle := -(at[0]*along[0] + at[1]*along[1])
	off := at[0]*along[1] - at[1]*along[0]
	if !(math.Abs(off) < radius) {
		return [2]cutEnd{}, false
	}
	reach := math.Sqrt(radius*radius - off*off)
	var ends [2]cutEnd
	for k, t := range [2]float64{middle - reach, middle + reach} {
		x, y := at[0]+t*along[0], at[1]+t*along[1]
		ends[k] = cutEnd{x, y, sideOf(x, y)}
	}
	return ends, true
}

// sideOf names the side of a tube that a point on it is nearest to.
func sideOf(x, y float64) string {
	switch {
	case math.Abs(x) >= math.Abs(y) && x < 0:
		return "left side"
	case math.Abs(x) >= math.Abs(y):
		return "right side"
	case y < 0:
		return "front side"
	}
	return "back side"
}

// cutPolygon cuts a polygon where the line enters first and leaves last.
func cutPolygon(outline [][2]float64, at, along [2]float64) ([2]cutEnd, bool) {
	from, to := math.Inf(1), math.Inf(-1)
	var ends [2]cutEnd
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		offA := (a[0]-at[0])*along[1] - (a[1]-at[1])*along[0]
		offB := (b[0]-at[0])*along[1] - (b[1]-at[1])*along[0]
		if (offA < 0) == (offB < 0) {
			continue
		}
		share := offA / (offA - offB)
		x, y := a[0]+share*(b[0]-a[0]), a[1]+share*(b[1]-a[1])
		end := cutEnd{x, y, fmt.Sprintf("facet %d", i+1)}
		t := (x-at[0])*along[0] + (y-at[1])*along[1]
		if t < from {
			from, ends[0] = t, end
		}
		if t > to {
			to, ends[1] = t, end
		}
	}
	return ends, from < to
}

// cutRectangle clips after Y.-D. Liang and B. A.
// Barsky, A new concept and method for line clipping, ACM Trans. Graphics 3
// (1984).
func cutRectangle(half, at, along [2]float64) ([2]cutEnd, bool) {
	walls := [2][2]string{{"x0", "x1"}, {"y0", "y1"}}
	from, to := math.Inf(-1), math.Inf(1)
	var wall [2]string
	for k := range 2 {
		if math.Abs(along[k]) < 1e-12 {
			if math.Abs(at[k]) > half[k] {
				return [2]cutEnd{}, false
			}
			continue
		}
		near, far := (-half[k]-at[k])/along[k], (half[k]-at[k])/along[k]
		side := walls[k]
		if near > far {
			near, far, side = far, near, [2]string{side[1], side[0]}
		}
		if near > from {
			from, wall[0] = near, side[0]
		}
		if far < to {
			to, wall[1] = far, side[1]
		}
	}
	if !(from < to) {
		return [2]cutEnd{}, false
	}
	return [2]cutEnd{
		{at[0] + from*along[0], at[1] + from*along[1], wall[0]},
		{at[0] + to*along[0], at[1] + to*along[1], wall[1]},
	}, true
}
