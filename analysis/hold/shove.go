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
// of the pattern, as between walls: with mean depth h, length L and gaps u, v it
// needs a slope of ρ·g·Δ/L = 12·μ·Q/(h·(u³ + v³)), so that the squares of the two
// depths differ by K = 24·μ·Q·L/(ρ·g·(u³ + v³)), at most by all of the higher
// one; that pushes by ½·ρ·g·b·K on a pattern b wide. Source: plane Poiseuille
// flow, e.g. White, "Fluid Mechanics" (from memory).
func (in Input) shove(b *body) Shove {
	lo, hi := b.bounds[0], b.bounds[1]
	tall := math.Min(hi.Z, in.LevelMM)
	stream := in.DensityGPerCM3.High * 1e-6 * in.StreamMM3PerS * math.Sqrt(2*Gravity*fallMM/1000)
	sizes := [2]float64{hi.X - lo.X, hi.Y - lo.Y}
	gaps := [2][2]float64{
		{in.InsideMM[0]/2 + lo.X, in.InsideMM[0]/2 - hi.X},
		{in.InsideMM[1]/2 + lo.Y, in.InsideMM[1]/2 - hi.Y},
	}
	s := Shove{StreamN: stream, MomentNMM: -1}
	for along := range 2 {
		k2 := in.headSquared(sizes[along], gaps[1-along])
		low := math.Sqrt(math.Max(0, tall*tall-k2))
		push := newtons(sizes[1-along]*(tall*tall-low*low)/2, in.DensityGPerCM3.High)
		moment := newtons(sizes[1-along]*(tall*tall*tall-low*low*low)/6, in.DensityGPerCM3.High) + stream*tall
		if moment > s.MomentNMM {
			s.HeadN, s.HeadMM, s.ForceN, s.MomentNMM = push, tall-low, push+stream, moment
		}
	}
	s.Rule = fmt.Sprintf("upper bound: %.3g L a minute poured from %d mm at one side gives up its momentum at the pattern's top, and what flows past stands up to %.0f mm higher at that side",
		in.StreamMM3PerS*60/1e6, fallMM, s.HeadMM)
	return s
}

// headSquared is K of shove, mm². Rubber of unknown viscosity is taken to fill
// one side first.
func (in Input) headSquared(length float64, gaps [2]float64) float64 {
	open := 0.0
	for _, g := range gaps {
		if g > 0 {
			open += g * g * g
		}
	}
	if in.ViscosityPaS <= 0 || open == 0 {
		return math.Inf(1)
	}
	// μ is 1e-6 N·s/mm², ρ·g of the lightest rubber in N/mm³.
	return 24 * in.ViscosityPaS * 1e-6 * in.StreamMM3PerS * length / (newtons(1, in.DensityGPerCM3.Low) * open)
}
