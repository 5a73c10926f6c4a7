package hold

// spillShare is what a tray under the box holds beyond all rubber in the box
// (common practice, no source).
const spillShare = 0.1

// heavyG is the mass from which lifting alone is no good idea: guidance figures
// lie between 15 and 25 kg by person and reach (HSE, "Manual handling: guidance
// on regulations" (L23), from memory).
const heavyG = 15_000

// Weights is what has to be lifted and turned over, g.
type Weights struct {
	BlockG       Range // cured rubber alone
	FilledBoxG   Range // rubber, pattern and box; without the box where its mass is not known
	WithBox      bool  // the box is in it
	Aid          bool  // two people or a lifting aid
	SpillTrayMM3 float64
	SpillRule    string
}

// WeightsOf adds up rubber, pattern and box; boxG is 0 where it is not known.
func WeightsOf(rubberMM3 float64, d Range, m Mass, boxG float64) Weights {
	cm3 := rubberMM3 / 1000
	w := Weights{
		BlockG: Range{cm3 * d.Low, cm3 * d.Likely, cm3 * d.High}, WithBox: boxG > 0,
		SpillTrayMM3: rubberMM3 * (1 + spillShare),
		SpillRule:    "all rubber in the box and a tenth more, should a seam open",
	}
	w.FilledBoxG = Range{w.BlockG.Low + m.LowG + boxG, w.BlockG.Likely + (m.LowG+m.HighG)/2 + boxG, w.BlockG.High + m.HighG + boxG}
	w.Aid = w.FilledBoxG.Likely >= heavyG || w.BlockG.Likely >= heavyG
	return w
}
