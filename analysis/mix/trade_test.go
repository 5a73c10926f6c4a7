package mix_test

import (
	"testing"

	"pourwright/analysis/mix"
)

// Factors that workshop pages calculate with (common practice, no source), in
// exact inches and pounds: 25 in³ to the pound is 1.1072 g/cm³, 18.5 g to the cubic
// inch 1.12894, 21 g 1.2815, and 0.68 oz by weight 1.1764.
func TestTradeFactorsAreTheDensitiesTheyStandFor(t *testing.T) {
	const in3, lb = 16.387064, 453.59237
	for _, c := range []struct{ gPerIn3, density float64 }{
		{lb / 25, 1.1072}, {mix.RuleGPerIn3, 1.12894}, {21, 1.2815}, {0.68 * lb / 16, 1.1764},
	} {
		near(t, "density", c.gPerIn3/in3, c.density, 5e-5)
		// A box of 10 in³ filled with rubber of that density holds ten times the factor.
		r := plan(t, mix.Input{Rubber: ofDensity(rubber(t, "tin-30"), c.density), InsideMM: [3]float64{5 * inch, 2 * inch, inch}})
		near(t, "rubber in 10 in³", r.NetG, 10*c.gPerIn3, 0.005*c.gPerIn3)
	}
}
