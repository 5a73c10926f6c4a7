package cut

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// A way in for the knife leans out of the part's surface at least so much, keeps so
// clear of the part beyond its end, and is looked at in such steps (common practice,
// no source).
const (
	leastLean   = 0.2 // cosine to straight out of the surface
	besideMM    = 2
	stopStepMM  = 0.5
	intoOpenMM  = 0.3 // from the edge of what is cut, to tell on which side of it a place is
	fewBehindMM = 1   // points of the way round the part that are nearer are left out
)

// flat is where a point lies on the flat sheet.
func (f *face) flat(p r3.Vec) r2.Vec {
	u, v := f.sheet.Flat(p)
	return r2.Vec{X: u, Y: v}
}

// stop draws the line where the knife stops, from the slit's end to the outside.
// A knife goes in square to the outside, so the line is square to the side of the
// block that the surface of the part looks at most, of those that can be reached
// clear of the part. Where none can, it is straight out of that surface; nil where
// even that meets the part.
func (f *face) stop(s Slit, rim []r3.Vec) (line *[2]r3.Vec, square bool) {
	n := len(s.Path)
	if s.Full != "" || n < 2 {
		return nil, false
	}
	end, before := f.flat(s.Path[n-1]), f.flat(s.Path[max(0, n-5)])
	d := r2.Sub(end, before)
	if r2.Norm(d) == 0 {
		return nil, false
	}
	d = r2.Unit(d)
	out := r2.Vec{X: -d.Y, Y: d.X}
	if f.inPattern(r2.Add(end, r2.Scale(stopStepMM, out))) {
		out = r2.Scale(-1, out)
	}
	best, most := r2.Vec{}, leastLean
	for i := range rim {
		foot, to, ok := footOn(f.flat(rim[i]), f.flat(rim[(i+1)%len(rim)]), end)
		if lean := r2.Dot(to, out); ok && lean > most && f.freeWay(end, foot) {
			best, most = foot, lean
		}
	}
	if most > leastLean {
		return &[2]r3.Vec{s.Path[n-1], f.at(best)}, true
	}
	q := end
	for f.room.Outside(f.at(q)) > 0 {
		q = r2.Add(q, r2.Scale(stopStepMM, out))
		if f.inPattern(q) {
			return nil, false
		}
	}
	return &[2]r3.Vec{s.Path[n-1], f.at(q)}, false
}

// footOn drops a perpendicular from a place onto a side of the rim, and returns the
// way to its foot; not where it misses the side.
func footOn(a, b, from r2.Vec) (foot, to r2.Vec, ok bool) {
	d := r2.Sub(b, a)
	long := r2.Norm2(d)
	if long == 0 {
		return foot, to, false
	}
	t := r2.Dot(r2.Sub(from, a), d) / long
	foot = r2.Add(a, r2.Scale(t, d))
	away := r2.Sub(foot, from)
	if t < 0 || t > 1 || r2.Norm(away) == 0 {
		return foot, to, false
	}
	return foot, r2.Unit(away), true
}

// freeWay tells whether a straight way from a place of the outline meets the pattern
// nowhere, nor comes close to it again.
func (f *face) freeWay(from, to r2.Vec) bool {
	long := r2.Norm(r2.Sub(to, from))
	for mm := stopStepMM; mm < long; mm += stopStepMM {
		p := r2.Add(from, r2.Scale(mm/long, r2.Sub(to, from)))
		if f.inPattern(p) || mm > 2*besideMM/leastLean && f.fromOutline(p, besideMM) < besideMM {
			return false
		}
	}
	return true
}

