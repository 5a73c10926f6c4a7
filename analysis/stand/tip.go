package stand

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// tip returns the least tilt (degrees) that topples the pattern off its feet,
// or off the stem's disc; negative when the centroid is outside them.
func (j *judge) tip(up r3.Vec, c contact, stem float64) float64 {
	x, y := mesh.Frame(up)
	at := r3.Sub(j.in.Measures.Centroid, c.centre)
	height := r3.Dot(up, at) + stem
	g := r2.Vec{X: r3.Dot(x, at), Y: r3.Dot(y, at)}
	if stem > 0 {
		return degrees(math.Atan2(j.in.LeastSpoutMM/2-r2.Norm(g), height))
	}
	feet := make([]r2.Vec, len(c.feet))
	origin := r2.Vec{X: r3.Dot(x, c.centre), Y: r3.Dot(y, c.centre)}
	for i, p := range c.feet {
		feet[i] = r2.Sub(p, origin)
	}
	return tipAngle(mesh.Hull2(feet), g, height)
}

// tipAngle returns min over the edges of a counter-clockwise support polygon of
// atan(d/height), d the distance of g inside the edge.
func tipAngle(support []r2.Vec, g r2.Vec, height float64) float64 {
	least := math.Inf(1)
	for i, a := range support {
		b := support[(i+1)%len(support)]
		if l := r2.Norm(r2.Sub(b, a)); l > 0 {
			least = min(least, r2.Cross(r2.Sub(b, a), r2.Sub(g, a))/l)
		}
	}
	if math.IsInf(least, 1) {
		least = 0
	}
	return degrees(math.Atan2(least, height))
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
