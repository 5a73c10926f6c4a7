package main

import (
	"fmt"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// necks lists the narrow places that the casting material passes.
func (r *report) necks(c analysis.Cast) {
	if len(c.Necks) == 0 {
		return
	}
	r.heading("Narrow places inside, from the spout on")
	rows := [][]string{{"", "wide", "above the board", "behind it", "what passes"}}
	for i, n := range c.Necks {
		rows = append(rows, []string{fmt.Sprint(i + 1), r.style.Length(n.DiameterMM), r.style.Length(n.AtMM[2]), r.style.Volume(n.BehindMM3), r.passing(n)})
	}
	if c.TooThick { // coats are rolled about: how long a whole filling takes is no matter
		for i, row := range rows {
			rows[i] = row[:len(row)-1]
		}
	}
	r.table(rows)
}

// passing says how long a neck takes, of foam whether it passes.
func (r *report) passing(n analysis.Neck) string {
	f := n.Foam
	if f == nil {
		if n.FillS == nil {
			return "not known"
		}
		words := "takes " + spanWords(*n.FillS)
		if n.Passes != nil && !*n.Passes {
			words += ": too slow"
		}
		return words
	}
	return fmt.Sprintf("foam %s: takes %s, has about %s", verdictWords[f.Verdict], spanWords(f.TakesS), say.Duration(f.AllowedS.Likely))
}

// inWords are what a report says of foam at the spout.
var inWords = map[string]string{"passes": "gets in", "doubtful": "may not get in", "will not": "will not get in"}

// spoutWords gives both widths of the spout.
func (r *report) spoutWords(s analysis.CastSpout) string {
	switch {
	case s.JointMM == 0:
		return r.style.Length(s.RimMM) + " at the rim, a bare tip where it meets the part"
	case s.RimMM == s.JointMM:
		return r.style.Length(s.RimMM) + " wide"
	}
	return fmt.Sprintf("%s at the rim, %s where it meets the part", r.style.Length(s.RimMM), r.style.Length(s.JointMM))
}

// foamFillWords says whether foam gets in before it rises.
func foamFillWords(s analysis.CastSpout) string {
	rising := "foam fills by rising; pour at once and close: see its cream time"
	f := s.Foam
	if f == nil || f.Verdict == "passes" || f.TakesS == nil {
		return rising
	}
	words := fmt.Sprintf("foam %s: as a liquid it takes %s through the narrowest place of the spout, it creams after %s, and about %s of that are left for pouring",
		inWords[f.Verdict], spanWords(*f.TakesS), say.Duration(f.CreamS), say.Duration(f.AllowedS))
	if s.DiameterMM < f.LeastMM {
		words += fmt.Sprintf("; it also tends to close up in passages under %.1f mm", f.LeastMM)
	}
	return words
}

// rodRow says what the rod is and how much stiffer it makes the cast; none without one.
func (r *report) rodRow(rod analysis.Rod) [][2]string {
	if rod.LengthMM == nil || rod.DiameterMM == 0 || rod.Entry == "none" {
		return nil
	}
	words := fmt.Sprintf("%s across, %s long", r.style.Length(rod.DiameterMM), r.style.Length(*rod.LengthMM))
	if rod.Material != "" {
		words = rod.Material + ", " + words
	}
	if m := rod.MassG; m != nil {
		words += ", weighs " + r.style.Mass(m.Likely)
	}
	if g := rod.StiffnessGain; g != nil {
		words += fmt.Sprintf("; the cast is then %s times as stiff in the middle (%s to %s)", say.Number(g.Likely), say.Number(g.Low), say.Number(g.High))
	}
	return [][2]string{{"Rod", words}}
}

// spanWords is a time with its spread, where less than a second is no matter.
func spanWords(s analysis.Spread) string {
	switch {
	case s.High < 1:
		return "under 1 s"
	case s.Low < 1:
		return "up to " + say.Duration(s.High) + ", likely " + strings.Replace(spanWords(analysis.Spread{Low: s.Likely, Likely: s.Likely, High: s.Likely}), "about ", "", 1)
	}
	return durations(s)
}

// verdictWords are what a report says of the verdicts on foam.
var verdictWords = map[string]string{"passes": "passes", "doubtful": "may not pass", "will not": "will not pass"}

// tips lists the ends of the cavity.
func (r *report) tips(s *solved) {
	if len(s.Cast.Tips) == 0 {
		return
	}
	r.heading("Ends of the cavity, in the order the material comes to them")
	rows := [][]string{{"", "mold is full to", "at", "its air"}}
	for i, t := range s.Cast.Tips {
		rows = append(rows, []string{say.Letter(i), say.Percent(t.Share), r.style.Point(t.AtMM), airWords(s, t)})
	}
	r.table(rows)
}

// airWords says where the air of an end goes.
func airWords(s *solved, t analysis.CastTip) string {
	var words []string
	switch {
	case t.Vented && t.Trap != nil && s.CastTrap[*t.Trap].Vent != nil:
		words = append(words, fmt.Sprintf("leaves by post %d", s.CastTrap[*t.Trap].Vent.Post))
	case t.Vented:
		words = append(words, "leaves by the opening there")
	case t.Trap != nil:
		words = append(words, "stays")
	default:
		words = append(words, "leaves upwards")
	}
	if t.Held && t.Behind != nil {
		words = append(words, fmt.Sprintf("neck %d holds the filling up", *t.Behind+1))
	}
	if t.Bleed {
		words = append(words, "put a bleed hole here")
	}
	return strings.Join(words, "; ")
}

// ways lists ways of filling the mold with the time of each, unless it surely fills
// in time as planned.
func (r *report) ways(c analysis.Cast) {
	ways := c.Ways()
	if len(ways) == 0 {
		return
	}
	head := "Ways to fill it"
	switch planned := ways[0]; {
	case c.Foam != nil:
		head = "If foam does not pass"
	case planned.Passes != nil && !*planned.Passes:
		head = "It is too slow: what helps"
	}
	r.heading(head)
	takes := "takes"
	if c.Foam != nil {
		takes = "slowest passage takes"
	}
	rows := [][]string{{takes, "in time", ""}}
	for _, a := range ways {
		text := a.Text
		if a.AtMM != nil {
			where := map[string]string{"second spout": "; it begins at "}[a.Kind]
			if where == "" {
				where = "; it is now at "
			}
			text = strings.TrimSuffix(text, ".") + where + r.style.Point(*a.AtMM) + "."
		}
		rows = append(rows, []string{takesWords(a), inTimeWords(a), text})
	}
	r.table(rows)
}

// laidIn is the way that passes no narrow place.
const laidIn = "lay in"

func takesWords(a analysis.CastAdvice) string {
	switch {
	case a.FillS != nil:
		return spanWords(*a.FillS)
	case a.Kind == laidIn:
		return "no time"
	case a.Verdict == "will not":
		return "nothing gets in"
	case a.Verdict == "" && a.Passes == nil:
		return "too fast to tell"
	}
	return "not known"
}

func inTimeWords(a analysis.CastAdvice) string {
	switch {
	case a.Kind == laidIn:
		return "if closed at once"
	case a.Verdict == "doubtful" && a.Passes != nil && *a.Passes:
		return "likely"
	case a.Verdict == "doubtful":
		return "doubtful"
	case a.Passes == nil:
		return "likely" // too fast to tell
	case *a.Passes:
		return "yes"
	}
	return "no"
}
