package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/render/say"
)

func newStandCmd(con *console, g *globals) *cobra.Command {
	q := &questioner{con: con, globals: g, ask: analysis.AskStand, part: standPart, report: reportStand}
	return newQuestionCmd(q, "stand SCAN", "Say which way up to mold the part, where its spout is, and what else was considered",
		"Looks at more than a thousand ways up and picks the best by where the spout lands,\nhow air leaves, how the mold fills, how much rubber the block takes and how\nsteadily the part stands. Give --down or --spout to have your own way, and\n--prefer to change what counts.",
		"  pourwright stand lantern.stl\n  pourwright stand lantern.stl --down 0,0,-1\n  pourwright stand lantern.stl --spout 12,0,40.5 --stem 25mm\n  pourwright stand lantern.stl --prefer detail=5 --prefer height=0")
}

func standPart(s *solved) any {
	return struct {
		Pourwright string            `json:"pourwright"`
		Stand      analysis.Stand    `json:"stand"`
		RubberTrap []analysis.Trap   `json:"rubber_traps"`
		CastTrap   []analysis.Trap   `json:"cast_traps"`
		Air        analysis.Air      `json:"air"`
		Necks      []analysis.Neck   `json:"necks"`
		Findings   []finding.Finding `json:"findings"`
		Cautions   []string          `json:"cautions"`
	}{s.Pourwright, s.Stand, s.RubberTrap, s.CastTrap, s.Air, s.Cast.Necks, s.Findings, s.Cautions}
}

func reportStand(r *report, s *solved) {
	st := s.Stand
	r.answer(fmt.Sprintf("Stand %s %s: %s.", s.Name, lies(st.Down, st.HeightMM, s.Scan.TightestBoxMM), chosenWords(st)), s.Findings)
	r.WriteByte('\n')
	rows := [][2]string{
		{"Direction", "--down " + typedDirection(st.Down) + " (the scan's axes)"},
		{"Height", r.style.Length(st.HeightMM)},
		{"Spout", spoutWords(r.style, st.SpoutDiameterMM, st.StemMM)},
	}
	if st.StemMM > 0 {
		rows = append(rows, [2]string{"Contact", contactWords(r.style, st.ContactMM)})
	}
	rows = append(rows, [2]string{"Vents", ventWords(s.CastTrap)})
	if f := st.Figures; f.NeckMM != nil && f.BehindNeckMM3 != nil {
		rows = append(rows, [2]string{"Neck", fmt.Sprintf("%s wide where it holds the filling up most; %s to fill behind it", r.style.Length(*f.NeckMM), r.style.Volume(*f.BehindNeckMM3))})
	}
	r.rows(append(rows, [2]string{"Score", fmt.Sprintf("%.0f of 100", 100*st.Score)}, [2]string{"Why", st.Why}))
	r.comparison(st)
	if len(st.Alternatives) > 0 {
		r.heading("Also considered, best first")
	}
	for i, a := range st.Alternatives {
		if i > 0 {
			r.WriteByte('\n')
		}
		r.rows([][2]string{
			{fmt.Sprintf("%d.", i+1), fmt.Sprintf("%s: --down %s", lies(a.Down, a.HeightMM, s.Scan.TightestBoxMM), typedDirection(a.Down))},
			{"", fmt.Sprintf("%s high; spout %s", r.style.Length(a.HeightMM), spoutWords(r.style, a.SpoutDiameterMM, a.StemMM))},
			{"", a.Why},
		})
	}
	r.findings(about(s.Findings, "scan", "detail", "stand", "airtrap", "cast"))
	r.cautions(s.Cautions[:1])
}

// chosenWords says how the way up was chosen.
func chosenWords(st analysis.Stand) string {
	switch st.Chosen {
	case "down":
		return "as you gave it"
	case "rim":
		return "on its open rim"
	case "bed":
		return fmt.Sprintf("of the best of %d ways up the one that draws off most easily in two parts", st.Searched)
	case "spout":
		return fmt.Sprintf("the best of %d ways up with the spout where you want it", st.Searched)
	}
	return fmt.Sprintf("the best of %d ways up", st.Searched)
}

