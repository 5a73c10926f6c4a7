package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/cmd/pourwright/quantity"
	"pourwright/render/say"
)

func newCastCmd(con *console, g *globals) *cobra.Command {
	q := &questioner{con: con, globals: g, ask: analysis.AskCast, part: castPart, report: reportCast}
	return newQuestionCmd(q, "cast SCAN", "Say what to weigh into the mold, what resists it, what the prop weighs, and when it is done",
		"Works out the cavity with spout and vents, the charge of foam or resin with A and B,\nhow it fills, what pushes on lid and walls, the weight of the finished prop in each\nmaterial of the shelf, how much it shrinks, and the time to the first cast.",
		"  pourwright cast lantern.stl\n  pourwright cast lantern.stl --casting resin\n  pourwright cast lantern.stl --target-weight 350g --stock 2kg")
}

// addCast adds the flags that say what is cast.
func (j *jobFlags) addCast(cmd *cobra.Command) {
	flags := cmd.Flags()
	mass := func(name, usage, like string, to *float64) {
		flags.Func(name, usage, func(s string) error {
			g, err := quantity.Mass(s)
			bare, notBare := strconv.ParseFloat(strings.TrimSpace(s), 64)
			if err == nil && g == 0 || notBare == nil && bare == 0 { // with a unit or without
				return &usageError{"a mass of nothing says nothing", "give a mass such as " + like + ", or leave it out"}
			}
			*to = g
			return err
		})
	}
	mass("target-weight", "`MASS` that the finished prop is to have: names the material that comes nearest", "350g", &j.typed.TargetWeightG)
	mass("stock", "`MASS` of casting material on hand: says for how many casts it does", "2kg", &j.typed.StockG)
}

// takeCast puts what was typed over a job file's.
func (j *jobFlags) takeCast(c *analysis.Choices) {
	take(&c.TargetWeightG, j.typed.TargetWeightG)
	take(&c.StockG, j.typed.StockG)
}

func castPart(s *solved) any {
	return struct {
		Pourwright string               `json:"pourwright"`
		Cast       analysis.Cast        `json:"cast"`
		Clock      []analysis.ClockStep `json:"clock"`
		CastTrap   []analysis.Trap      `json:"cast_traps"`
		Rod        analysis.Rod         `json:"rod"`
		Findings   []finding.Finding    `json:"findings"`
		Cautions   []string             `json:"cautions"`
	}{s.Pourwright, s.Cast, s.Clock, s.CastTrap, s.Rod, s.Findings, s.Cautions}
}

func reportCast(r *report, s *solved) {
	c := s.Cast
	r.answer(r.castAnswer(s), s.Findings)
	r.WriteByte('\n')
	rows := r.chargeRows(c)
	rows = append(rows,
		[2]string{"Shrinks by", fmt.Sprintf("%.1f %% of any length (%.1f to %.1f), rubber and cast together; an original %.4f times as large comes out at size", c.Shrink.LinearPct.Likely, c.Shrink.LinearPct.Low, c.Shrink.LinearPct.High, c.Shrink.ScaleUp.Likely)},
		[2]string{"Mold gives", fmt.Sprintf("%.0f to %.0f casts, likely about %.0f", c.Pulls.Low, c.Pulls.High, c.Pulls.Likely)})
	if n := c.CastsFromStock; n != nil {
		rows = append(rows, [2]string{"Stock does for", say.Count(int(*n), "cast", "casts")})
	}
	if !c.TooThick { // which says that there is none
		rows = append(rows, r.rodRow(s.Rod)...)
	}
	r.rows(rows)
	r.necks(c)
	if !c.TooThick { // a coat is turned about, not filled up
		r.tips(s)
		r.ways(c)
	}
	title := "The finished prop in each material, lightest first"
	if m := s.Rod.MassG; m != nil {
		title = fmt.Sprintf("The prop in each material, lightest first, with its rod of %s where it is not hollow", r.style.Mass(m.Likely))
	}
	r.heading(title)
	table := [][]string{{"", "weighs", ""}}
	for _, o := range c.Candidates {
		note := ""
		switch {
		case o.Nearest && o.Chosen:
			note = "this one, and nearest to the weight you want"
		case o.Nearest:
			note = "nearest to the weight you want"
			if o.Material != c.Material {
				note += ": --casting " + o.Material
			}
		case o.Chosen:
			note = "this one"
		case o.TooThick:
			note = "too thick to be poured solid"
		}
		table = append(table, []string{o.Words(), r.style.MassRange(o.PropG.Low, o.PropG.High), note})
	}
	r.table(table)
	r.timetable(s.Clock)
	questions := []string{"scan", "shelf", "cast", "rod"}
	if c.TooThick {
		questions = questions[:3] // no rod in a hollow cast
	}
	r.findings(about(s.Findings, questions...))
	r.cautions(s.Cautions)
}

