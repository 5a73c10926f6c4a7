package cast

import (
	"math"

	"pourwright/analysis/shelf"
)

const (
	// brimMM is how high the liquid stands over the spout while it is kept full
	// (common practice, no source).
	brimMM = 10
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
}

// allowed returns the longest filling time that is quick enough, s.
func (l Liquid) allowed() float64 { return l.WorkingS * workingShare / margin }

// Slab is some of the volume behind a passage: a layer that fills while its
// surface is DepthMM under the spout's rim.
type Slab struct{ DepthMM, VolumeMM3 float64 }

// Filling is how long a volume takes through a passage.
type Filling struct {
	Seconds  shelf.Range // for the range of viscosity
	Reynolds float64     // the largest, at the likely viscosity
	Creeping bool        // the model holds: Reynolds is under 1000
	Quick    bool        // twice the likely time is within a third of the working time
}

// Fill returns how long it takes to fill the slabs behind a passage that is
// depthMM under the spout's rim, while the spout is kept full to the brim: the
// head is the liquid above the passage, or above the surface behind where that has
// risen higher.
func Fill(c Channel, depthMM float64, behind []Slab, l Liquid) Filling {
	perViscosity, most := 0.0, 0.0 // s per Pa·s; mm³/s at 1 Pa·s
	for _, s := range behind {
		head := brimMM + max(0, min(depthMM, s.DepthMM))
		flow := c.Flow(head, l.DensityGPerCM3, 1)
		perViscosity += s.VolumeMM3 / flow
		most = max(most, flow)
	}
	v := l.ViscosityPaS
	f := Filling{
		Seconds:  shelf.Range{Low: v.Low * perViscosity, Likely: v.Likely * perViscosity, High: v.High * perViscosity},
		Reynolds: c.reynolds(most/v.Likely, l.DensityGPerCM3, v.Likely),
	}
	f.Creeping = f.Reynolds < mostReynolds
	f.Quick = f.Seconds.Likely <= l.allowed()
	return f
}

// WidenTo returns the diameter, mm, at which a passage is just wide enough for the
// slabs behind it to fill in time, its section growing in all directions alike.
func WidenTo(c Channel, depthMM float64, behind []Slab, l Liquid) float64 {
	lo, hi := 1.0, 2.0
	quick := func(s float64) bool { return Fill(c.times(s), depthMM, behind, l).Quick }
	if quick(lo) {
		return c.DiameterMM
	}
	for ; !quick(hi); hi *= 2 {
		lo = hi
		if hi > 1e6 {
			return math.Inf(1)
		}
	}
	for range 40 {
		if m := (lo + hi) / 2; quick(m) {
			hi = m
		} else {
			lo = m
		}
	}
	return hi * c.DiameterMM
}
