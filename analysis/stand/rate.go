package stand

import "math"

// openingScore says how well an opening serves, 0–1. Time to fill through an
// opening goes with 1/d³ (Sampson's law for an orifice, as given in Dagan,
// Weinbaum & Pfeffer, "An infinite-series solution for the creeping motion through
// an orifice of finite length", 1982, from memory), and the least spout is made
// for the volume: at it the score is 0.8, at half of it 0.33, at twice 0.97.
func openingScore(diameterMM, leastMM float64) float64 {
	if !(diameterMM > 0) {
		return 0
	}
	return 1 / (1 + math.Pow(leastMM/diameterMM, 3)/4)
}

// neckScore is 1 when nothing behind the spout is narrower than the least spout;
// a narrower place costs as a spout of its width does, by the share of the volume that is
// behind it.
func (j *judge) neckScore(w Way) float64 {
	if math.IsNaN(w.NeckMM) {
		return math.NaN()
	}
	if w.NeckMM >= j.in.LeastSpoutMM {
		return 1
	}
	share := min(1, max(0, w.BehindMM3/j.in.Measures.VolumeMM3))
	return 1 - share*(1-openingScore(w.NeckMM, j.in.LeastSpoutMM)/openingScore(1, 1))
}

// castAirScore is 1 without traps. Each vent is a rod to drill and a sprue to
// trim off every cast, three times that on detail; air that no post frees costs as
// much as eight vents, and so does a tenth of the volume lost.
func castAirScore(a Air, volume float64) float64 {
	stay := float64(a.Count - a.Vents)
	return 1 / (1 + 0.1*float64(a.Vents) + 0.3*a.OnDetail + 0.8*stay + 8*a.StayMM3/volume)
}

// rubberAirScore is 1 without traps: each has to be brushed or rocked free, or
// leaves a lump on every cast, which is twice as bad on detail; so is the share of
// the volume that is lost.
func rubberAirScore(a Air, volume float64) float64 {
	return 1 / (1 + 0.4*(float64(a.Count)+a.OnDetail) + 8*a.StayMM3/volume)
}
