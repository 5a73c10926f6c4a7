package cast

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// opening is the section through a passage.
type opening struct {
	area, perimeter float64 // mm², mm; holes in it add to the perimeter
	chord           float64 // mean length of the outline's straight pieces, mm
}

// leastTilts are the steps in which the plane is tilted to the least section,
// degrees.
var leastTilts = []float64{8, 4, 2, 1, 0.5}

// leastOpening returns the least section through a passage: of planes across the
// shaft at each of its points where it is narrow, and near the best of them tilted.
func (s *surroundings) leastOpening(l shaft, radius float64) (opening, bool) {
	best := opening{area: math.Inf(1)}
	var at, normal r3.Vec
	for i := range l.points {
		if l.radius[i] > narrowTo*radius {
			continue
		}
		axis := l.axis(i)
		if o, ok := s.open(l.points[i], axis); ok && o.area < best.area {
			best, at, normal = o, l.points[i], axis
		}
	}
	if math.IsInf(best.area, 1) {
		return opening{}, false
	}
	for _, deg := range leastTilts {
		for tilted := true; tilted; {
			tilted = false
			x, y := mesh.Frame(normal)
			sin, cos := math.Sincos(deg * math.Pi / 180)
			for _, side := range []r3.Vec{x, r3.Scale(-1, x), y, r3.Scale(-1, y)} {
				n := r3.Add(r3.Scale(cos, normal), r3.Scale(sin, side))
				if o, ok := s.open(at, n); ok && o.area < best.area*(1-1e-6) {
					best, normal, tilted = o, n, true
					break
				}
			}
		}
	}
	return best, true
}

// axis returns the direction of the shaft at one of its points.
func (l shaft) axis(i int) r3.Vec {
	d := r3.Sub(l.points[min(i+1, len(l.points)-1)], l.points[max(i-1, 0)])
	return r3.Scale(1/r3.Norm(d), d)
}

// open returns the part of the section across a unit normal that holds the point
// at: the smallest outer line around it and the holes in that.
func (s *surroundings) open(at, normal r3.Vec) (opening, bool) {
	x, y := mesh.Frame(normal)
	flat := func(p r3.Vec) r2.Vec { p = r3.Sub(p, at); return r2.Vec{X: r3.Dot(x, p), Y: r3.Dot(y, p)} }
	loops := s.Section(at, normal)
	rings, areas := make([][]r2.Vec, len(loops)), make([]float64, len(loops))
	outer := -1
	for i, l := range loops {
		rings[i] = make([]r2.Vec, len(l.Points))
		for k, p := range l.Points {
			rings[i][k] = flat(p)
		}
		areas[i] = mesh.LoopsArea(loops[i:i+1], normal)
		if areas[i] > 0 && (outer < 0 || areas[i] < areas[outer]) && holds(rings[i], r2.Vec{}) {
			outer = i
		}
	}
	if outer < 0 {
		return opening{}, false
	}
	o := opening{area: areas[outer], perimeter: loops[outer].Length()}
	o.chord = o.perimeter / float64(len(rings[outer]))
	for i := range loops {
		if areas[i] < 0 && holds(rings[outer], rings[i][0]) {
			o.area += areas[i]
			o.perimeter += loops[i].Length()
		}
	}
	return o, o.area > 0
}

// holds says whether a point is inside a ring, by crossings to its right.
func holds(ring []r2.Vec, p r2.Vec) bool {
	inside := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			inside = !inside
		}
	}
	return inside
}
