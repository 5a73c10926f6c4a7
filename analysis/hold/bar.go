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

// bar looks for a plain place that faces up, that nothing hangs over, as
// nearly over the middle of the pattern as can be. nil: there is none.
func (in Input) bar(l load) *Bar {
	middle, up := flat(in.Solid.Measure().Centroid), r3.Vec{Z: 1}
	spots := bestSpots(in.facing(up), func(p place) (spot, [2]int, bool) {
		score := r2.Norm(r2.Sub(flat(p.at), middle)) + detailMM*p.detail
		return spot{place: p, score: score}, [2]int{int(math.Floor(p.at.X / placeMM)), int(math.Floor(p.at.Y / placeMM))}, true
	})
	for i := range min(len(spots), candidatesUp) {
		p := spots[i].place
		if gap := in.Solid.Bounds().Max.Z + 1 - p.at.Z; !in.free(p.at, up, gap) {
			continue
		}
		push := in.Safety * l.liftN
		return &Bar{AtMM: [3]float64{p.at.X, p.at.Y, p.at.Z}, PushN: push, WeightG: push / Gravity * 1000, Detail: p.detail}
	}
	return nil
}
