package cast

import (
	"pourwright/analysis/shelf"
)

const (
	// brimMM is how high the liquid stands over the spout while it is kept full,
	// and pourMM3S the most that is poured in a second (both common practice, no
	// source).
	brimMM   = 10
	pourMM3S = 50_000
	// margin is what a computed time is taken times, since the material thickens
	// while it is worked; workingShare the share of the working time that may be
	// used (both common practice, no source).
	margin       = 2
	workingShare = 1. / 3
)

// Liquid is a casting material as it is poured.
type Liquid struct {
	DensityGPerCM3 float64
	ViscosityPaS   shelf.Range
	WorkingS       float64
	PushPa         shelf.Range // on it besides its own weight
	Cups           int         // that are poured at once; 0 as 1
}

// AllowedS returns the longest filling time that is quick enough, s.
func (l Liquid) AllowedS() float64 { return l.WorkingS * workingShare / margin }

// Layer is some of the volume behind a passage, which fills while the liquid's
// surface is DepthMM under the spout's rim.
type Layer struct{ DepthMM, VolumeMM3 float64 }

// Filling is how long a volume takes through a passage.
type Filling struct {
	Seconds  shelf.Range // for the range of viscosity
	Reynolds float64     // the largest, at the likely viscosity
	Creeping bool        // the model holds: Reynolds is under 1000
	Quick    bool        // twice the likely time is within a third of the working time
}

// Fill returns how long it takes to fill the layers behind a passage whose lower
// end is depthMM under the spout's rim, while the spout is kept full to the brim,
// or gets as much as can be poured: the head is the liquid above that end, or above
// the surface behind where that has risen higher.
func Fill(c Channel, depthMM float64, behind []Layer, l Liquid) Filling {
	r := c.resistance()
	seconds := func(viscosity, pushPa float64) (sum, fastest float64) {
		for _, s := range behind {
			head := brimMM + max(0, min(depthMM, s.DepthMM))
			flow := min(pourMM3S*float64(max(1, l.Cups)), (pressure(head, l.DensityGPerCM3)+pushPa)/(viscosity*r))
			sum += s.VolumeMM3 / flow
			fastest = max(fastest, flow)
		}
		return sum, fastest
	}
	var f Filling
	var fastest float64
	f.Seconds.Low, _ = seconds(l.ViscosityPaS.Low, l.PushPa.High)
	f.Seconds.Likely, fastest = seconds(l.ViscosityPaS.Likely, l.PushPa.Likely)
	f.Seconds.High, _ = seconds(l.ViscosityPaS.High, l.PushPa.Low)
	f.Reynolds = c.reynolds(fastest, l.DensityGPerCM3, l.ViscosityPaS.Likely)
	f.Creeping = f.Reynolds < mostReynolds
	f.Quick = f.Seconds.Likely <= l.AllowedS()
	return f
}

// WidenTo returns the diameter, mm, at which a passage is just wide enough for the
// layers behind it to fill in time, its section growing in all directions alike;
// 0 when no width is enough.
func WidenTo(c Channel, depthMM float64, behind []Layer, l Liquid) float64 {
	return widened(c, func(c Channel) bool { return Fill(c, depthMM, behind, l).Quick })
}

// widened returns the diameter at which a passage, its section growing in all
// directions alike, is just wide enough; 0 when no width is.
func widened(c Channel, enough func(Channel) bool) float64 {
	lo, hi := 1.0, 1.0
	for ; !enough(c.times(hi)); hi *= 2 {
		if hi > 1e6 {
			return 0
		}
		lo = hi
	}
	for hi-lo > 1e-9*hi {
		if m := (lo + hi) / 2; enough(c.times(m)) {
			hi = m
		} else {
			lo = m
		}
	}
	return hi * c.DiameterMM
}
