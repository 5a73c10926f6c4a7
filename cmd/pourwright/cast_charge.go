package main

import (
	"fmt"

	"pourwright/analysis"
	"pourwright/render/say"
)

// chargeRows are what goes in and what comes out, of a hollow cast where a solid one
// would be too thick.
func (r *report) chargeRows(c analysis.Cast) [][2]string {
	cavity := [2]string{"Cavity", fmt.Sprintf("%s with spout and vents; the part alone %s", r.style.Liquid(c.CavityMM3), r.style.Liquid(c.PartMM3))}
	spout, finished := [2]string{"Spout", r.spoutWords(c.Spout)}, [2]string{"Finished", propWeight(r.style, c)}
	lid := [2]string{"Lid covers", "the whole mouth, " + r.style.SizeUp(c.Mouth.SizeMM) + ", and laps over its rim all round"}
	if c.TooThick {
		return append(r.hollowRows(c), lid, cavity, spout, finished)
	}
	rows := [][2]string{
		{"Likely range", r.style.MassRange(c.MassG.Low, c.MassG.High)},
		{"A and B", dividedWords(c.AG, c.BG, c.AMM3, c.BMM3)},
		cavity, spout,
		{"Filling", fillWords(c)},
	}
	if f := c.Foam; f != nil {
		rows = append(rows,
			[2]string{"Before it rises", fmt.Sprintf("%s of liquid, which stands %s high in the closed mold; it grows %.1f times when it rises freely", r.style.Liquid(f.LiquidMM3), r.style.Length(f.LevelMM), f.Expansion)},
			[2]string{"Pushes with", fmt.Sprintf("%s, in a closed mold: %.0f N on the lid over the mouth, %.0f N that open the cut, %s", f.PressureWords(), f.LidN, f.OpenN, f.SafetyWords())},
			lid)
		if words := foamBoxWords(f.Walls); words != "" {
			rows = append(rows, [2]string{"Pouring box", words})
		}
	} else {
		rows = append(rows, [2]string{"Thickest", r.style.Length(c.ThickMM)})
	}
	if h := c.Slush; h != nil {
		rows = append(rows, [2]string{"Hollow instead", fmt.Sprintf("%s in all: %d coats of %s make a skin of %s. %s", r.style.Mass(h.MassG), h.Coats, r.style.Mass(h.CoatG), r.style.Length(h.SkinMM), h.How)})
	}
	return append(rows, finished)
}

// hollowRows lead with the hollow cast, and say what a solid one would be.
func (r *report) hollowRows(c analysis.Cast) [][2]string {
	h := c.Slush
	return [][2]string{
		{"In all", r.style.Mass(h.MassG) + ", and what stays in the cups"},
		{"A and B", "for each coat " + dividedWords(h.AG, h.BG, h.AMM3, h.BMM3)},
		{"How", h.How},
		{"Rod", "none: a skin does not bury one, so nothing is to be laid on bridges or hung in the spout"},
		{"Poured solid", fmt.Sprintf("do not: %s, likely %s, would be %s thick at its thickest, more than this resin stands; it gets hot, shrinks and may crack",
			r.style.MassRange(c.MassG.Low, c.MassG.High), r.style.Mass(c.MassG.Likely), r.style.Length(c.ThickMM))},
	}
}

// dividedWords says A and B of a charge, by weight or else by volume.
func dividedWords(aG, bG, aMM3, bMM3 *float64) string {
	switch {
	case aG != nil && bG != nil:
		return fmt.Sprintf("%s of A and %s of B, an example: the data sheet of your product comes first", say.Grams(*aG), say.Grams(*bG))
	case aMM3 != nil && bMM3 != nil:
		return fmt.Sprintf("%.0f mL of A and %.0f mL of B, an example: the data sheet of your product comes first", *aMM3/1000, *bMM3/1000)
	}
	return "as the data sheet of your product says"
}
