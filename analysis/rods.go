package analysis

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// rod is a stem or post: a round bar between the board and the pattern.
type rod struct {
	topMM      float64 // height of its upper end
	lengthMM   float64
	diameterMM float64
}

func (r rod) volume() float64 { return math.Pi / 4 * r.diameterMM * r.diameterMM * r.lengthMM }

// below returns the part of its volume under a level. Level cuts through a
// slanted bar are all alike (Cavalieri), so it grows evenly with the level.
func (r rod) below(level float64) float64 {
	if r.topMM <= 0 {
		return 0
	}
	return r.volume() * min(1, max(0, level/r.topMM))
}

// rods lists the stem and the posts, each once.
func (j *job) rods() []rod {
	var rods []rod
	if s := j.plan.Stand; s.StemMM > 0 {
		rods = append(rods, rod{s.StemMM, s.StemMM, s.SpoutDiameterMM})
	}
	for i, v := range j.vents {
		if v != nil && slices.Index(j.vents, v) == i {
			rods = append(rods, rod{v.From.Z, r3.Norm(r3.Sub(v.From, v.To)), v.DiameterMM})
		}
	}
	return rods
}