// openTo tells which places of the sheet a slit opens, as those where the figure is
// not below zero: those on the spout's side of where the knife stops. Where that is
// not known, those whose nearest place of the way round the pattern is on the slit.
// Nil when all of the sheet is, and when no slit is needed: whoever cuts all the same
// wants to see the whole.
func (f *face) openTo(p *Placed, spout r3.Vec) func(p r2.Vec) float64 {
	s := p.Slit
	if s.Full != "" || s.MM == 0 || len(s.Hinge) < 2 {
		return nil
	}
	if p.Stop != nil {
		stop := [2]r2.Vec{f.flat(p.Stop[0]), f.flat(p.Stop[1])}
		area := f.opened(s, p.Rim, stop[1], spout)
		return func(p r2.Vec) float64 {
			off := r2.Norm(r2.Sub(p, nearestPlace(stop[0], stop[1], p)))
			if !inPolygon(area, p) {
				return -off
			}
			return off
		}
	}
	var way []r2.Vec
	for _, p := range append(append([]r3.Vec{}, s.Path...), s.Hinge[1:]...) {
		if q := f.flat(p); len(way) == 0 || r2.Norm(r2.Sub(q, way[len(way)-1])) > fewBehindMM {
			way = append(way, q)
		}
	}
	return func(p r2.Vec) float64 { return s.MM - nearestOn(way, p) }
}

// opened is what the knife opens of the sheet, as a polygon: along the slit, out to
// where the knife stops, and along the rim to the spout, on the side that leaves the
// hinge out.
func (f *face) opened(s Slit, rim []r3.Vec, stop r2.Vec, spout r3.Vec) []r2.Vec {
	corners := make([]r2.Vec, len(rim))
	for i, p := range rim {
		corners[i] = f.flat(p)
	}
	foot := f.flat(r3.Vec{X: spout.X, Y: spout.Y})
	from, to := sideAt(corners, stop), sideAt(corners, foot)
	var slit []r2.Vec
	for _, p := range s.Path {
		slit = append(slit, f.flat(p))
	}
	close := func(way []r2.Vec) []r2.Vec { return slices.Concat(slit, []r2.Vec{stop}, way, []r2.Vec{foot}) }
	ahead := between(corners, from, to, stop, foot)
	back := between(corners, to, from, foot, stop)
	slices.Reverse(back)
	one, other := close(ahead), close(back)
	if middle := f.flat(s.Hinge[len(s.Hinge)/2]); inPolygon(one, middle) {
		return other
	}
	return one
}

// between lists the corners passed along a polygon from a place on one side to one on
// another, in their order.
func between(corners []r2.Vec, from, to int, a, b r2.Vec) (all []r2.Vec) {
	behind := r2.Norm(r2.Sub(a, corners[from])) > r2.Norm(r2.Sub(b, corners[from]))
	for i := from; i != to || len(all) == 0 && behind; {
		i = (i + 1) % len(corners)
		all = append(all, corners[i])
	}
	return all
}

// sideAt is the side of a polygon next to a place.
func sideAt(corners []r2.Vec, p r2.Vec) int {
	best, at := math.Inf(1), 0
	for i, a := range corners {
		if d := r2.Norm(r2.Sub(p, nearestPlace(a, corners[(i+1)%len(corners)], p))); d < best {
			best, at = d, i
		}
	}
	return at
}

// inPattern tells whether a place of the sheet is inside the outline.
func (f *face) inPattern(p r2.Vec) bool {
	inside := false
	for _, loop := range f.loops {
		inside = inside != inPolygon(loop, p)
	}
	return inside
}

// inPolygon tells whether a place lies in a polygon, by the crossings of a ray.
func inPolygon(polygon []r2.Vec, p r2.Vec) bool {
	inside := false
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		if (a.Y < p.Y) != (b.Y < p.Y) && p.X > a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	return inside
}

// nearestPlace is the place of a straight line from a to b that is nearest to p.
func nearestPlace(a, b, p r2.Vec) r2.Vec {
	d := r2.Sub(b, a)
	t := 0.0
	if long := r2.Norm2(d); long > 0 {
		t = max(0, min(1, r2.Dot(r2.Sub(p, a), d)/long))
	}
	return r2.Add(a, r2.Scale(t, d))
}

// nearestOn returns how far along a line the point nearest to p is, mm.
func nearestOn(points []r2.Vec, p r2.Vec) float64 {
	best, at, along := math.Inf(1), 0.0, 0.0
	for i := 1; i < len(points); i++ {
		q := nearestPlace(points[i-1], points[i], p)
		if off := r2.Norm(r2.Sub(p, q)); off < best {
			best, at = off, along+r2.Norm(r2.Sub(q, points[i-1]))
		}
		along += r2.Norm(r2.Sub(points[i], points[i-1]))
	}
	return at
}
