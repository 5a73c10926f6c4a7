package mix

import (
	"fmt"
	"math"

	"pourwright/analysis/finding"
)

const (
	// A block from this mass on wants two people or a lifting aid: the
	// guideline figure of HSE, "Manual handling: guidance on regulations"
	// (L23), for a woman at waist height close to the body (from memory).
	heavyG = 16_000
	// The scale's step is to be at most this share of the smaller part
	// (common practice, no source).
	stepShare = 0.02
	// From this share on rounding alone makes another mix of it (common practice,
	// no source).
	spoiltShare = 0.1
	// Helpers can mix side by side, but not more than a few of them (common
	// practice, no source).
	mostPotLives = 4
	// Thicker rubber holds stirred-in air (common practice, no source).
	thickPaS = 20
)

// doubts lists what may go wrong with a mix.
func (in Input) doubts(r Result) []finding.Finding {
	var fs []finding.Finding
	tell := func(level finding.Level, text, action string) {
		fs = append(fs, finding.Finding{Question: "mix", Level: level, Text: text, Action: action})
	}
	first := r.Batches[0]
	if part, g := smallerPart(first); in.ScaleStepG > stepShare*g {
		level := finding.Warn
		if in.ScaleStepG > spoiltShare*g {
			level = finding.Stop
		}
		tell(level,
			fmt.Sprintf("A scale step of %g g is %.0f %% of the %g g of part %s in a batch.", in.ScaleStepG, 100*in.ScaleStepG/g, g, part),
			"Weigh on a finer scale, or mix more at a time.")
	}
	in.timeDoubts(r, tell)
	in.roomDoubts(tell)
	in.vacuumDoubts(tell)
	if in.Below == nil && in.DisplacedMM3 > 0 {
		tell(finding.Note,
			"The marks below the rubber level take the pattern as equally thick all the way up.",
			"Use the marks as a guide only, or plan from a scan.")
	}
	if r.NetG > heavyG {
		tell(finding.Warn,
			fmt.Sprintf("The cured block alone weighs about %.0f kg.", r.NetG/1000),
			"Build the box where it can stay, and lift or turn it over with two people or a lifting aid.")
	}
	return fs
}

// timeDoubts compares the work with the pot life.
func (in Input) timeDoubts(r Result, tell func(finding.Level, string, string)) {
	pot, n := in.potLife(), len(r.Batches)
	minutes := func(s float64) float64 { return math.Ceil(s / 60) }
	switch {
	case r.TimeNeededS > pot:
		tell(finding.Stop,
			fmt.Sprintf("Mixing, degassing and pouring a batch take about %.0f min and the pot life is %.0f min.", minutes(r.TimeNeededS), pot/60),
			"Take a slower rubber, or smaller batches without degassing.")
	case r.TimeNeededS > potLifeUse*pot*(1+1e-9):
		tell(finding.Warn,
			fmt.Sprintf("Mixing, degassing and pouring a batch take about %.0f min, more than 70 %% of the pot life of %.0f min.", minutes(r.TimeNeededS), pot/60),
			"Have all parts weighed and a helper ready, or take a slower rubber; heat shortens the pot life.")
	}
	if n < 2 {
		return
	}
	level, text := finding.Note, fmt.Sprintf("The rubber is poured in %d batches.", n)
	all := r.TimeNeededS * float64(n)
	if all > pot {
		level = finding.Warn
		text = fmt.Sprintf("%d batches one after another take about %.0f min and the pot life is %.0f min.", n, minutes(all), pot/60)
	}
	if all > mostPotLives*pot {
		tell(finding.Stop, text, "Take a far slower rubber and larger mixing vessels, or make a thinner mold of another kind: poured like this, the first rubber is hard before the last is mixed.")
		return
	}
	tell(level, text,
		"Weigh all parts out first and mix with helpers, so that each batch goes onto rubber that is still liquid; never stop at a band of detail.")
}

func smallerPart(b Batch) (name string, g float64) {
	if b.AG < b.BG {
		return "A", b.AG
	}
	return "B", b.BG
}
