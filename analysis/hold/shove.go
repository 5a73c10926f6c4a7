package hold

import (
	"fmt"
	"math"
)

// DefaultStreamMM3PerS is a thick stream: a litre in 20 s (common practice, no
// source).
const DefaultStreamMM3PerS = 50_000

// fallMM is the height from which rubber is poured (a workshop page: a ribbon
// from about 30 cm).
const fallMM = 300

// Shove is the greatest push sideways on the pattern while rubber is poured at
// one side of it: an upper bound, see Rule.
type Shove struct {
	StreamN   float64 // of the stream's own momentum
	HeadN     float64 // of the rubber that stands higher at one side
	HeadMM    float64 // how much higher, where the pattern is tall
	ForceN    float64
	MomentNMM float64 // about the board
	Rule      string
}

// shove adds up two bounds. The stream gives up all its momentum, ρQ√(2·g·fall),
// at the top of the pattern. And the rubber it brings must flow past both sides
// of the pattern, as between upright walls: with mean depth h and gaps u, v it
// needs a slope of ρ·g·dh/dx = 12·μ·Q/(h·(u³ + v³)), so that the squares of the two
// depths differ by K = 24·μ·Q/(ρ·g)·∫dx/(u³ + v³), at most by all of the higher
// one. The pressure of the one depth less that of the other then pushes on the
// pattern's outline. Source: plane Poiseuille flow, e.g. White, "Fluid
// Mechanics" (from memory).
func (in Input) shove(b *body) Shove {
	tall := math.Min(b.bounds[1].Z, in.LevelMM)
	stream := in.DensityGPerCM3.High * 1e-6 * in.StreamMM3PerS * math.Sqrt(2*Gravity*fallMM/1000)
	s := Shove{StreamN: stream, MomentNMM: -1}
	for along := range 2 {
		low := math.Sqrt(math.Max(0, tall*tall-in.headSquared(b, along)))
		area, lever := in.headOn(b, 1-along, tall, low)
		push := newtons(area, in.DensityGPerCM3.High)
		moment := newtons(lever, in.DensityGPerCM3.High) + stream*tall
		if moment > s.MomentNMM {
			s.HeadN, s.HeadMM, s.ForceN, s.MomentNMM = push, tall-low, push+stream, moment
		}
	}
	s.Rule = fmt.Sprintf("upper bound: %.3g L a minute poured from %d mm at one side gives up its momentum at the pattern's top, and what flows past stands up to %.0f mm higher at that side",
		in.StreamMM3PerS*60/1e6, fallMM, s.HeadMM)
	return s
}

// headSquared is K of shove for rubber that flows along x (0) or y (1), mm².
// Rubber of unknown viscosity is taken to fill one side first.
func (in Input) headSquared(b *body, along int) float64 {
	if in.ViscosityPaS <= 0 {
		return math.Inf(1)
	}
	half := in.InsideMM[1-along] / 2
	slices, step := b.outline(along, 1-along)
	sum := 0.0
	for _, s := range slices {
		open := 0.0
		for _, gap := range [2]float64{half + s.lo, half - s.hi} {
			if gap > 0 {
				open += gap * gap * gap
			}
		}
		sum += step / open // nothing open: infinite
	}
	// μ is 1e-6 N·s/mm², ρ·g of the lightest rubber in N/mm³.
	return 24 * in.ViscosityPaS * 1e-6 * in.StreamMM3PerS / newtons(1, in.DensityGPerCM3.Low) * sum
}

// headOn returns what volume of rubber is as heavy as the push of two depths on
// the pattern's outline across x (0) or y (1), mm³, and its moment about the
// board, mm⁴.
func (in Input) headOn(b *body, across int, tall, low float64) (mm3, mm4 float64) {
	// Integrals from the board to z of the pressures' difference in mm of rubber:
	// tall − low up to the lower depth, then tall − z; and of that times z.
	upTo := func(z float64) (sum, moment float64) {
		z = math.Min(math.Max(z, 0), tall)
		under := math.Min(z, low)
		sum, moment = (tall-low)*under, (tall-low)*under*under/2
		if z > low {
			sum += tall*(z-low) - (z*z-low*low)/2
			moment += tall*(z*z-low*low)/2 - (z*z*z-low*low*low)/3
		}
		return sum, moment
	}
	slices, step := b.outline(2, across)
	z := b.bounds[0].Z
	before, beforeMoment := upTo(z)
	if in.StemMM > 0 {
		wide := 2 * math.Sqrt(in.Contact.AreaMM2/math.Pi)
		mm3, mm4 = wide*before, wide*beforeMoment
	}
	for k, s := range slices {
		sum, moment := upTo(z + step*float64(k+1))
		wide := math.Max(0, s.hi-s.lo)
		mm3 += wide * (sum - before)
		mm4 += wide * (moment - beforeMoment)
		before, beforeMoment = sum, moment
	}
	return mm3, mm4
}

// slice is how far the pattern reaches in one slice of it; lo > hi: it is empty.
type slice struct{ lo, hi float64 }

// outlineSlices is into how many slices the pattern is cut.
const outlineSlices = 96

// outline cuts the pattern into slices of equal thickness along an axis and
// returns how far each reaches along another, at most: a face counts whole in
// every slice that it reaches into.
func (b *body) outline(along, across int) (slices []slice, step float64) {
	axes := func(v [3]float64) (float64, float64) { return v[along], v[across] }
	lo, _ := axes(array(b.bounds[0]))
	hi, _ := axes(array(b.bounds[1]))
	step = (hi - lo) / outlineSlices
	slices = make([]slice, outlineSlices)
	for k := range slices {
		slices[k] = slice{math.Inf(1), math.Inf(-1)}
	}
	at := func(x float64) int { return max(0, min(outlineSlices-1, int((x-lo)/step))) }
	for f := range b.solid.Faces {
		p, q, r := b.solid.Corners(f)
		x0, y0 := axes(array(p))
		x1, y1 := axes(array(q))
		x2, y2 := axes(array(r))
		least, most := min(y0, y1, y2), max(y0, y1, y2)
		for k := at(min(x0, x1, x2)); k <= at(max(x0, x1, x2)); k++ {
			slices[k].lo, slices[k].hi = min(slices[k].lo, least), max(slices[k].hi, most)
		}
	}
	return slices, step
}
