package analysis

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/cast"
)

// passageFinder returns what tells of the narrowest way through the pattern from
// a spout of that diameter around a point of the scan frame: the diameter of the
// neck that holds the filling up most, by the volume behind it over the cube of
// its diameter, and that volume. Without a neck the diameter is infinite and the
// volume 0. It takes some microseconds and is safe for concurrent use.
func (j *job) passageFinder() (func(spout r3.Vec, diameterMM float64) (narrowestMM, behindMM3 float64), error) {
	p, err := j.findPassages()
	if err != nil {
		return nil, err
	}
	return func(spout r3.Vec, diameterMM float64) (float64, float64) {
		necks, _ := p.From(spout, diameterMM)
		narrowest, behind, worst := math.Inf(1), 0.0, 0.0
		for _, n := range necks {
			if slow := n.BehindMM3 / (n.DiameterMM * n.DiameterMM * n.DiameterMM); slow > worst {
				narrowest, behind, worst = n.DiameterMM, n.BehindMM3, slow
			}
		}
		return narrowest, behind
	}, nil
}

// findPassages returns the pattern's passages, found once.
func (j *job) findPassages() (*cast.Passages, error) {
	if j.passages != nil {
		return j.passages, nil
	}
	f, err := j.space()
	if err != nil {
		return nil, err
	}
	j.passages, err = cast.NewPassages(j.ctx, f)
	return j.passages, err
}

func (j *job) fillCast() {
	j.plan.Cast = Cast{Material: j.casting.Key, CavityMM3: j.measures.VolumeMM3}
	for _, r := range j.rods() {
		j.plan.Cast.CavityMM3 += r.volume()
	}
}
