package sheet

import (
	"math"
	"slices"
	"strings"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/render/say"
)

// verdict is the answer that a maker reads first.
type verdict struct {
	Level finding.Level
	Head  string
	Line  string
	Stops []finding.Finding
	Warns []finding.Finding
	Many  bool // things to check are listed without what to do, which would push the figures off the first page
}

// longVerdict is how many letters of what is to be settled or checked leave room
// for the whole picture beside the figures on the first page of paper.
const longVerdict = 1000

// Long tells whether the picture has to make room for the verdict on paper.
func (v verdict) Long() bool {
	letters := 0
	for _, f := range slices.Concat(v.Stops, v.Warns) {
		switch {
		case f.Level != finding.Stop && len(v.Stops) > 0: // only counted
		case v.Many:
			letters += len(f.Text) / 2 // in two columns
		default:
			letters += len(f.Text) + len(f.Action)
		}
	}
	return letters > longVerdict
}

func judge(p *analysis.Plan) verdict {
	var v verdict
	for _, f := range p.Findings {
		switch f.Level {
		case finding.Stop:
			v.Stops = append(v.Stops, f)
		case finding.Warn:
			v.Warns = append(v.Warns, f)
		}
	}
	outcome, stops, warns := finding.Judge(p.Findings)
	v.Many = outcome == finding.Much
	switch {
	case outcome == finding.Settle:
		v.Level, v.Head = finding.Stop, "Stop. Do not pour yet."
		v.Line = "First settle " + say.Count(stops, "thing", "things") + ":"
	case !(p.Rubber.MassG > 0) || !(p.Box.InsideMM[0] > 0):
		v.Level, v.Head = finding.Stop, "Stop. This plan is not complete."
		v.Line = "It holds no box or no rubber. Make it again from the scan."
	case outcome == finding.Much:
		v.Level, v.Head = finding.Warn, "Much to check first."
		v.Line = "Check " + say.Count(warns, "thing", "things") + " before you go on:"
	case outcome == finding.Check:
		v.Level, v.Head = finding.Warn, "Good to go, once checked."
		v.Line = "Check " + say.Count(warns, "thing", "things") + " first:"
	default:
		v.Level, v.Head = finding.Note, "Good to go."
		v.Line = "Nothing was found that should hold this job up. Still check the size of the part with a caliper."
	}
	return v
}

// doubts are the findings of one level.
type doubts struct {
	Level finding.Level
	Head  string
	Rows  []doubt
}

type doubt struct {
	Text, Action, Where string
}

// groupDoubts puts the findings worst first; a level unknown to us is shown
// as one to check.
func groupDoubts(p *analysis.Plan, s units) []doubts {
	groups := []doubts{
		{Level: finding.Stop, Head: "Settle before pouring"},
		{Level: finding.Warn, Head: "Check before going on"},
		{Level: finding.Note, Head: "Worth knowing"},
	}
	for _, f := range p.Findings {
		row := doubt{Text: f.Text, Action: f.Action}
		if f.AtMM != nil && p.Box.InsideMM[0] > 0 {
			row.Where = placeOf(p, *f.AtMM).Words(s)
		}
		k := 1
		switch f.Level {
		case finding.Stop:
			k = 0
		case finding.Note:
			k = 2
		}
		groups[k].Rows = append(groups[k].Rows, row)
	}
	var some []doubts
	for _, g := range groups {
		if len(g.Rows) > 0 {
			some = append(some, g)
		}
	}
	return some
}

// UnitWords says what one unit of the file is taken to be, and how we know.
func (v *page) UnitWords() string {
	if v.Scan.Scale == 0 {
		return "What one unit of the file is, is not known."
	}
	unit := "one unit of the file is " + say.Number(v.Scan.Scale) + " mm"
	switch v.Scan.UnitsFrom {
	case "given":
		return "You gave the units: " + unit + "."
	case "file":
		return "The file says its unit: " + unit + "."
	case "longest":
		return "You gave the longest side, so " + unit + "."
	case "comment":
		return "Only a comment in the file says that " + unit + "."
	case "guessed":
		return "The file does not say. We guessed that " + unit + ", since that makes a part for the hand."
	}
	return strings.ToUpper(unit[:1]) + unit[1:] + "."
}

// Guessed tells whether the size of everything rests on a guess.
func (v *page) Guessed() bool { return v.Scan.UnitsFrom == "guessed" || v.Scan.UnitsFrom == "comment" }

// DownWords says which side of the scan points at the board.
func (v *page) DownWords() string { return direction(v.Stand.Down) }

