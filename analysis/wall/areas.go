package wall

import (
	"math"
)

// Bin is the area of the pattern's surface with rubber of a thickness.
type Bin struct{ FromMM, ToMM, AreaMM2 float64 }

// binsTo is how many bins there are up to the wasted thickness, about.
const binsTo = 10

// areas sums up the samples, each of which stands for the same area.
func (s *survey) areas(r *Result) {
	step := niceStep(s.in.WastedMM / binsTo)
	bins := int(math.Ceil(s.in.WastedMM/step - 1e-9))
	r.Histogram = make([]Bin, bins+1)
	for k := range r.Histogram {
		r.Histogram[k] = Bin{FromMM: float64(k) * step, ToMM: float64(k+1) * step}
	}
	thickest := r.Histogram[bins].ToMM
	for i := range s.samples {
		x := &s.samples[i]
		if x.dry {
			continue
		}
		t := x.thickness()
		thickest = math.Max(thickest, t)
		r.AreaMM2 += s.area
		r.Histogram[min(bins, int(t/step))].AreaMM2 += s.area
		if t < r.ThinMM*(1-tie) {
			r.ThinMM2 += s.area
		}
		if t < r.FloppyMM*(1-tie) {
			r.FloppyMM2 += s.area
		}
		if t > r.WastedMM*(1+tie) {
			r.WastedMM2 += s.area
		}
		r.Floor = thinner(r.Floor, Place{x.floor, x.at})
	}
	r.Histogram[bins].ToMM = thickest
}

// tie is the share by which a thickness must pass a threshold: what was made to
// the threshold is not under it.
const tie = 1e-6

// thinner returns the thinner of a place that may not be known and another.
func thinner(p *Place, o Place) *Place {
	if math.IsInf(o.MM, 1) || p != nil && p.MM <= o.MM {
		return p
	}
	return &o
}

// niceStep is the least of 1, 2, 5, 10, … times a power of ten that is not
// under about.
func niceStep(about float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(about)))
	for _, k := range [...]float64{1, 2, 5} {
		if k*power >= about*(1-1e-9) {
			return k * power
		}
	}
	return 10 * power
}
