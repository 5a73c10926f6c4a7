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

func (in Input) weights() Weights {
	d, m := in.DensityGPerCM3, in.Mass
	cm3 := in.RubberMM3 / 1000
	w := Weights{
		BlockG: Range{cm3 * d.Low, cm3 * d.Likely, cm3 * d.High}, WithBox: in.BoxG > 0,
		SpillTrayMM3: in.RubberMM3 * (1 + spillShare),
		SpillRule:    "all rubber in the box and a tenth more, should a seam open",
	}
	w.FilledBoxG = Range{w.BlockG.Low + m.LowG + in.BoxG, w.BlockG.Likely + (m.LowG+m.HighG)/2 + in.BoxG, w.BlockG.High + m.HighG + in.BoxG}
	w.Aid = w.FilledBoxG.Likely >= heavyG || w.BlockG.Likely >= heavyG
	return w
}
