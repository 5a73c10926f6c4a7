package stand

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// tip returns the least tilt (degrees) that topples the pattern off its feet,
// or off the stem's disc; negative when the centroid is outside them. The
// centroid is the origin of the own frame.
func (j *judge) tip(w Way, b board, c contact) float64 {
	height := -r3.Dot(b.up, w.Spout) + w.StemMM
	if w.StemMM > 0 {
		return degrees(math.Atan2(j.in.LeastSpoutMM/2-r2.Norm(b.flat(w.Spout)), height))
	}
	return tipAngle(mesh.Hull2(c.feet), r2.Vec{}, height)
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