// direction names a direction of the scan: by axis when it is within 5° of it.
func direction(d [3]float64) string {
	size := math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2])
	if !(size > 0) {
		return say.Unknown
	}
	var parts []string
	for k, axis := range []string{"x", "y", "z"} {
		if math.Abs(d[k])/size > math.Cos(5*math.Pi/180) {
			if d[k] < 0 {
				return "the scan's −" + axis + " side"
			}
			return "the scan's +" + axis + " side"
		}
		parts = append(parts, axis+" "+say.Number(math.Round(d[k]/size*100)/100))
	}
	return "the scan's side towards " + strings.Join(parts, ", ")
}

// way is one way up in the table of those considered.
type way struct {
	Name            string
	Chosen          bool
	Score           part
	Side, Why       string
	HeightMM        float64
	SpoutDiameterMM float64
	StemMM          float64
	Parts           []part
	Beaten          bool // by another way, as good at all criteria and better at one
}

// part is one criterion of a score, 0–1.
type part struct {
	Value float64
	Known bool
}

// Percent is the part's share of a full bar.
func (c part) Percent() int { return int(math.Round(min(max(c.Value, 0), 1) * 100)) }

// criterion heads a column of the parts of a score.
type criterion struct {
	Name   string
	Weight string // how much it counts; empty when that is not known
}

// Criteria are the columns in the order of parts.
func (v *page) Criteria() []criterion {
	w := v.Stand.Weights
	all := []criterion{{Name: "Detail safe"}, {Name: "Spout"}, {Name: "Air in cast"}, {Name: "Air in rubber"}, {Name: "Less rubber"}, {Name: "Low box"}, {Name: "Steady"}, {Name: "Wide inside"}}
	if w == (analysis.Weights{}) {
		return all
	}
	for i, x := range []float64{w.Detail, w.Spout, w.CastAir, w.RubberAir, w.RubberMass, w.Height, w.Stability, w.Necks} {
		all[i].Weight = "×\u2060" + say.Number(x)
	}
	return all
}

func parts(c analysis.Criteria) []part {
	var all []part
	for _, x := range []float64{c.Detail, c.Spout, c.CastAir, c.RubberAir, c.RubberMass, c.Height, c.Stability} {
		all = append(all, part{x, !math.IsNaN(x)})
	}
	if c.Necks == nil {
		return append(all, part{})
	}
	return append(all, part{*c.Necks, !math.IsNaN(*c.Necks)})
}

// waysUp lists the chosen way up and the others; nil when there are no others.
func waysUp(p *analysis.Plan) []way {
	if len(p.Stand.Alternatives) == 0 {
		return nil
	}
	st := p.Stand
	all := []way{{"Chosen", true, part{st.Score, true}, direction(st.Down), st.Why, st.HeightMM, st.SpoutDiameterMM, st.StemMM, parts(st.Criteria), st.Judged > 0 && !st.Pareto}}
	for i, a := range p.Stand.Alternatives {
		all = append(all, way{"Other " + say.Number(float64(i+1)), false, part{a.Score, true}, direction(a.Down), a.Why,
			a.HeightMM, a.SpoutDiameterMM, a.StemMM, parts(a.Criteria), st.Judged > 0 && !a.Pareto})
	}
	return all
}

// HeavyWords warns of the weight of the full box.
func (v *page) HeavyWords() string {
	weight := "The rubber alone weighs " + v.Say.Mass(v.Rubber.BlockG)
	switch box := v.Hold.FilledBoxG; {
	case box.High > 0 && v.Hold.WithBox:
		weight = "The full box weighs " + v.Say.MassRange(box.Low, box.High)
	case box.High > 0:
		weight = "What is in the full box weighs " + v.Say.MassRange(box.Low, box.High) + ", without its boards"
	case v.Rubber.FilledBoxG != nil:
		weight = "The full box weighs about " + v.Say.Mass(*v.Rubber.FilledBoxG)
	}
	return weight + ". Pour it where it can stay. Do not carry it while the rubber is liquid."
}

// Cavity says what the cavity to fill is made of.
func (v *page) Cavity() string {
	parts := []string{"part"}
	if v.Stand.StemMM > 0 {
		parts = append(parts, "stem")
	}
	if len(v.Posts) > 0 {
		parts = append(parts, "vents")
	}
	last := len(parts) - 1
	if last == 0 {
		return parts[0]
	}
	return strings.Join(parts[:last], ", ") + " and " + parts[last]
}

// cardRow is how many batches stand side by side: no row is left with a lone
// card where that can be helped.
func cardRow(n int) int {
	if n <= 2 || n == 4 {
		return 2
	}
	return 3
}
