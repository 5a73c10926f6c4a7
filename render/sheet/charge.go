package sheet

import (
	"fmt"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// Casting is the casting material in words.
func (v *page) Casting() string {
	switch {
	case v.Cast.Name != "":
		return strings.ToUpper(v.Cast.Name[:1]) + v.Cast.Name[1:]
	case v.Cast.Material != "":
		return "Casting " + v.Cast.Material
	}
	return "Casting material"
}

// Foams tells whether the cast is foam.
func (v *page) Foams() bool { return v.Cast.Foam != nil || v.Cast.Material == "foam" }

// Charged tells whether it is known what to mix for one cast.
func (v *page) Charged() bool { return v.Cast.MassG.Likely > 0 }

// Smaller is how much smaller than the original a cast comes out.
func (v *page) Smaller() string {
	s := v.Cast.Shrink.LinearPct
	return keep(fmt.Sprintf("%.1f–%.1f %%", s.Low, s.High)) + " of any length, likely " + keep(fmt.Sprintf("%.1f %%", s.Likely))
}

// Pulls is how many casts the mold may give.
func (v *page) Pulls() string {
	s := v.Cast.Pulls
	return fmt.Sprintf("%.0f to %.0f casts, likely about %.0f", s.Low, s.High, s.Likely)
}

// StockCasts is how many casts the material on hand does for, rounded down.
func (v *page) StockCasts() string { return say.Count(int(*v.Cast.CastsFromStock), "cast", "casts") }

// rodWords says where the stiffener of a cast goes.
type rodWords struct {
	analysis.Rod
	Way       string // it goes in
	Below     string // how deep one lowered through the open foot comes to lie
	From, To  string // its ends
	Weighs    string // empty when that is not known
	Second    *rodEnds
	Standoffs []standoff
	Stiffer   string // how much less the cast bends; empty when that is next to nothing
}

type rodEnds struct {
	LengthMM      float64
	From, To, Tie string
}

// standoff is a bridge between the rod and the wall of the mold.
type standoff struct {
	LengthMM float64
	Where    string
}

// leastGain is the gain in stiffness worth a word.
const leastGain = 1.05

// wordRod gives nil where there is no rod, as in a cast that is made hollow.
func wordRod(p *analysis.Plan, s units) *rodWords {
	r := p.Rod
	if p.Cast.TooThick && p.Cast.Slush != nil {
		return nil
	}
	if !(r.DiameterMM > 0) || r.LengthMM == nil || r.FromMM == nil || r.ToMM == nil || r.Entry == "none" {
		return nil
	}
	words := &rodWords{Rod: r, From: placeOf(p, *r.FromMM).Words(s), To: placeOf(p, *r.ToMM).Words(s)}
	switch r.Entry {
	case "spout":
		words.Way = "In by the spout"
		if r.DepthMM != nil {
			words.Way += ", its near end " + s.Length(*r.DepthMM) + " below the rim"
		}
	case "mouth":
		words.Below = belowRim(s, r.FromMM[2], r.ToMM[2])
		words.Way = "Lowered as it lies through the open foot, until " + words.Below
	case "half":
		words.Way = "Laid into one half of the opened mold, before it is closed"
	case "two":
		words.Way = "Two rods, laid into one half of the opened mold and bound where they pass"
	}
	if two := r.Second; two != nil {
		words.Second = &rodEnds{two.LengthMM, placeOf(p, two.FromMM).Words(s), placeOf(p, two.ToMM).Words(s), placeOf(p, two.TieMM).Words(s)}
	}
	for _, one := range r.Standoffs {
		words.Standoffs = append(words.Standoffs, standoff{one.LengthMM, placeOf(p, one.AtMM).Words(s)})
	}
	if m := r.MassG; m != nil {
		words.Weighs = s.Mass(m.Likely)
	}
	if g := r.StiffnessGain; g != nil && g.Likely >= leastGain {
		words.Stiffer = keep(say.Number(g.Likely)+" times") + " as stiff in the middle"
	}
	return words
}

// belowRim says how deep both ends of a rod come to lie.
func belowRim(s units, from, to float64) string {
	a, b := s.Length(from), s.Length(to)
	if a == b {
		return "it lies level, " + a + " below the rim"
	}
	return "its ends are " + a + " and " + b + " below the rim"
}

// NoRod says why there is no rod in the cast though one was wanted; empty
// otherwise.
func (v *page) NoRod() string {
	if v.Hollow() && v.Rod.DiameterMM > 0 {
		return "None goes in: the cast is hollow."
	}
	if v.Stiff != nil || !(v.Rod.DiameterMM > 0) || v.Rod.Entry != "none" {
		return ""
	}
	if v.Rod.Why == "" {
		return "None goes in: why is " + say.Unknown + "."
	}
	return "None goes in. " + v.Say.Prose(v.Rod.Why)
}

// Care is all cautions of the rod in one.
func (r *rodWords) Care() string { return strings.Join(r.Cautions, " ") }

// clockStep is one step from the first weighing to the first cast.
type clockStep struct {
	Name, From, Latest, Takes string
	Ends                      string // of what it takes; empty when that is exact
	Wait                      bool
}

// timetable words the timetable.
func timetable(p *analysis.Plan) []clockStep {
	var all []clockStep
	for _, s := range p.Clock {
		one := clockStep{s.Name, clockWords(s.FromS.Likely), clockWords(s.FromS.High), clockWords(s.TakeS.Likely), "", s.Wait}
		if ends := endsWords(s.TakeS); ends != one.Takes {
			one.Ends = ends
		}
		all = append(all, one)
	}
	return all
}

// finished is what the prop weighs in one material.
type finished struct {
	Name, Likely, Range string
	Chosen, Nearest     bool
	TooThick            bool
}

// finishedIn lists the materials of the shelf, lightest first.
func finishedIn(p *analysis.Plan, s units) []finished {
	var all []finished
	for _, c := range p.Cast.Candidates {
		all = append(all, finished{c.Words(), s.Mass(c.PropG.Likely), s.MassRange(c.PropG.Low, c.PropG.High), c.Chosen, c.Nearest, c.TooThick})
	}
	return all
}
