package hold

import "math"

// Uplift is the vertical force of the rubber on the pattern while the level
// rises, before the pattern's weight, with every spread from the rubber's
// density. Sealed means that no rubber gets under the patches, leaking that it
// gets everywhere.
type Uplift struct {
	SealedN, LeakingN       Range   // the greatest
	SealedAtMM, LeakingAtMM float64 // the level at that
	SealedFullN             Range   // with all rubber in; negative: pressed down
	NetSealedN, NetN        float64 // the greatest, of the densest rubber, less the lightest pattern's weight
	Curve                   []Lift  // rising, at the likely density
}

// Lift is the uplift at one level.
type Lift struct{ LevelMM, SealedN, LeakingN float64 }

func (in Input) uplift(b *body, levels []float64) Uplift {
	var u Uplift
	spread := func(mm3 float64) Range {
		d := in.DensityGPerCM3
		r := Range{newtons(mm3, d.Low), newtons(mm3, d.Likely), newtons(mm3, d.High)}
		if mm3 < 0 {
			r.Low, r.High = r.High, r.Low
		}
		return r
	}
	var sealed, leaking float64
	u.SealedAtMM, sealed = greatest(b.sealed, levels)
	u.LeakingAtMM, leaking = greatest(b.volume, levels)
	u.SealedN, u.LeakingN, u.SealedFullN = spread(sealed), spread(leaking), spread(b.sealed(in.LevelMM))
	weight := in.Mass.LowG / 1000 * Gravity
	u.NetSealedN, u.NetN = u.SealedN.High-weight, u.LeakingN.High-weight
	for k, l := range levels {
		if k%(sweepSteps/40) == 0 || k == len(levels)-1 {
			u.Curve = append(u.Curve, Lift{l, newtons(b.sealed(l), in.DensityGPerCM3.Likely), newtons(b.volume(l), in.DensityGPerCM3.Likely)})
		}
	}
	return u
}

// greatest returns the lowest level at which f is greatest, and f there. The
// best of the levels given is refined between its neighbours by golden
// sections.
func greatest(f func(float64) float64, levels []float64) (at, value float64) {
	best := 0
	value = f(levels[0])
	for k, l := range levels {
		if v := f(l); v > value+1e-12*math.Abs(value) {
			best, value = k, v
		}
	}
	at = levels[best]
	lo, hi := levels[max(0, best-1)], levels[min(len(levels)-1, best+1)]
	const golden = 0.6180339887498949
	a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
	fa, fb := f(a), f(b)
	for hi-lo > 1e-9*(1+hi) {
		if fa >= fb {
			hi, b, fb = b, a, fa
			a = hi - golden*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + golden*(hi-lo)
			fb = f(b)
		}
	}
	if v := f((lo + hi) / 2); v > value+1e-12*math.Abs(value) {
		at, value = (lo+hi)/2, v
	}
	return at, value
}
