package moldbox

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// How many facets a scored wall has when nothing is said, and may have.
const (
	DefaultFacets = 8
	leastFacets   = 4
	mostFacets    = 24
	// A facet shorter than this cannot be bent cleanly (common practice, no source).
	leastFacetMM = 15
)

// line is the plane of a wall seen from above: n·p = at, n unit and outward.
type line struct {
	n  r2.Vec
	at float64
}

// meets returns the corner of two walls.
func (l line) meets(m line) r2.Vec {
	d := l.n.X*m.n.Y - l.n.Y*m.n.X
	return r2.Vec{X: (l.at*m.n.Y - m.at*l.n.Y) / d, Y: (l.n.X*m.at - m.n.X*l.at) / d}
}

// facets returns walls that touch the outline of flat points on each side, at
// most n of them, in the order of their directions: those of the outline's own
// edges, of which the one is left out, time and again, that adds the least area.
func facets(flat []r2.Vec, n int) []line {
	hull := outlineOf(flat)
	walls := edgesOf(hull)
	for len(walls) > n {
		best, least := -1, math.Inf(1)
		for i := range walls {
			if added := without(walls, i); added < least {
				best, least = i, added
			}
		}
		if best < 0 {
			break
		}
		walls = slices.Delete(walls, best, best+1)
	}
	return walls
}

// OutlineArea returns the area of the convex hull of flat points.
func OutlineArea(flat []r2.Vec) float64 { return polygonArea(outlineOf(flat)) }

// outlineOf returns the convex hull of flat points, counter-clockwise (Andrew's
// monotone chain, 1979, from memory).
func outlineOf(flat []r2.Vec) []r2.Vec {
	p := slices.Clone(flat)
	slices.SortFunc(p, func(a, b r2.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	half := func(next func(i int) r2.Vec) []r2.Vec {
		var h []r2.Vec
		for i := range p {
			q := next(i)
			for len(h) > 1 && turn(h[len(h)-2], h[len(h)-1], q) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, q)
		}
		return h[:len(h)-1]
	}
	return append(half(func(i int) r2.Vec { return p[i] }), half(func(i int) r2.Vec { return p[len(p)-1-i] })...)
}

func turn(a, b, c r2.Vec) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

// sameDirection is how close two edges may be in direction and count as one.
const sameDirection = 1e-3

// edgesOf returns the walls along the edges of a convex outline. Of an outline
// that is thinner than a wall needs, those of the rectangle along it.
func edgesOf(hull []r2.Vec) []line {
	var walls []line
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		d := r2.Sub(b, a)
		if r2.Norm(d) == 0 {
			continue
		}
		n := r2.Unit(r2.Vec{X: d.Y, Y: -d.X})
		if k := len(walls) - 1; k >= 0 && r2.Norm(r2.Sub(walls[k].n, n)) < sameDirection {
			continue
		}
		walls = append(walls, line{n, r2.Dot(n, a)})
	}
	if len(walls) >= leastFacets {
		return walls
	}
	// A triangle, a line or a point: the upright rectangle round it.
	walls = nil
	for _, n := range []r2.Vec{{Y: -1}, {X: 1}, {Y: 1}, {X: -1}} {
		at := math.Inf(-1)
		for _, p := range hull {
			at = max(at, r2.Dot(n, p))
		}
		walls = append(walls, line{n, at})
	}
	return walls
}

// without returns the area that leaving out wall i adds: of the triangle between
// it and where its neighbours then meet; infinite when they never do.
func without(walls []line, i int) float64 {
	k := len(walls)
	before, after := walls[(i+k-1)%k], walls[(i+1)%k]
	if before.n.X*after.n.Y-before.n.Y*after.n.X <= 1e-9 {
		return math.Inf(1)
	}
	a, b, c := before.meets(walls[i]), walls[i].meets(after), before.meets(after)
	return math.Abs(turn(a, b, c)) / 2
}

// moveOut returns the corners of walls moved out by gap(wall) each. A wall that
// its neighbours then cut off is left out, and so is one that is too short to bend.
func moveOut(walls []line, gap func(line) float64) []r2.Vec {
	out := make([]line, len(walls))
	for i, w := range walls {
		out[i] = line{w.n, w.at + gap(w)}
	}
	for {
		corners := make([]r2.Vec, len(out))
		for i, w := range out {
			corners[i] = out[(i+len(out)-1)%len(out)].meets(w)
		}
		shortest, least := -1, math.Inf(1)
		for i, w := range out {
			side := r2.Sub(corners[(i+1)%len(out)], corners[i])
			length := r2.Dot(side, r2.Vec{X: -w.n.Y, Y: w.n.X})
			if length < least && !math.IsInf(without(out, i), 1) {
				shortest, least = i, length
			}
		}
		if shortest < 0 || least >= leastFacetMM || least >= 0 && len(out) <= leastFacets {
			return corners
		}
		out = slices.Delete(out, shortest, shortest+1)
	}
}
