package cut

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
)

// doubts tells what a maker should know of the cut.
func (r *Result) doubts(p *Placed) []finding.Finding {
	var all []finding.Finding
	tell := func(level finding.Level, at *r3.Vec, text, action string) {
		f := finding.Finding{Question: "cut", Level: level, Text: text, Action: action}
		if at != nil {
			f.AtMM = &[3]float64{at.X, at.Y, at.Z}
		}
		all = append(all, f)
	}
	if r.DetailCrossed > PoorDetail {
		tell(finding.Warn, nil, fmt.Sprintf("The seam crosses detail that no cut avoids: %.0f of 100 along it.", 100*r.DetailCrossed),
			"Mark what matters most with --keep-clear, or stand the part another way; expect to clean the seam of every cast.")
	}
	if r.UndercutMM3[0]+r.UndercutMM3[1] > PoorUndercut*r.volume {
		tell(finding.Note, nil, fmt.Sprintf("Rubber hooks behind the part, up to %.0f mm deep.", max(r.DepthMM[0], r.DepthMM[1])),
			"Peel the rubber off from its edge instead of pulling it straight; a softer rubber gives way more easily.")
	}
	all = append(all, p.keyDoubts()...)
	return append(all, p.slitDoubts()...)
}

func (p *Placed) keyDoubts() []finding.Finding {
	waves, good := 0, 0
	for _, k := range p.Keys {
		for _, w := range k.Waves {
			waves++
			if w.AmplitudeMM > 0 {
				good++
			}
		}
	}
	if good >= fewKeys && float64(good) >= keysShare*float64(waves) {
		return nil
	}
	text := "There is no rubber for keys beside the land, so nothing sets the halves true."
	if good > 0 {
		text = fmt.Sprintf("There is rubber for few keys beside the land: %d of %d waves.", good, waves)
	}
	return []finding.Finding{{Question: "cut", Level: finding.Warn, Text: text,
		Action: "Leave more rubber where the cut runs, such as --cut-clearance 25mm and --cover 25mm, or set the halves true by the box they were poured in."}}
}

// slitWords say why the halves must come apart.
var slitWords = map[string]string{
	Hole:    "rubber goes through a hole of the part",
	Beside:  "the cut does not meet the spout",
	Several: "the cut meets the part in several places, which one slit does not reach",
	Tight:   "any hinge would leave the opening too tight for this rubber",
}

func (p *Placed) slitDoubts() []finding.Finding {
	var all []finding.Finding
	if p.Stretch.Guessed {
		all = append(all, finding.Finding{Question: "cut", Level: finding.Note,
			Text:   fmt.Sprintf("How far this rubber stretches is not known; %.0f %% was allowed.", 100*p.Stretch.Allowed),
			Action: "Give elongation_pct and tear_kn_m from its data sheet in your shelf file."})
	}
	if p.Slit.Full != "" {
		return append(all, finding.Finding{Question: "cut", Level: finding.Note,
			Text:   "Cut the block into two halves: " + slitWords[p.Slit.Full] + ".",
			Action: "Mark both halves before you cut, so that they go back together the same way round."})
	}
	if p.Stretch.Straight > p.Stretch.Allowed+1e-9 {
		all = append(all, finding.Finding{Question: "cut", Level: finding.Note,
			Text:   fmt.Sprintf("The part is bent or lopsided on its way out: drawn straight, it would stretch the rubber by %.0f %%, where %.0f %% are allowed.", 100*p.Stretch.Straight, 100*p.Stretch.Allowed),
			Action: "Turn the part along its bends as it comes, or cut on along the same line until it lets go."})
	}
	if p.Stretch.NickMM > 0 && p.Stretch.NickMM < nickToMindMM {
		end := p.Slit.Path[len(p.Slit.Path)-1]
		all = append(all, finding.Finding{Question: "cut", Level: finding.Note, AtMM: &[3]float64{end.X, end.Y, end.Z},
			Text:   fmt.Sprintf("Stretched by %.0f %%, the rubber may tear on from a nick of about %.0f mm.", 100*p.Stretch.Needed, math.Max(1, p.Stretch.NickMM)),
			Action: "Punch a round hole of 4 to 6 mm where the slit ends, and cut on a little rather than pull harder."})
	}
	return all
}

// FullBecause returns why the halves come apart, in words; empty when they do not.
func (s *Slit) FullBecause() string { return slitWords[s.Full] }
