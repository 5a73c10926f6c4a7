package stand

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	sphereDirections = 1280 // to try as down
	rimDirections    = 400  // in which the hull's farthest points tell its shadow
)

// sphere returns about n unit vectors in the solid's own frame: those
// of an even spiral that lie in one octant, and their mirror images in the
// three planes. So whatever the signs of the axes are, the set is the same.
func sphere(n int) []r3.Vec {
	var ds []r3.Vec
	golden := math.Pi * (3 - math.Sqrt(5))
	for i := range n {
		z := 1 - (2*float64(i)+1)/float64(n)
		r := math.Sqrt(1 - z*z)
		sin, cos := math.Sincos(golden * (float64(i) + 0.5))
		if z < 0 || sin < 0 || cos < 0 {
			continue
		}
		for _, x := range [2]float64{r * cos, -r * cos} {
			for _, y := range [2]float64{r * sin, -r * sin} {
				ds = append(ds, r3.Vec{X: x, Y: y, Z: z}, r3.Vec{X: x, Y: y, Z: -z})
			}
		}
	}
	return ds
}

// cone returns unit vectors about an axis: itself and rings around it, out to
// 60°.
func cone(axis r3.Vec) []r3.Vec {
	ds := []r3.Vec{axis}
	x, y := tangents(axis)
	for ring := 1; ring <= 8; ring++ {
		sin, cos := math.Sincos(float64(ring) * 7.5 * math.Pi / 180)
		n := 6 * ring
		for k := range n {
			s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			across := r3.Add(r3.Scale(c, x), r3.Scale(s, y))
			ds = append(ds, r3.Add(r3.Scale(cos, axis), r3.Scale(sin, across)))
		}
	}
	return ds
}

// farthest returns the points that are farthest in one of the directions, each
// once, in their order.
func farthest(points, ds []r3.Vec) []r3.Vec {
	if len(points) <= len(ds)/2 {
		return points
	}
	used := make([]bool, len(points))
	for _, d := range ds {
		best, most := 0, math.Inf(-1)
		for i, p := range points {
			if h := d.X*p.X + d.Y*p.Y + d.Z*p.Z; h > most {
				best, most = i, h
			}
		}
		used[best] = true
	}
	var out []r3.Vec
	for i, u := range used {
		if u {
			out = append(out, points[i])
		}
	}
	return out
}
