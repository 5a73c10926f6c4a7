package mix

import (
	"fmt"
	"math"

	"pourwright/analysis/shelf"
)

// measureErrorMM is how far each inside measure of a box made to a whole
// millimetre, and the level poured to a drawn mark, may be off, either way
// (common practice, no source).
const measureErrorMM = 1

// z95 is the 95 % point of the normal curve.
const z95 = 1.6448536269514722

// rangeRule tells how LowG and HighG came about.
const rangeRule = "5 %% and 95 %% points: density between the shelf's low and high, displaced volume within its error, " +
	"each inside measure and the level within 1 mm, %.0f to %.0f g of film for a 1 L cup, the bulge of the walls; independent, added in quadrature on each side"

// spread sets the range of the mass needed. Each source moves the mass down
// and up by its own 5 % and 95 % points; independent moves add in quadrature,
// each side for itself, which follows lopsided sources well enough.
func (in Input) spread(r *Result) {
	l, w, level := in.InsideMM[0], in.InsideMM[1], in.InsideMM[2]
	n := float64(len(r.Batches))
	cups := n * in.cupSurface(r.MassG/n)
	d := in.Rubber.DensityGPerCM3
	var down, up float64
	add := func(likely float64, low, high float64) {
		down += (likely - low) * (likely - low)
		up += (high - likely) * (high - likely)
	}
	dLow, dHigh := triangle(d)
	add(r.NetG, r.NetG*dLow/d.Likely, r.NetG*dHigh/d.Likely)
	fLow, fHigh := triangle(in.FilmG)
	add(in.FilmG.Likely*cups, fLow*cups, fHigh*cups)
	for _, mm3 := range [4]float64{in.DisplacedErrorMM3, w * level * measureErrorMM, l * level * measureErrorMM, l * w * measureErrorMM} {
		g := 0.9 * in.grams(mm3) // 5 % point of an even spread
		add(0, -g, g)
	}
	bulge := in.BulgeMM3
	bLow, bHigh := triangle(bulge)
	add(in.grams(bulge.Likely), in.grams(bLow), in.grams(bHigh))
	// Of the allowance all but the film is spare when nothing leaks. An even
	// chance to need more or less than likely, half a normal curve on the upper side.
	if spare := r.AllowanceG - in.FilmG.Likely*cups; up > 0 {
		r.Enough = 0.5 * math.Erfc(-spare/(math.Sqrt(up)/z95)/math.Sqrt2)
	}
	r.LowG = math.Max(0, r.MassG-math.Sqrt(down))
	r.HighG = r.MassG + math.Sqrt(up)
	r.RangeRule = fmt.Sprintf(rangeRule, in.FilmG.Low, in.FilmG.High)
}

// triangle returns the 5 % and 95 % points of the triangular distribution over
// a range, kept on their own sides of the likely value. Source: inverse of its
// distribution function (Evans, Hastings and Peacock, "Statistical
// Distributions", from memory).
func triangle(r shelf.Range) (low, high float64) {
	width := r.High - r.Low
	low = r.Low + math.Sqrt(0.05*width*(r.Likely-r.Low))
	high = r.High - math.Sqrt(0.05*width*(r.High-r.Likely))
	return math.Min(low, r.Likely), math.Max(high, r.Likely)
}
