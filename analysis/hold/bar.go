package hold

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Bar is a bar across the top of the box with a prop down onto the pattern.
type Bar struct {
	AtMM    [3]float64 // the prop's end on the pattern, stand frame
	PushN   float64    // it has to push down with, the safety in it
	WeightG float64    // that pushes as hard, laid on top
	Detail  float64
}

// propSquare is how far up the surface must face under a prop.
const propSquare = 0.8

// bar looks for a plain place that faces up, that nothing hangs over, as
// nearly over the middle of the pattern as can be. nil: there is none.
func (in Input) bar(normals []r3.Vec, l load) *Bar {
	middle := flat(in.Solid.Measure().Centroid)
	best, least := -1, math.Inf(1)
	up := r3.Vec{Z: 1}
	for v, p := range in.Solid.Vertices {
		if normals[v].Z < propSquare {
			continue
		}
		score := r2.Norm(r2.Sub(flat(p), middle))
		if in.Detail != nil {
			score += detailMM * float64(in.Detail[v])
		}
		if score >= least {
			continue
		}
		if _, under := in.Tree.First(r3.Add(p, r3.Scale(1e-3, up)), up); !under {
			best, least = v, score
		}
	}
	if best < 0 {
		return nil
	}
	p := in.Solid.Vertices[best]
	b := Bar{AtMM: [3]float64{p.X, p.Y, p.Z}, PushN: in.Safety * l.liftN}
	b.WeightG = b.PushN / Gravity * 1000
	if in.Detail != nil {
		b.Detail = float64(in.Detail[best])
	}
	return &b
}