// castAnswer says what to mix, and first of all whether it gets in.
func (r *report) castAnswer(s *solved) string {
	c := s.Cast
	if c.TooThick {
		return fmt.Sprintf("Cast %s hollow in %s: %d coats of %s make a skin of %s.", s.Name, c.Name, c.Slush.Coats, r.style.Mass(c.Slush.CoatG), r.style.Length(c.Slush.SkinMM))
	}
	text := fmt.Sprintf("Mix %s of %s for %s", r.style.Mass(c.MassG.Likely), c.Name, s.Name)
	f := c.Spout.Foam
	if f == nil || f.Verdict == "passes" {
		return text + "."
	}
	text += fmt.Sprintf(". It %s through the spout, which is %s wide at its narrowest", inWords[f.Verdict], r.style.Length(c.Spout.DiameterMM))
	if w := c.Spout.WidenMM; w != nil {
		text += fmt.Sprintf(": widen that to %s first", r.style.LengthUp(*w))
	}
	return text + "."
}

// foamBoxWords says whether the box that the rubber was poured in bears the foam.
func foamBoxWords(walls []analysis.FoamWall) string {
	by := map[string][]string{}
	for _, w := range walls {
		by[w.Verdict] = append(by[w.Verdict], w.Name)
	}
	switch {
	case len(walls) == 0:
		return ""
	case len(by["bursts"]) > 0:
		return "would break under that: " + listed(by["bursts"])
	case len(by["brace"]) > 0:
		return "would bow more than is wanted under that: " + listed(by["brace"])
	case len(by["unknown"]) > 0:
		return "whether it bears that is not known"
	}
	return "its walls, braced as they were, bear that"
}

// fillWords says how long the filling takes.
func fillWords(c analysis.Cast) string {
	if c.FillS == nil {
		if c.Foam != nil {
			return foamFillWords(c.Spout)
		}
		return "not known"
	}
	words := durations(*c.FillS) + " through a spout that is kept full"
	if c.AllowedS != nil {
		words += fmt.Sprintf("; its working time allows %s", say.Duration(*c.AllowedS))
		if *c.AllowedS < c.FillS.High && *c.AllowedS >= c.FillS.Likely {
			words += ", so likely in time"
		}
	}
	if c.Spout.WidenMM != nil {
		words += fmt.Sprintf("; a spout %.0f mm wide at its narrowest would do", math.Ceil(*c.Spout.WidenMM))
	}
	return words
}

// durations is a time with its spread, one figure where that is all there is.
func durations(s analysis.Spread) string {
	low, high := say.Duration(s.Low), say.Duration(s.High)
	if low == high {
		return "about " + low
	}
	return low + " to " + high
}

// timetable lists what is done when.
func (r *report) timetable(steps []analysis.ClockStep) {
	if len(steps) == 0 {
		return
	}
	r.heading("From the first weighing to the first cast")
	rows := [][]string{{"begins, at the earliest", "if all goes slowly", ""}}
	for _, s := range steps {
		rows = append(rows, []string{clockTime(s.FromS.Low), clockTime(s.FromS.High), s.Name})
	}
	r.table(rows)
}

// clockTime is a time with its minutes however many hours it has, so that steps
// close after one another are told apart.
func clockTime(seconds float64) string {
	const day = 24 * 3600
	if seconds < day {
		return say.Duration(seconds)
	}
	minutes := int(math.Round(seconds / 60))
	if minutes%60 == 0 {
		return fmt.Sprintf("%d h", minutes/60)
	}
	return fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
}
