package mix

import (
	"fmt"
	"math"

	"pourwright/analysis/finding"
)

// Air in the rubber and the vacuum that takes it out. Basis of the figures: a
// workshop page and common practice, no source.
const (
	stirredAir    = 0.10 // share of air that stirring leaves in the rubber
	seaLevelGauge = 29   // inHg that a good pump reaches at sea level
	leastGauge    = 28   // inHg there: above this reading bubbles burst
	leastHeadroom = 3    // times its volume a batch must be able to rise to
)

// paPerInHg is the conventional inch of mercury (from memory).
const paPerInHg = 3386.389

// airPressure returns the pressure of the air in Pa at an altitude in m.
// Source: U.S. Standard Atmosphere, 1976, layer up to 11 km (from memory).
func airPressure(altitudeM float64) float64 {
	return 101325 * math.Pow(1-2.25577e-5*altitudeM, 5.25588)
}

// swell returns how many times its volume rubber takes under vacuum when a
// share of it is air: the air spreads in proportion to the pressure (Boyle).
func swell(airShare, outsidePa, insidePa float64) float64 {
	return 1 - airShare + airShare*outsidePa/insidePa
}

// vacuum is what a pump does at an altitude that reaches as deep as one at sea
// level.
type vacuum struct {
	gaugeInHg float64 // reading to pull to
	leastInHg float64 // reading above which bubbles burst
	swell     float64 // of rubber with stirredAir in it
}

func vacuumAt(altitudeM float64) vacuum {
	sea, here := airPressure(0), airPressure(altitudeM)
	inside := sea - seaLevelGauge*paPerInHg
	return vacuum{
		gaugeInHg: (here - inside) / paPerInHg,
		leastInHg: (here - (sea - leastGauge*paPerInHg)) / paPerInHg,
		swell:     swell(stirredAir, here, inside),
	}
}

// degassed tells whether the batches go under vacuum.
func (in Input) degassed() bool { return in.Headroom > 1 }

// vacuumDoubts compares the room in the vessel with what rubber rises to.
func (in Input) vacuumDoubts(tell func(finding.Level, string, string)) {
	if !in.degassed() {
		if in.Rubber.ViscosityPaS > thickPaS {
			tell(finding.Warn,
				fmt.Sprintf("At about %.0f Pa·s this rubber keeps the air that is stirred into it, and it is not degassed.", in.Rubber.ViscosityPaS),
				"Pour it in a thread from high up, and brush a first coat into the detail.")
		}
		return
	}
	v := vacuumAt(in.AltitudeM)
	if in.Headroom < leastHeadroom {
		tell(finding.Warn,
			fmt.Sprintf("The vessel holds only %g times a batch, and rubber with a tenth of air in it rises to %.1f times its volume.", in.Headroom, v.swell),
			"Give it four times its volume, or let the pressure down in steps and watch it.")
	}
	text := fmt.Sprintf("Degas until the gauge reads about %.0f inHg; under %.0f inHg bubbles grow and do not burst.", v.gaugeInHg, v.leastInHg)
	if in.AltitudeM >= 300 {
		text = fmt.Sprintf("At %.0f m the gauge cannot read as deep: degas until it reads about %.1f inHg, as good as %d inHg at sea level; under %.1f inHg bubbles grow and do not burst.",
			in.AltitudeM, v.gaugeInHg, seaLevelGauge, v.leastInHg)
	}
	if in.Rubber.ViscosityPaS > thickPaS {
		text = fmt.Sprintf("At about %.0f Pa·s this rubber keeps the air that is stirred into it. ", in.Rubber.ViscosityPaS) + text
	}
	if in.AltitudeM >= 300 || in.Rubber.ViscosityPaS > thickPaS {
		tell(finding.Note, text, "Use a vessel and lid rated for vacuum, stop after about 10 minutes, and keep eye protection on.")
	}
}
