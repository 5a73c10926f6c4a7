package sheet

import (
	"strconv"

	"pourwright/analysis"
	"pourwright/render/say"
)

// passage is the spout, or a narrow place behind it, as the material meets it.
type passage struct {
	Name       string
	DiameterMM float64
	Where      string
	Behind     string // what is filled through it
	Fills      string
	Verdict    string
	TooSlow    bool
}

func passages(p *analysis.Plan, s units) []passage {
	c := p.Cast
	if !(c.Spout.DiameterMM > 0) {
		return nil
	}
	all := []passage{{
		Name: "Spout", DiameterMM: c.Spout.DiameterMM, Where: "on top, where it is narrowest", Behind: s.Liquid(c.CavityMM3) + ", all of it",
		Fills: fillWords(c.Spout.FillS), Verdict: passWords(c.Spout.Passes), TooSlow: isFalse(c.Spout.Passes),
	}}
	for i, n := range c.Necks {
		where := placeOf(p, n.AtMM).Words(s)
		if n.After != nil {
			where += ", after neck " + strconv.Itoa(*n.After+1)
		}
		neck := passage{
			Name: "Neck " + strconv.Itoa(i+1), DiameterMM: n.DiameterMM, Where: where, Behind: s.Liquid(n.BehindMM3),
			Fills: fillWords(n.FillS), Verdict: passWords(n.Passes), TooSlow: isFalse(n.Passes),
		}
		if f := n.Foam; f != nil {
			neck.Fills, neck.Verdict, neck.TooSlow = spanWords(f.TakesS)+" of "+duration(f.AllowedS.Likely), foamWords[f.Verdict], f.Verdict != "passes"
		}
		all = append(all, neck)
	}
	if c.Foam != nil {
		all[0].Fills, all[0].Verdict = "foam fills by rising", "–"
		if f := c.Spout.Foam; f != nil {
			all[0].Fills, all[0].Verdict, all[0].TooSlow = "nothing gets in", foamWords[f.Verdict], f.Verdict != "passes"
			if f.TakesS != nil {
				all[0].Fills = spanWords(*f.TakesS) + " of " + duration(f.AllowedS) + " to pour it in"
			}
		}
	}
	return all
}

func isFalse(b *bool) bool { return b != nil && !*b }

// fillWords is a filling time with its spread.
func fillWords(t *analysis.Spread) string {
	if t == nil {
		return say.Unknown
	}
	low, high := duration(t.Low), duration(t.High)
	if low == high {
		return high
	}
	return low + " to " + high
}

func passWords(passes *bool) string {
	switch {
	case passes == nil:
		return say.Unknown
	case *passes:
		return "fast enough"
	}
	return "too slow"
}

// foamWords are what the sheet says of the verdicts on foam.
var foamWords = map[string]string{"passes": "passes", "doubtful": "doubtful", "will not": "will not pass"}

// spanWords is a time with its spread, where less than a second is no matter.
func spanWords(t analysis.Spread) string {
	switch {
	case t.High < 1:
		return keep("under 1 s")
	case t.Low < 1:
		return "up to " + duration(t.High)
	}
	return fillWords(&t)
}

// RiseKnown tells whether it is known how foam passes the spout or the necks.
func (v *page) RiseKnown() bool {
	return v.Cast.Spout.Foam != nil || len(v.Cast.Necks) > 0 && v.Cast.Necks[0].Foam != nil
}

// tip is an end of the cavity.
type tip struct {
	Letter           string // as in the picture of the cast
	Full, Air, Where string
	Signal           bool
}

// tips lists the ends of the cavity, the one that fills first at the top.
func tips(p *analysis.Plan, s units) []tip {
	var all []tip
	for i, t := range p.Cast.Tips {
		one := tip{Letter: say.Letter(i), Full: say.Percent(t.Share), Where: placeOf(p, t.AtMM).Words(s), Air: "leaves upwards", Signal: t.Bleed}
		switch {
		case t.Vented && t.Trap != nil && p.CastTrap[*t.Trap].Vent != nil:
			one.Air = "leaves by vent " + strconv.Itoa(p.CastTrap[*t.Trap].Vent.Post)
		case t.Vented:
			one.Air = "leaves by the opening there"
		case t.Trap != nil:
			one.Air = "stays"
		}
		if t.Held && t.Behind != nil {
			one.Air += "; neck " + strconv.Itoa(*t.Behind+1) + " holds the filling up"
		}
		if t.Bleed {
			one.Air += ": put a bleed hole here"
		}
		all = append(all, one)
	}
	return all
}

// wayToFill is one way to fill the mold.
type wayToFill struct {
	Takes, InTime, Text string
}

// waysToFill lists what helps when the mold fills too slowly.
func waysToFill(p *analysis.Plan, s units) []wayToFill {
	var all []wayToFill
	for _, a := range p.Cast.Ways() {
		one := wayToFill{Text: a.Text}
		if a.AtMM != nil {
			one.Text += " It is " + placeOf(p, *a.AtMM).Words(s) + "."
		}
		one.Takes, one.InTime = takesWords(a), inTimeWords(a)
		all = append(all, one)
	}
	return all
}

// laidIn is the way that passes no narrow place.
const laidIn = "lay in"

// takesWords says how long a way takes, or why that is not known.
func takesWords(a analysis.CastAdvice) string {
	switch {
	case a.FillS != nil:
		return spanWords(*a.FillS)
	case a.Kind == laidIn:
		return keep("no time")
	case a.Verdict == "will not":
		return "nothing gets in"
	case a.Verdict == "" && a.Passes == nil:
		return "too fast to tell"
	}
	return say.Unknown
}

// inTimeWords is the verdict on a way.
func inTimeWords(a analysis.CastAdvice) string {
	switch {
	case a.Kind == laidIn:
		return "if closed at once"
	case a.Verdict == "doubtful" && (a.Passes == nil || !*a.Passes):
		return a.Verdict
	case a.Verdict == "doubtful" || a.Passes == nil: // or too fast to tell
		return "likely"
	case *a.Passes:
		return "yes"
	}
	return "no"
}

// TimesKnown tells whether any filling time is known; of foam none is, and none
// matters for a hollow cast.
func (v *page) TimesKnown() bool {
	if v.Hollow() {
		return false
	}
	for _, n := range v.Cast.Necks {
		if n.FillS != nil {
			return true
		}
	}
	return v.Cast.Spout.FillS != nil
}

// FillTime is how long the cavity takes to fill.
func (v *page) FillTime() string { return fillWords(v.Cast.FillS) }

// TooSlow tells whether the cavity takes longer than the material allows.
func (v *page) TooSlow() bool { return isFalse(v.Cast.Passes) }
