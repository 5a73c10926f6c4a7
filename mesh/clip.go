package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// slabs is how many parts a Profile cuts the height into.
const slabs = 512

// Profile tells how much of a solid is below any level. Build it once with
// NewProfile; any number of goroutines may then ask.
type Profile struct {
	lo, hi  float64
	perSlab float64 // slabs per mm
	volume  float64
	// Of the faces that end below slab k: Σ area·height and Σ area, both of the
	// shadow on a level plane, signed by which way the face looks.
	moment, area []float64
	// Faces that reach into slab k are faces[start[k]:start[k+1]].
	start []int32
	faces []slope
}

// slope is a face as the level sees it: its corners' heights above lo, lowest
// first, and the signed area of its shadow.
type slope struct{ h0, h1, h2, area float64 }

// NewProfile prepares a solid for levels along the unit vector up.
func NewProfile(s *Solid, up r3.Vec) *Profile {
	p := &Profile{volume: s.Measure().VolumeMM3, lo: math.Inf(1), hi: math.Inf(-1)}
	height := makeLarge[float64](len(s.Vertices))
	for v, q := range s.Vertices {
		height[v] = dot(up, q)
		p.lo, p.hi = min(p.lo, height[v]), max(p.hi, height[v])
	}
	p.perSlab = slabs / (p.hi - p.lo)
	moment, area := make([]neumaier, slabs+1), make([]neumaier, slabs+1)
	count := make([]int32, slabs+2)
	slopeOf := func(f int) slope {
		t := s.Faces[f]
		n := s.DoubleAreaNormal(f)
		return sorted(height[t[0]]-p.lo, height[t[1]]-p.lo, height[t[2]]-p.lo, dot(up, n)/2)
	}
	for f := range s.Faces {
		sl := slopeOf(f)
		first, last := p.slab(sl.h0), p.slab(sl.h2)
		moment[last+1].add(sl.area * (sl.h0 + sl.h1 + sl.h2) / 3)
		area[last+1].add(sl.area)
		for k := first; k <= last; k++ {
			count[k+2]++
		}
	}
	for k := range slabs {
		moment[k+1].join(moment[k])
		area[k+1].join(area[k])
		count[k+2] += count[k+1]
	}
	for k := range slabs + 1 {
		p.moment, p.area = append(p.moment, moment[k].value()), append(p.area, area[k].value())
	}
	p.faces = makeLarge[slope](int(count[slabs+1]))
	for f := range s.Faces {
		sl := slopeOf(f)
		for k := p.slab(sl.h0); k <= p.slab(sl.h2); k++ {
			p.faces[count[k+1]] = sl
			count[k+1]++
		}
	}
	p.start = count[:slabs+1]
	return p
}

func sorted(a, b, c, area float64) slope {
	if a > b {
		a, b = b, a
	}
	if b > c {
		b, c = c, b
	}
	if a > b {
		a, b = b, a
	}
	return slope{a, b, c, area}
}

func (p *Profile) slab(h float64) int { return min(slabs-1, int(h*p.perSlab)) }

// Range returns the lowest and the highest level of the solid, mm.
func (p *Profile) Range() (lo, hi float64) { return p.lo, p.hi }

// Below returns the volume of the solid under a level (mm along up), mm³. By the
// divergence theorem it is ∫(h − level)·n_up dA over the surface below the
// level, which is exact for each triangle.
func (p *Profile) Below(level float64) float64 {
	switch {
	case !(level > p.lo):
		return 0
	case level >= p.hi:
		return p.volume
	}
	l := level - p.lo
	k := p.slab(l)
	var sum neumaier
	sum.add(p.moment[k])
	sum.add(-l * p.area[k])
	for _, s := range p.faces[p.start[k]:p.start[k+1]] {
		sum.add(s.below(l))
	}
	return min(p.volume, max(0, sum.value()))
}

// below returns ∫(h − l)·n_up dA over the part of the face under level l.
func (s slope) below(l float64) float64 {
	switch {
	case l <= s.h0:
		return 0
	case l <= s.h1:
		d := l - s.h0
		return -s.area * d * d * d / (3 * (s.h1 - s.h0) * (s.h2 - s.h0))
	case l < s.h2:
		d := s.h2 - l
		return s.area * ((s.h0+s.h1+s.h2)/3 - l - d*d*d/(3*(s.h2-s.h0)*(s.h2-s.h1)))
	}
	return s.area * ((s.h0+s.h1+s.h2)/3 - l)
}
