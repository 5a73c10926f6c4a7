package wall

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Rectangle is the distance to the sides of a box of that inside length along
// x and width along y, negative outside.
func Rectangle(lengthMM, widthMM float64) func(r3.Vec) float64 {
	x, y := lengthMM/2, widthMM/2
	return func(p r3.Vec) float64 { return math.Min(x-math.Abs(p.X), y-math.Abs(p.Y)) }
}

// Tube is the distance to the side of an upright round tube, negative outside.
func Tube(diameterMM float64) func(r3.Vec) float64 {
	return func(p r3.Vec) float64 { return diameterMM/2 - math.Hypot(p.X, p.Y) }
}

// Outline is the distance to upright walls on the sides of a polygon, whose
// corners are the inner corners of the box in order, negative outside.
func Outline(corners []r2.Vec) func(r3.Vec) float64 {
	ring := [][]r2.Vec{corners}
	return func(p r3.Vec) float64 {
		at := r2.Vec{X: p.X, Y: p.Y}
		in, mm := toRings(ring, at)
		if !in {
			return -mm
		}
		return mm
	}
}

// toRings returns the distance of a point to rings of corners, and whether it
// is in one of them.
func toRings(rings [][]r2.Vec, p r2.Vec) (in bool, mm float64) {
	least := math.Inf(1)
	for _, ring := range rings {
		inThis, a := false, ring[len(ring)-1]
		for _, b := range ring {
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
				inThis = !inThis
			}
			if d2 := toSegment2(p, a, b); d2 < least {
				least = d2
			}
			a = b
		}
		in = in || inThis
	}
	return in, math.Sqrt(least)
}

// toSegment2 is the squared distance of p from the segment ab.
func toSegment2(p, a, b r2.Vec) float64 {
	ab, ap := r2.Sub(b, a), r2.Sub(p, a)
	if d := r2.Dot(ab, ap); d > 0 {
		if l := r2.Norm2(ab); d < l {
			ap = r2.Sub(ap, r2.Scale(d/l, ab))
		} else {
			ap = r2.Sub(p, b)
		}
	}
	return r2.Norm2(ap)
}
