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
		all = append(all, passage{
			Name: "Neck " + strconv.Itoa(i+1), DiameterMM: n.DiameterMM, Where: where, Behind: s.Liquid(n.BehindMM3),
			Fills: fillWords(n.FillS), Verdict: passWords(n.Passes), TooSlow: isFalse(n.Passes),
		})
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

// TimesKnown tells whether any filling time is known; of foam none is.
func (v *page) TimesKnown() bool {
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
