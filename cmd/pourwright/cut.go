package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/render/say"
)

func newCutCmd(con *console, g *globals) *cobra.Command {
	q := &questioner{con: con, globals: g, ask: analysis.AskCut, part: cutPart, report: reportCut}
	return newQuestionCmd(q, "cut SCAN", "Say where to cut the block open, with which keys, and how far",
		"Tries planes through the spout all round, planes that lean or pass beside it, and\nwhere none is good a cut that steps aside. Says what the seam crosses, how much\nrubber hooks behind the part, where the waves of the key line fit, and the least\nslit that lets the part out. With --style two-part: the bed of clay, its keys, the\nrubber of both parts, and what still locks.",
		"  pourwright cut lantern.stl\n  pourwright cut lantern.stl --land 6mm --cut-clearance 25mm\n  pourwright cut lantern.stl --rubber plat-10 --json\n  pourwright cut lantern.stl --style two-part")
}

func cutPart(s *solved) any {
	return struct {
		Pourwright string            `json:"pourwright"`
		Cut        analysis.Cut      `json:"cut"`
		TwoPart    *analysis.TwoPart `json:"two_part"`
		Findings   []finding.Finding `json:"findings"`
		Cautions   []string          `json:"cautions"`
	}{s.Pourwright, s.Cut, s.TwoPart, s.Findings, s.Cautions}
}

func reportCut(r *report, s *solved) {
	if s.TwoPart != nil {
		reportTwoPart(r, s)
		return
	}
	c := s.Cut
	r.answer(openWords(r.style, s), s.Findings)
	r.WriteByte('\n')
	rows := [][2]string{
		{"Cut", surfaceWords(c)},
		{"Seam", fmt.Sprintf("%s along the part, which crosses %.0f of 100 in detail", r.style.Length(c.OutlineMM), 100*c.DetailCrossed)},
		{"Meets the part", fmt.Sprintf("at %.0f° on average; at 90° the seam is cleanest", c.SquareDeg)},
		{"Hooks", hookWords(r.style, c)},
		{"Links", linkWords(c)},
		{"Land", r.style.Length(c.LandMM) + " straight in from the part on both sides of the seam"},
		{"Key line", keyWords(r.style, c)},
		{"Rubber to cut", r.style.Area(c.AreaMM2)},
		{"Why", c.Why},
	}
	r.rows(rows)
	r.heading("The least slit")
	r.rows(slitRows(r.style, c, s.SlitCounts()))
	if len(c.Steps) > 0 {
		r.heading("Where the cut steps aside")
		r.table(stepRows(r.style, c))
	}
	if len(c.KeyLines) > 0 {
		r.heading("Waves of the key line, in order")
		r.table(waveRows(r.style, c))
		r.frame()
	}
	r.findings(about(s.Findings, "scan", "cut"))
	r.cautions(bladeCautions(s.Cautions))
}

// openWords says in one sentence how to open the block.
func openWords(style say.Style, s *solved) string {
	c := s.Cut
	switch {
	case c.Slit.Full:
		return fmt.Sprintf("Cut the block of %s into two halves: %s.", s.Name, *c.Slit.Because)
	case c.SlitMM == 0:
		return fmt.Sprintf("%s comes out of the spout by stretching the rubber; cut only if it will not.", s.Name)
	}
	return fmt.Sprintf("Slit the block of %s %s along the part, from the spout; leave %s as a hinge.",
		s.Name, style.Length(c.SlitMM), style.Length(c.Hinge.LengthMM))
}

// surfaceWords says what surface the cut follows and how it lies in the box.
func surfaceWords(c analysis.Cut) string {
	lean := math.Asin(min(1, math.Abs(c.Normal[2]))) * 180 / math.Pi
	words := "one upright plane"
	switch {
	case lean > 89:
		words = "one level plane"
	case lean > 0.5:
		words = fmt.Sprintf("one plane that leans by %.0f°", lean)
	}
	if c.Surface == "stepped" {
		words = strings.Replace(words, "one", "a stepped cut about an", 1)
		words = strings.Replace(words, "an plane", "a plane", 1)
	}
	if lean <= 89 {
		bearing := math.Mod(math.Atan2(-c.Normal[0], c.Normal[1])*180/math.Pi+360, 180)
		words += fmt.Sprintf(", turned %.0f° from the long side of the box", min(bearing, 180-bearing))
	}
	if c.ThroughSpout {
		return words + ", through the spout"
	}
	return words + ", beside the spout"
}

func hookWords(style say.Style, c analysis.Cut) string {
	volume, depth := c.UndercutMM3[0]+c.UndercutMM3[1], max(c.UndercutDepthMM[0], c.UndercutDepthMM[1])
	if volume < 10 {
		return "no rubber hooks behind the part"
	}
	return fmt.Sprintf("%s of rubber behind the part, up to %s deep", style.Volume(volume), style.Length(depth))
}

// linkWords says in how many places rubber stays round the part.
func linkWords(c analysis.Cut) string {
	if len(c.Links) == 0 {
		return "no rubber stays linked round the part"
	}
	return "in " + say.Count(len(c.Links), "place", "places") + " rubber of one half goes round the part: cut through it there"
}

