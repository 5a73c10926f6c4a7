package cast

import (
	"fmt"
	"math"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

// PourRule says by which rule a Pour is worked out.
const PourRule = "foam is poured as a liquid, through the spout first: moulded over liquid density of the cavity, slow flow with losses at both ends, spout full to 10 mm over its rim; passes when it likely takes a third of the cream time, the rest goes to mixing, at its thickest no more than all of it, and the spout is nowhere under half the least one, where foam tends to close up; will not when it creams before it is in even at its thinnest (common practice, no source); what rises back through the spout is only the overflow, and is not counted"

// Pour is how the liquid that a foam rises from gets in through the spout. It all has
// to before it creams; what comes back through the spout later is only the overflow.
type Pour struct {
	LiquidMM3 float64      // that has to get in
	TakesS    *shelf.Range // nil: the spout is a bare tip
	CreamS    float64      // from the mixing until it rises
	AllowedS  float64      // of that, for pouring
	Verdict   string
	WidenMM   float64 // diameter that lets it in; 0: this one does, or none would
	LeastMM   float64 // foam tends to close up in what is narrower
}

// noLimit is cups enough for only the spout to hold the liquid up.
const noLimit = 1 << 20

// pour judges the narrowest part of the spout as foam meets it, and returns that
// part; nil where the foam's figures are not known.
func (in Input) pour() (*Pour, Channel) {
	m := in.Material
	share := moulded(m).Likely / m.LiquidGPerCM3.Likely
	if len(in.Spout) == 0 || !(m.ViscosityPaS.Low > 0) || !(m.WorkingS > 0) || !(share > 0) || share > 1 {
		return nil, Channel{}
	}
	p := &Pour{LiquidMM3: share * in.volume(), CreamS: m.WorkingS, AllowedS: m.WorkingS * workingShare, Verdict: Passes, LeastMM: in.foamLeastMM()}
	narrowest := in.Spout[0]
	for _, c := range in.Spout {
		if !(c.DiameterMM > 0) {
			p.Verdict, p.TakesS = WillNot, nil
			p.WidenMM = widened(Channel{DiameterMM: 1, LengthMM: c.LengthMM}, func(c Channel) bool { return in.pours(c, *p) == Passes })
			return p, c
		}
		f := in.liquidThrough(c, p.LiquidMM3, max(1, in.Cups))
		if p.TakesS == nil || f.Seconds.Likely > p.TakesS.Likely {
			p.TakesS, narrowest = &f.Seconds, c
		}
		if v := in.pours(c, *p); v != Passes {
			if ranks[v] > ranks[p.Verdict] {
				p.Verdict = v
			}
			p.WidenMM = max(p.WidenMM, widened(c, func(c Channel) bool { return in.pours(c, *p) == Passes }))
		}
	}
	return p, narrowest
}

// liquidThrough is the liquid running in through one part of the spout: it sinks away
// from there, so the head is that of the spout.
func (in Input) liquidThrough(c Channel, mm3 float64, cups int) Filling {
	l := in.liquid()
	l.DensityGPerCM3, l.Cups = in.Material.LiquidGPerCM3.Likely, cups // not that of the risen foam
	return Fill(c, in.SpoutEnds, []Layer{{math.Inf(1), mm3}}, l)
}

// pours is the verdict on one part of the spout, however much is poured at once.
func (in Input) pours(c Channel, p Pour) string {
	f := in.liquidThrough(c, p.LiquidMM3, noLimit)
	switch {
	case f.Creeping && f.Seconds.Low > p.CreamS:
		return WillNot
	case c.DiameterMM < p.LeastMM || f.Creeping && (f.Seconds.Likely > p.AllowedS || f.Seconds.High > p.CreamS):
		return Doubtful
	}
	return Passes
}

// pourFoam judges the spout and warns of one that foam does not surely get in by.
func (r *Result) pourFoam(in Input) {
	p, narrowest := in.pour()
	if p == nil {
		r.narrowSpout(in)
		return
	}
	r.Pour, r.Spout, r.WidenMM = p, narrowest, p.WidenMM
	if p.Verdict == Passes {
		return
	}
	level, words := finding.Warn, "The foam may not get in"
	if p.Verdict == WillNot {
		level, words = finding.Stop, "The foam will not get in"
	}
	text := words + " through the spout, which is a bare tip where it meets the part."
	if p.TakesS != nil {
		closes := ""
		if narrowest.DiameterMM < p.LeastMM {
			closes = fmt.Sprintf("it tends to close up in passages under %.1f mm; ", p.LeastMM)
		}
		text = fmt.Sprintf("%s through the spout, %.1f mm wide at its narrowest: %sas a liquid it takes %s to %s to run in, likely %s, it creams after %s, and about %s of that are left for pouring.",
			words, narrowest.DiameterMM, closes, duration(p.TakesS.Low), duration(p.TakesS.High), duration(p.TakesS.Likely), duration(p.CreamS), duration(p.AllowedS))
	}
	action := "Pour from another end, lay the foam into both sides of the opened mold and close it at once, or cast in resin."
	if p.WidenMM > 0 {
		action = fmt.Sprintf("Widen the spout to %.0f mm where it is narrower, with clay on the pattern; or pour from another end, or lay the foam into both sides of the opened mold and close it at once.", math.Ceil(p.WidenMM))
	}
	r.tell(level, in.SpoutAt, text, action)
}

// narrowSpout warns of a spout by its diameter alone, where the foam's figures are not
// known.
func (r *Result) narrowSpout(in Input) {
	least := in.foamLeastMM()
	for _, c := range in.Spout {
		if c.DiameterMM < least {
			r.tell(finding.Warn, in.SpoutAt, fmt.Sprintf("Foam has to get in through the spout, %.1f mm wide at its narrowest, and tends to close up in passages under %.1f mm.", c.DiameterMM, least),
				fmt.Sprintf("Widen the spout to %.0f mm where it is narrower, with clay on the pattern; or pour from another end.", math.Ceil(least)))
			return
		}
	}
}
