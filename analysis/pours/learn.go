package pours

import (
	"math"

	"pourwright/analysis/shelf"
)

// Own is what the maker's pours say of one rubber.
type Own struct {
	Density shelf.Range // g/cm³, in place of the shelf's
	FilmG   shelf.Range // that stays in a cup which held 1 L
	Pours   int         // that density was learned from
	Blocks  int         // of them, those whose block was weighed
	LeftOut int         // pours that were not: too far from anything that rubber is
}

const (
	// How well a pour can tell a density, besides the doubt of its volume: the
	// box is made and filled to about a millimetre, and a drop is always spilled.
	measureShare = 0.015
	spillShare   = 0.01 // more of it where the block was not weighed
	// A pour that would make the rubber this much lighter or heavier than the
	// shelf's range leaked, or was written down wrong.
	slipShare = 0.15
)

// Learn works out the maker's own density and film of a rubber. Each pour is a
// reading of the density, with a spread; readings and the shelf's range, taken as
// normal curves, are put together by their weights (inverse variances), so that
// one pour moves the figure a little and many decide it. Source: combination of
// independent normal estimates, any textbook of statistics. film is what is
// thought to stay in a cup that held 1 L, before anything is learned.
func Learn(all []Pour, rubber shelf.Rubber, film shelf.Range) Own {
	density, loss := normal(rubber.DensityGPerCM3), normal(film)
	var own Own
	for _, p := range all {
		if p.Material != rubber.Key || p.LeftOut {
			continue
		}
		cups := p.cups(rubber.DensityGPerCM3.Likely)
		inMold, spread := p.BlockG, measureShare
		if p.BlockG == 0 {
			inMold = p.UsedG - p.LeftG - cups*loss.mean()
			spread += spillShare
		}
		reading := inMold / p.NetMM3 * 1000
		if r := rubber.DensityGPerCM3; reading < r.Low*(1-slipShare) || reading > r.High*(1+slipShare) {
			own.LeftOut++
			continue
		}
		density.add(reading, reading*math.Hypot(spread, p.ErrorMM3/p.NetMM3))
		own.Pours++
		if p.BlockG > 0 && cups > 0 {
			own.Blocks++
			lost := (p.UsedG - p.LeftG - p.BlockG) / cups
			loss.add(min(max(lost, 0), 5*film.High), film.Likely/2)
		}
	}
	own.Density, own.FilmG = density.spread(), loss.spread()
	return own
}

// cups is the surface of the cups against that of one that held 1 L.
func (p Pour) cups(density float64) float64 {
	n := float64(max(1, p.Batches))
	return n * math.Pow(p.UsedG/n/density/1000, 2.0/3)
}

// estimate is a normal curve: weights are inverse variances.
type estimate struct{ sum, weight float64 }

// A triangular spread has a standard deviation of its width over √24 when it is
// even (Evans, Hastings and Peacock, "Statistical Distributions", from memory).
var root24 = math.Sqrt(24)

func normal(r shelf.Range) estimate {
	var e estimate
	e.add(r.Likely, max((r.High-r.Low)/root24, 1e-3*r.Likely))
	return e
}

func (e *estimate) add(reading, deviation float64) {
	w := 1 / (deviation * deviation)
	e.sum += w * reading
	e.weight += w
}

func (e estimate) mean() float64 { return e.sum / e.weight }

// spread is the even triangular spread of the same mean and deviation.
func (e estimate) spread() shelf.Range {
	half := root24 / 2 / math.Sqrt(e.weight)
	mean := e.mean()
	return shelf.Range{Low: max(mean-half, mean/10), Likely: mean, High: mean + half}
}