func keyWords(style say.Style, c analysis.Cut) string {
	waves, good := 0, 0
	least, most := math.Inf(1), 0.0
	for _, k := range c.KeyLines {
		for _, w := range k.Waves {
			waves++
			if w.AmplitudeMM > 0 {
				good++
				least, most = min(least, w.AmplitudeMM), max(most, w.AmplitudeMM)
			}
		}
	}
	if good == 0 {
		return "no rubber for it"
	}
	high := style.Length(most)
	if least < most {
		high = style.Length(least) + " to " + high
	}
	return fmt.Sprintf("%s, %s high, from %s beside the part on", say.Count(good, "wave", "waves"), high, style.Length(max(c.LandMM, 5)))
}

func slitRows(style say.Style, c analysis.Cut, counts string) [][2]string {
	rows := [][2]string{
		{"Spout", style.Length(c.Slit.RimMM) + " round its rim"},
		{"Widest", fmt.Sprintf("%s round the part, %s above the board", style.Length(c.Slit.GirthMM), style.Length(c.Slit.GirthAtMM))},
		{"Rubber gives", fmt.Sprintf("%.0f %% of its length, at most", 100*c.Stretch.Allowed)},
	}
	if c.Slit.Full {
		return append(rows, [2]string{"So", "cut through all round: " + *c.Slit.Because})
	}
	if c.SlitMM == 0 {
		return append(rows, [2]string{"So", fmt.Sprintf("no slit is needed: the rubber stretches by %.0f %% and lets it out", 100*c.Stretch.Without)})
	}
	rows = append(rows,
		[2]string{"Without a slit", fmt.Sprintf("it would have to stretch by %.0f %%", 100*c.Stretch.Without)},
		[2]string{"With it", fmt.Sprintf("%s from the spout%s, stretched by %.0f %%", style.Length(c.SlitMM), slitSide(c), 100**c.Stretch.Needed)},
		[2]string{"Hinge", style.Length(c.Hinge.LengthMM) + " left whole, from there on round the part to the other side of the spout"},
		[2]string{"Counted", counts})
	if c.Hinge.Stop != nil {
		rows = append(rows, [2]string{"Stop", stopWords(style, c.Hinge)})
	}
	if c.Tear != nil {
		rows = append(rows, [2]string{"Tears on", fmt.Sprintf("from a nick of about %s, as an indication", style.Length(c.Tear.NickMM))})
	}
	return rows
}

// stopWords says where the knife stops.
func stopWords(style say.Style, h *analysis.Hinge) string {
	words := fmt.Sprintf("at the part %s above the board, outside %s above it", style.Length(h.Stop[0][2]), style.Length(h.Stop[1][2]))
	if h.Square {
		return words + ", along a straight way in"
	}
	return words + ", along a line that slants, since no straight way in is clear of the part"
}

// stepRows lists the corners of a stepped cut, from the spout up or along.
func stepRows(style say.Style, c analysis.Cut) [][]string {
	rows := [][]string{{"", "at", "off the plane"}}
	for i, s := range c.Steps {
		d := *c.StepsAlong
		at := style.Length(math.Abs(s.AtMM)) + " " + towards(d, s.AtMM)
		off := "none"
		if s.OffsetMM != 0 {
			off = style.Length(math.Abs(s.OffsetMM)) + " " + towards(c.Normal, s.OffsetMM)
		}
		rows = append(rows, []string{fmt.Sprintf("%d.", i+1), at + " from the spout", off})
	}
	return rows
}

func waveRows(style say.Style, c analysis.Cut) [][]string {
	rows := [][]string{{"", "high", "off the cut", "crest at x, y, z"}}
	n := 0
	for _, k := range c.KeyLines {
		for _, w := range k.Waves {
			if w.AmplitudeMM == 0 {
				continue // no rubber for it
			}
			n++
			off := "straight"
			if w.DepthMM != 0 {
				off = style.Length(math.Abs(w.DepthMM)) + " " + towards(c.Normal, w.DepthMM)
			}
			rows = append(rows, []string{fmt.Sprintf("%d.", n), style.Length(w.AmplitudeMM), off, placeWords(w.AtMM)})
		}
	}
	return rows
}

// towards names the side of the box that a direction, times a factor, points to most.
func towards(d [3]float64, factor float64) string {
	names := [3][2]string{{"to the left", "to the right"}, {"to the front", "to the back"}, {"down", "up"}}
	k := 0
	for i := range d {
		if math.Abs(d[i]) > math.Abs(d[k])+1e-9 {
			k = i
		}
	}
	if d[k]*factor > 0 {
		return names[k][1]
	}
	return names[k][0]
}

// slitSide says on which side of the part the slit runs up.
func slitSide(c analysis.Cut) string {
	if len(c.Slit.Path) == 0 {
		return ""
	}
	p := c.Slit.Path[len(c.Slit.Path)/2]
	side := towards([3]float64{p[0] - c.PointMM[0], p[1] - c.PointMM[1], 0}, 1)
	return " up the " + strings.TrimPrefix(side, "to the ") + " side of the part"
}

// placeWords writes a place.
func placeWords(p [3]float64) string {
	whole := func(mm float64) string { return strings.Replace(fmt.Sprintf("%.0f", math.Round(mm)+0), "-", "−", 1) } // no −0
	return whole(p[0]) + ", " + whole(p[1]) + ", " + whole(p[2]) + " mm"
}

// bladeCautions keeps what is said of every material and of opening the block.
func bladeCautions(all []string) []string {
	kept := all[:min(1, len(all)):min(1, len(all))]
	for _, c := range all {
		if strings.HasPrefix(c, "Opening the block") {
			kept = append(kept, c)
		}
	}
	return kept
}