// comparison puts the scores of all ways side by side.
func (r *report) comparison(st analysis.Stand) {
	r.heading("How they compare, out of 100")
	all := []analysis.Criteria{st.Criteria}
	head, sum := "chosen", fmt.Sprintf("%6.0f", 100*st.Score)
	for i, a := range st.Alternatives {
		all = append(all, a.Criteria)
		head += fmt.Sprintf("%5s", fmt.Sprintf("%d.", i+1))
		sum += fmt.Sprintf("%5.0f", 100*a.Score)
	}
	rows := [][]string{{"", "weight", head}}
	for _, part := range scoreParts {
		line := ""
		for i, c := range all {
			line += fmt.Sprintf("%*s", 5+1/(i+1), outOf100(part.of(c)))
		}
		rows = append(rows, []string{part.name, fmt.Sprintf("%6s", strconv.FormatFloat(part.weight(st.Weights), 'g', 3, 64)), line})
	}
	for _, row := range append(rows, []string{"all together", "", sum}) {
		r.WriteString(strings.TrimRight(indent+pad(row[0], 17)+gutter+pad(row[1], 6)+gutter+row[2], " ") + "\n")
	}
	if st.Judged > 1 {
		r.WriteByte('\n')
		r.wrap(indent, fmt.Sprintf("Of %d ways looked at closely, %d can be beaten at something only by losing at something else.", st.Judged, st.ParetoCount), "")
	}
}

// outOf100 words a criterion.
func outOf100(x *float64) string {
	if x == nil {
		return "–"
	}
	return fmt.Sprintf("%.0f", 100**x)
}

// scoreParts are the criteria as they are told.
var scoreParts = []struct {
	name   string
	of     func(c analysis.Criteria) *float64
	weight func(w analysis.Weights) float64
}{
	{"detail", func(c analysis.Criteria) *float64 { return &c.Detail }, func(w analysis.Weights) float64 { return w.Detail }},
	{"spout", func(c analysis.Criteria) *float64 { return &c.Spout }, func(w analysis.Weights) float64 { return w.Spout }},
	{"air in the cast", func(c analysis.Criteria) *float64 { return &c.CastAir }, func(w analysis.Weights) float64 { return w.CastAir }},
	{"air in the rubber", func(c analysis.Criteria) *float64 { return &c.RubberAir }, func(w analysis.Weights) float64 { return w.RubberAir }},
	{"rubber", func(c analysis.Criteria) *float64 { return &c.RubberMass }, func(w analysis.Weights) float64 { return w.RubberMass }},
	{"height", func(c analysis.Criteria) *float64 { return &c.Height }, func(w analysis.Weights) float64 { return w.Height }},
	{"stability", func(c analysis.Criteria) *float64 { return &c.Stability }, func(w analysis.Weights) float64 { return w.Stability }},
	{"necks", func(c analysis.Criteria) *float64 { return c.Necks }, func(w analysis.Weights) float64 { return w.Necks }},
}

// typedDirection is a direction as --down reads it.
func typedDirection(d [3]float64) string {
	var parts []string
	for _, x := range d {
		x = math.Round(x*1e5)/1e5 + 0 // no −0
		parts = append(parts, strconv.FormatFloat(x, 'f', -1, 64))
	}
	return strings.Join(parts, ",")
}

// lies says how a part lies: by the scan's axis that points at the board when
// there is one within 5°, else by how its height compares with its tightest box.
func lies(down [3]float64, height float64, box [3]float64) string {
	for i, axis := range [3]string{"x", "y", "z"} {
		if math.Abs(down[i]) > math.Cos(5*math.Pi/180) {
			sign := "+"
			if down[i] < 0 {
				sign = "−"
			}
			return "on its " + sign + axis + " side"
		}
	}
	switch {
	case box[0] < 1.3*box[1]:
		return "turned as the picture shows"
	case height > 0.95*box[0]:
		return "on end"
	case height < 1.1*box[1]:
		return "lying down"
	}
	return "leaning"
}

func spoutWords(style say.Style, diameter, stem float64) string {
	if stem > 0 {
		return fmt.Sprintf("%s wide, by a stem %s long", style.Length(diameter), style.Length(stem))
	}
	return style.Length(diameter) + " wide, where the pattern stands on the board"
}

// contactWords says how wide the pattern stands on its stem.
func contactWords(style say.Style, mm float64) string {
	if mm == 0 {
		return "a tip or an edge only, where the stem meets the pattern"
	}
	return style.Length(mm) + " at its widest, where the stem meets the pattern"
}

// ventWords counts the posts that let air out of the cast.
func ventWords(traps []analysis.Trap) string {
	vents := 0
	for _, t := range traps {
		if t.Vent != nil {
			vents++
		}
	}
	switch without := len(traps) - vents; {
	case len(traps) == 0:
		return "none needed"
	case without > 0:
		return fmt.Sprintf("%s; air stays in %s", say.Count(vents, "post", "posts"), say.Count(without, "place without", "places without"))
	}
	return say.Count(vents, "post", "posts") + " between the pattern and the board"
}
