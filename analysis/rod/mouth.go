package rod

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// openMM is how far above the board the part is open to it (as of the glued patch:
// common practice, no source).
const openMM = 0.5

// ready flattens the outlines of what is open.
func (s Spout) ready() Spout {
	s.x, s.y = across(s.Inward)
	s.rings = nil
	for _, ring := range s.Open {
		flat := make([]r2.Vec, len(ring))
		for i, p := range ring {
			flat[i] = s.flat(p)
		}
		s.rings = append(s.rings, flat)
	}
	return s
}

// flat is a place as it is seen through the spout, from its middle.
func (s Spout) flat(p r3.Vec) r2.Vec {
	d := r3.Sub(p, s.At)
	return r2.Vec{X: r3.Dot(d, s.x), Y: r3.Dot(d, s.y)}
}

// raised is the place of the spout's plane that is seen there.
func (s Spout) raised(p r2.Vec) r3.Vec {
	return r3.Add(s.At, r3.Add(r3.Scale(p.X, s.x), r3.Scale(p.Y, s.y)))
}

// rim is a place of the edge of what is open, and how far it is.
type rim struct {
	at  r2.Vec
	far float64
}

// rims returns what of each outline is nearer to p than what is beside it, and whether
// p is inside them, by the number of sides to one hand of it (even-odd rule).
func (s Spout) rims(p r2.Vec) (near []rim, inside bool) {
	for _, ring := range s.rings {
		if len(ring) == 0 {
			continue
		}
		all := make([]rim, len(ring))
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			d := r2.Sub(b, a)
			t := 0.0
			if l2 := r2.Norm2(d); l2 > 0 {
				t = min(1, max(0, r2.Dot(r2.Sub(p, a), d)/l2))
			}
			at := r2.Add(a, r2.Scale(t, d))
			all[i] = rim{at, r2.Norm(r2.Sub(p, at))}
			if (a.Y > p.Y) != (b.Y > p.Y) && a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) > p.X {
				inside = !inside
			}
		}
		near = append(near, slices.MinFunc(all, func(a, b rim) int { return cmp.Compare(a.far, b.far) }))
		for i, r := range all {
			if before, after := all[(i+len(all)-1)%len(all)], all[(i+1)%len(all)]; r.far < before.far && r.far <= after.far {
				near = append(near, r)
			}
		}
	}
	return near, inside
}

// within is how far a place that is seen through the spout is from the edge of what is
// open, negative beside it.
func (s Spout) within(p r3.Vec) float64 {
	q := s.flat(p)
	if s.rings == nil {
		return s.DiameterMM/2 - r2.Norm(q)
	}
	near, inside := s.rims(q)
	least := math.Inf(1)
	for _, r := range near {
		least = min(least, r.far)
	}
	if !inside {
		return -least
	}
	return least
}

// openLimits keep the line of a rod, which passes the spout's plane at x, within what
// is open. See limits.
func (s Spout) openLimits(rod Segment, x r3.Vec, bore float64) []limit {
	u, l := rod.Along(), rod.Length()
	across := r3.Dot(u, s.Inward)
	near, inside := s.rims(s.flat(x))
	var all []limit
	for _, r := range near {
		if r.far < 1e-9 {
			continue
		}
		away := r3.Scale(1/r.far, r3.Sub(s.raised(s.flat(x)), s.raised(r.at)))
		have := r.far
		if !inside {
			away, have = r3.Scale(-1, away), -have
		}
		normal := r3.Sub(away, r3.Scale(r3.Dot(away, u)/across, s.Inward))
		t := r3.Dot(r3.Sub(x, rod.From), u) / l
		all = append(all, limit{normal: normal, a: 1 - t, b: t, least: bore + 0.01 - have})
	}
	return all
}

// mouthPlaces is about how many places of the mouth are tried.
const mouthPlaces = 40

// openPlaces returns places all over what is open that an axis may pass, the middle of
// the spout first.
func (s Spout) openPlaces(bore float64) []r3.Vec {
	all := []r3.Vec{s.At}
	lo, hi := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, ring := range s.rings {
		for _, p := range ring {
			lo = r2.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
			hi = r2.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
		}
	}
	lo, hi = r2.Add(lo, r2.Vec{X: bore, Y: bore}), r2.Sub(hi, r2.Vec{X: bore, Y: bore})
	wide, high := max(0, hi.X-lo.X), max(0, hi.Y-lo.Y)
	step := max(bore, math.Sqrt(wide*high/mouthPlaces), max(wide, high)/mouthPlaces)
	columns, rows := math.Ceil(wide/step), math.Ceil(high/step)
	for row := 0.0; row <= rows; row++ {
		for column := 0.0; column <= columns; column++ {
			p := s.raised(r2.Vec{X: lo.X + column*wide/max(1, columns), Y: lo.Y + row*high/max(1, rows)})
			if s.within(p) >= bore {
				all = append(all, p)
			}
		}
	}
	return all
}

// behind is how far behind the spout's plane the part's own foot is near, and no
// obstacle.
func (s Spout) behind(bore float64) float64 {
	if s.rings == nil {
		return max(bore, s.DiameterMM/2)
	}
	return bore
}

// lowers says whether a rod gets in through the open foot as it lies, straight from
// there to its place.
func (r *room) lowers(rod Segment) bool {
	s, bore := r.in.Spout, r.bore()
	if s.rings == nil {
		return false
	}
	n := int(math.Ceil(rod.Length() / wayStepMM))
	for i := range n + 1 {
		p := rod.At(float64(i) / float64(n))
		if s.within(p) < bore {
			return false
		}
		for h := r3.Dot(r3.Sub(p, s.At), s.Inward); h > bore; {
			deep := r.depth(p)
			if deep < bore+fieldDoubt*r.voxelMM {
				if deep = r.touch(p, bore+r.voxelMM).deep; deep < bore-1e-6 {
					return false
				}
			}
			step := max(deep-bore, wayStepMM)
			p, h = r3.Sub(p, r3.Scale(step, s.Inward)), h-step
		}
	}
	return true
}

// opens says whether a place of the surface is open to the lid, and no rubber there.
func (s Spout) opens(p r3.Vec) bool {
	if h := r3.Dot(r3.Sub(p, s.At), s.Inward); s.rings != nil {
		return h <= openMM+1e-6
	} else if h > s.DiameterMM/2 {
		return false
	}
	return s.within(p) > 0
}

// bridgeWays is in how many directions across a rod rubber is looked for.
const bridgeWays = 48

// onRubber returns the place of the surface that is nearest and of rubber: where the
// nearest is open, across the rod. It is false where there is none.
func (r *room) onRubber(p, along r3.Vec) (contact, bool) {
	best := r.touch(p, math.Inf(1))
	if !r.in.Spout.opens(best.on) {
		return best, true
	}
	best, found := contact{at: p, deep: math.Inf(1)}, false
	x, y := mesh.Frame(along)
	for i := range bridgeWays {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / bridgeWays)
		d := r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))
		hit, ok := r.in.Tree.First(r.in.ToTree.Point(p), r.in.ToTree.Dir(d))
		if !ok {
			continue
		}
		if on := r.back.Point(hit.Point); !r.in.Spout.opens(on) {
			if far := r3.Norm(r3.Sub(on, p)); far < best.deep-1e-9 {
				best.on, best.deep, found = on, far, true
			}
		}
	}
	return best, found
}
