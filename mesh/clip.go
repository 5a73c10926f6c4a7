package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// slabs is how many parts a Profile cuts the height into.
const slabs = 512

// Profile tells how much of a solid is below any level. Build it once with
// NewProfile; any number of goroutines may then ask.
type Profile struct {
	solid   *Solid
	lo, hi  float64
	perSlab float64   // slabs per mm
	volume  float64   // of the whole solid
	height  []float64 // of each vertex above lo
	shadow  []float64 // of each face on a level plane, mm², negative when it looks down
	// Of the faces that end below slab k: Σ shadow·(mean height) and Σ shadow.
	moment, area []float64
	// Faces that reach into slab k are faces[start[k]:start[k+1]].
	start, faces []int32
}

// NewProfile prepares a solid for levels along the unit vector up.
func NewProfile(s *Solid, up r3.Vec) *Profile {
	p := &Profile{solid: s, volume: s.Measure().VolumeMM3}
	p.project(up)
	p.sortFaces()
	return p
}

// project finds the heights and the shadows.
func (p *Profile) project(up r3.Vec) {
	s := p.solid
	p.height = large.Make[float64](len(s.Vertices))
	p.lo, p.hi = math.Inf(1), math.Inf(-1)
	for v, q := range s.Vertices {
		h := dot(up, q)
		p.height[v] = h
		p.lo, p.hi = min(p.lo, h), max(p.hi, h)
	}
	p.perSlab = slabs / (p.hi - p.lo)
	for v := range p.height {
		p.height[v] -= p.lo
	}
	p.shadow = large.Make[float64](len(s.Faces))
	inParts(len(s.Faces), func(_, lo, hi int) {
		for f := lo; f < hi; f++ {
			a, b, c := s.Corners(f)
			p.shadow[f] = dot(up, cross(r3.Sub(b, a), r3.Sub(c, a))) / 2
		}
	})
}

// sortFaces lists the faces of each slab and sums up those below it.
func (p *Profile) sortFaces() {
	var moment, area [slabs + 1]neumaier
	count := make([]int32, slabs+2)
	for f := range p.shadow {
		s := p.slope(int32(f))
		first, last := p.slab(s.h0), p.slab(s.h2)
		moment[last+1].add(s.shadow * s.mean())
		area[last+1].add(s.shadow)
		for k := first; k <= last; k++ {
			count[k+2]++
		}
	}
	p.moment, p.area = make([]float64, slabs), make([]float64, slabs)
	for k := range slabs {
		p.moment[k], p.area[k] = moment[k].value(), area[k].value()
		moment[k+1].join(moment[k])
		area[k+1].join(area[k])
		count[k+2] += count[k+1]
	}
	p.faces = large.Make[int32](int(count[slabs+1]))
	for f := range p.shadow {
		s := p.slope(int32(f))
		for k := p.slab(s.h0); k <= p.slab(s.h2); k++ {
			p.faces[count[k+1]] = int32(f)
			count[k+1]++
		}
	}
	p.start = count[:slabs+1]
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
	for _, f := range p.faces[p.start[k]:p.start[k+1]] {
		sum.add(p.slope(f).below(l))
	}
	return min(p.volume, max(0, sum.value()))
}

// slope is a face as the level sees it: its corners' heights, lowest first, and
// the signed area of its shadow.
type slope struct{ h0, h1, h2, shadow float64 }

func (p *Profile) slope(f int32) slope {
	t := p.solid.Faces[f]
	a, b, c := p.height[t[0]], p.height[t[1]], p.height[t[2]]
	lo, hi := min(a, b), max(a, b)
	return slope{min(lo, c), max(lo, min(hi, c)), max(hi, c), p.shadow[f]}
}

func (s slope) mean() float64 { return (s.h0 + s.h1 + s.h2) / 3 }

// below returns ∫(h − l)·n_up dA over the part of the face under level l: all of
// it but the corner that the level cuts off, a triangle whose area shrinks with
// the square of its height and which lies a third of that height away from l.
func (s slope) below(l float64) float64 {
	switch {
	case l <= s.h0:
		return 0
	case l <= s.h1:
		d := l - s.h0
		return -s.shadow * (d / 3) * (d / (s.h1 - s.h0)) * (d / (s.h2 - s.h0))
	case l < s.h2:
		d := s.h2 - l
		return s.shadow * (s.mean() - l - (d/3)*(d/(s.h2-s.h0))*(d/(s.h2-s.h1)))
	}
	return s.shadow * (s.mean() - l)
}
