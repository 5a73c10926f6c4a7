package cut

import (
	"cmp"
	"fmt"
	"math"
	"slices"

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
	if deep := max(r.DepthMM[0], r.DepthMM[1]); r.UndercutMM3[0]+r.UndercutMM3[1] > PoorUndercut*r.volume || r.heldMM >= hardlyMM {
		tell(finding.Note, nil, fmt.Sprintf("Rubber hooks behind the part, up to %.0f mm deep.", deep),
			"Peel the rubber off from its edge instead of pulling it straight; a softer rubber gives way more easily.")
	}
	all = append(all, r.linkDoubts(p.Slit.Full != "")...)
	all = append(all, p.keyDoubts()...)
	return append(all, p.slitDoubts()...)
}

// mostLinkDoubts is of how many links it is said where they are; leastLinkMM is about how
// narrow a hole can be told.
const (
	mostLinkDoubts = 3
	leastLinkMM    = 5
)

// linkDoubts tells of rubber that stays round the pattern within a half, the widest
// place first.
func (r *Result) linkDoubts(apart bool) []finding.Finding {
	links := slices.Clone(r.Links)
	slices.SortStableFunc(links, func(a, b Link) int { return cmp.Compare(b.WidthMM, a.WidthMM) })
	f := finding.Finding{Question: "cut", Level: finding.Warn,
		Action: "When the block is open, cut through this web of rubber with a fresh blade, away from yourself, and close it with tape or wax for each cast; or fill the place on the pattern with clay down to a thin web and cut through that. Another way up may leave fewer."}
	end := ": it does not come off."
	if !apart {
		f.Level, end = finding.Note, ", and would not come off alone."
		f.Action = "Peel both halves off together, over the free end of the part; if the rubber holds, cut through this web with a fresh blade, away from yourself, and close it with tape or wax for each cast."
	}
	var all []finding.Finding
	for i, l := range links {
		if i == mostLinkDoubts && len(links) > i+1 {
			f.Text, f.AtMM = fmt.Sprintf("Rubber goes round the part within its half in %d more places.", len(links)-i), nil
			return append(all, f)
		}
		f.Text, f.AtMM = fmt.Sprintf("Rubber goes round the part here, %s, within the %s half%s", l.through(r.holed), r.Half(l.Side), end), &[3]float64{l.At.X, l.At.Y, l.At.Z}
		all = append(all, f)
	}
	return all
}

// through says what the rubber goes through.
func (l *Link) through(holed bool) string {
	where := "under an arch"
	if holed {
		where = "through a hole"
	}
	if l.WidthMM < leastLinkMM {
		return fmt.Sprintf("%s less than %d mm wide", where, leastLinkMM)
	}
	return fmt.Sprintf("%s %.0f mm wide", where, l.WidthMM)
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
			Text:   "Cut the block into two halves: " + p.Slit.FullBecause() + ".",
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
func (s *Slit) FullBecause() string {
	words := slitWords[s.Full]
	if s.Full != "" && s.Linked > 0 {
		words += "; even then rubber stays round the part in " + places(s.Linked) + ", where it is to be cut through as well"
	}
	return words
}
