package cast

import (
	"math"

	"pourwright/analysis/shelf"
)

// Verdicts on foam at a neck.
const (
	Passes   = "passes"
	Doubtful = "doubtful"
	WillNot  = "will not"
)

var (
	// thickensTo is how many times as thick as when it was poured a foam is when it
	// stops to rise (from memory of flow tests, very uncertain).
	thickensTo = shelf.Range{Low: 10, Likely: 50, High: 200}
	// pushShare is the share of the pressure of a closed mold that drives foam
	// through a neck: grown from nothing it is half on the way, and vents take most of
	// it away (common practice, no source).
	pushShare = shelf.Range{Low: 0.1, Likely: 0.5, High: 1}
)

// RiseRule says by which rule a Rise is worked out.
const RiseRule = "what the liquid does not fill has to pass as foam, at moulded density; slow flow with losses at both ends, a tenth to all of the upper-bound pressure of the closed mold, likely half (common practice, no source); as many times as thick as its liquid as it is lighter (Llewellin & Manga, 2005, from memory), 10 to 200 times as thick at the end of its rise (from memory, very uncertain); passages under half the least spout tend to close up (common practice, no source)"

// Rise is how foam passes a neck while it rises.
type Rise struct {
	PassMM3  float64     // of risen foam that has to
	Back     bool        // towards the spout: more runs behind the neck as a liquid than is needed there
	TakesS   shelf.Range // at the thickness it starts to rise with
	AllowedS shelf.Range // the time of its rise, less what thickening takes off
	Verdict  string
	WidenMM  float64 // diameter that lets it pass; 0: this one does, or none would
}

// risingFoam is a foam at necks of one mold.
type risingFoam struct {
	liquid  Liquid      // as it is poured
	share   float64     // of the mold that the liquid fills: moulded over liquid density
	thick   shelf.Range // viscosity when it starts to rise, Pa·s
	pushPa  shelf.Range
	allowed shelf.Range // s
	leastMM float64     // narrower passages tend to close up
}

// newRisingFoam takes the figures of the shelf; ok is false where they are not known.
// A foam is as many times as thick as its liquid as it takes up more room, as bubbles
// that keep their shape make it (Llewellin & Manga, Journal of Volcanology and
// Geothermal Research 143, 2005, from memory: 1/(1 − share of gas)). It thickens
// evenly, by the same factor in the same time, to thickensTo at the end of its rise:
// what it flows until then it would flow at first thickness in (1 − 1/k)/ln k of that.
func newRisingFoam(c shelf.Casting, cavityMM3 float64) (f risingFoam, ok bool) {
	d := moulded(c)
	if !(c.RiseS.Low > 0) || !(c.ViscosityPaS.Low > 0) || !(d.Low > 0) || !(c.LiquidGPerCM3.Likely > d.Likely) {
		return f, false
	}
	liquid := c.LiquidGPerCM3.Likely
	bound := func(packing float64) float64 {
		return FoamPressure(c.DensityGPerCM3.Likely, c.DensityGPerCM3.Likely*packing, liquid)
	}
	counts := func(k float64) float64 { return (1 - 1/k) / math.Log(k) }
	f = risingFoam{
		liquid:  Liquid{DensityGPerCM3: liquid, ViscosityPaS: c.ViscosityPaS, WorkingS: c.WorkingS},
		share:   d.Likely / liquid,
		pushPa:  shelf.Range{Low: pushShare.Low * bound(c.Packing.Low), Likely: pushShare.Likely * bound(c.Packing.Likely), High: pushShare.High * bound(c.Packing.High)},
		allowed: shelf.Range{Low: c.RiseS.Low * counts(thickensTo.High), Likely: c.RiseS.Likely * counts(thickensTo.Likely), High: c.RiseS.High * counts(thickensTo.Low)},
		leastMM: foamShare * c.LeastSpoutMM(cavityMM3),
	}
	f.thick = spread(c.ViscosityPaS).per(func(pas float64) float64 { return pas / f.share })
	return f, f.pushPa.Low > 0
}

// takes returns how long a volume of foam takes through a channel.
func (f risingFoam) takes(c Channel, mm3 float64) shelf.Range {
	r := c.resistance()
	return shelf.Range{
		Low:    mm3 * r * f.thick.Low / f.pushPa.High,
		Likely: mm3 * r * f.thick.Likely / f.pushPa.Likely,
		High:   mm3 * r * f.thick.High / f.pushPa.Low,
	}
}

// verdict passes what is likely to, and in time even when all is at its worst.
func (f risingFoam) verdict(diameterMM float64, takes shelf.Range) string {
	switch {
	case takes.Likely > f.allowed.Likely:
		return WillNot
	case takes.High > f.allowed.Likely || diameterMM < f.leastMM:
		return Doubtful
	}
	return Passes
}

// through judges one neck. low is what of the volume behind it the liquid fills
// when it stands level, and soaked what of the liquid came through the neck before.
func (f risingFoam) through(n Neck, low, soaked float64) Rise {
	// Foam has to bring, or take away, what the liquid does not.
	rest := func(liquid float64) float64 { return n.BehindMM3 - liquid/f.share }
	r := Rise{PassMM3: math.Abs(rest(soaked)), Back: rest(soaked) < 0, AllowedS: f.allowed}
	c := n.channel()
	r.TakesS = f.takes(c, r.PassMM3)
	if r.Verdict = f.verdict(n.DiameterMM, r.TakesS); r.Verdict == Passes {
		return r
	}
	most := max(r.PassMM3, math.Abs(rest(low))) // through a wider one more liquid runs
	r.WidenMM = widened(c, func(w Channel) bool { return f.verdict(w.DiameterMM, f.takes(w, most)) == Passes })
	return r
}

// rises judges all necks. The liquid runs to the lowest places before it rises, as
// far as it gets through the necks in its working time under a little of itself.
func (f risingFoam) rises(in Input) []*Rise {
	surface, share := levelOf(in.All, f.share*in.volume())
	soaked := make([]float64, len(in.Necks))
	out := make([]*Rise, len(in.Necks))
	for i, n := range in.Necks {
		low := below(in.Behind[i], surface, share)
		soaked[i] = min(low, n.channel().Flow(brimMM, f.liquid.DensityGPerCM3, f.liquid.ViscosityPaS.Likely)*f.liquid.WorkingS)
		if n.After >= 0 {
			soaked[i] = min(soaked[i], soaked[n.After])
		}
		r := f.through(n, low, soaked[i])
		out[i] = &r
	}
	return out
}

// volume of the cavity.
func (in Input) volume() float64 {
	all := 0.0
	for _, s := range in.All {
		all += s.VolumeMM3
	}
	return all
}

// levelOf returns the layer of the surface, and how much of that is filled, when the
// lowest layers hold a volume; layers are in the order of their depth.
func levelOf(layers []Layer, mm3 float64) (depthMM, share float64) {
	for i := len(layers) - 1; i >= 0; i-- {
		if v := layers[i].VolumeMM3; mm3 < v {
			return layers[i].DepthMM, mm3 / v
		}
		mm3 -= layers[i].VolumeMM3
	}
	return math.Inf(-1), 0
}

// below returns the volume that is deeper than a surface, and a share of its layer.
func below(layers []Layer, surface, share float64) float64 {
	sum := 0.0
	for _, l := range layers {
		switch {
		case l.DepthMM > surface:
			sum += l.VolumeMM3
		case l.DepthMM == surface:
			sum += share * l.VolumeMM3
		}
	}
	return sum
}
