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
	q := &questioner{con: con, globals: g, part: standPart, report: reportStand}
	return newQuestionCmd(q, "stand SCAN", "Say which way up to mold the part, where its spout is, and what else was considered",
		"Looks at many ways up and picks the best by where the spout lands, how air leaves,\nhow much rubber the block takes and how steadily the part stands. Give --down to\ntake another.",
		"  pourwright stand lantern.stl\n  pourwright stand lantern.stl --down 0,0,-1")
}

func standPart(s *solved) any {
	return struct {
		Pourwright string            `json:"pourwright"`
		Stand      analysis.Stand    `json:"stand"`
		RubberTrap []analysis.Trap   `json:"rubber_traps"`
		CastTrap   []analysis.Trap   `json:"cast_traps"`
		Findings   []finding.Finding `json:"findings"`
		Cautions   []string          `json:"cautions"`
	}{s.Pourwright, s.Stand, s.RubberTrap, s.CastTrap, s.Findings, s.Cautions}
}

func reportStand(r *report, s *solved) {
	st := s.Stand
	chosen := fmt.Sprintf("the best of %d ways up", st.Searched)
	if st.Chosen == "down" {
		chosen = "as you gave it"
	}
	r.answer(fmt.Sprintf("Stand %s %s: %s.", s.Name, lies(st.Down, st.HeightMM, s.Scan.TightestBoxMM), chosen), s.Findings)
	r.WriteByte('\n')
	r.rows([][2]string{
		{"Direction", "--down " + typedDirection(st.Down) + " (the scan's axes)"},
		{"Height", r.style.Length(st.HeightMM)},
		{"Spout", spoutWords(r.style, st.SpoutDiameterMM, st.StemMM)},
		{"Vents", ventWords(s.CastTrap)},
		{"Score", scoreWords(st.Score, st.Criteria)},
		{"Why", st.Why},
	})
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
			{"", scoreWords(a.Score, a.Criteria)},
			{"", a.Why},
		})
	}
	r.findings(about(s.Findings, "scan", "stand", "airtrap"))
	r.cautions(s.Cautions[:1])
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
		return "turned as --down says"
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

// scoreWords lists what a score is made of, out of 100.
func scoreWords(score float64, c analysis.Criteria) string {
	words := fmt.Sprintf("%.0f of 100:", 100*score)
	for _, part := range []struct {
		name string
		of   float64
	}{
		{"detail", c.Detail}, {"spout", c.Spout}, {"air in the cast", c.CastAir}, {"air in the rubber", c.RubberAir},
		{"rubber", c.RubberMass}, {"height", c.Height}, {"stability", c.Stability},
	} {
		words += fmt.Sprintf(" %s %.0f,", part.name, 100*part.of)
	}
	return strings.TrimSuffix(words, ",")
}
