package wall

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// gap is the distance to a face that looks back.
type gap struct {
	mm     float64 // infinite: there is none as near as asked
	middle r3.Vec  // of the ball, or of the way across
}

var noGap = gap{mm: math.Inf(1)}

// side is the side of the surface on which a gap is looked for.
type side float64

const (
	outside side = 1  // across the rubber
	inside  side = -1 // through the pattern
)

// facingLeast: two places look at each other when the ball that touches both is
// touched at points at least 120° apart as seen from its middle, that is, when
// the surfaces are within 60° of parallel. So an inner corner of 90° is no web,
// however small the ball in it, nor is a smooth fillet; a V of less than 60° is.
const facingLeast = 0.5 // −cos 120°

type prober struct {
	m    *mesh.Mesh
	tree *mesh.Tree
}

// gap returns the diameter of the largest ball that touches the surface at p,
// on that side of it, and has nothing of the surface in it, where it is no more
// than most and also touches a face that looks back. Where noise or an edge
// beside p stops the ball first, the way straight across to a face that looks
// back counts instead.
func (t prober) gap(p, normal r3.Vec, most float64, on side) gap {
	n := r3.Scale(float64(on), normal)
	across := t.across(p, n, most, on)
	r, touch, touched := t.shrink(p, n, math.Min(most, across)/2)
	middle := r3.Add(p, r3.Scale(r, n))
	if touched {
		to := r3.Sub(touch, middle)
		if r3.Dot(n, to) >= facingLeast*r3.Norm(to) {
			return gap{2 * r, middle}
		}
	}
	if across <= most {
		return gap{across, r3.Add(p, r3.Scale(across/2, n))}
	}
	return noGap
}

// across returns how far the face straight across is, if it looks back.
func (t prober) across(p, n r3.Vec, most float64, on side) float64 {
	lift := 1e-6 * most
	h, hit := t.tree.First(r3.Add(p, r3.Scale(lift, n)), n)
	if !hit || h.Distance+lift > most {
		return math.Inf(1)
	}
	back := t.m.DoubleAreaNormal(int(h.Face))
	if -float64(on)*r3.Dot(back, n) < facingLeast*r3.Norm(back) {
		return math.Inf(1)
	}
	return h.Distance + lift
}

// roundingShare is by what share of its radius a ball must be entered for that
// not to be rounding.
const roundingShare = 1e-7

// shrink returns the largest ball, of radius up to most, that touches the
// surface at p with its middle along n and has no surface in it, and where else
// it touches. From the largest ball on, the point of the surface nearest to its
// middle gives the next, which touches p and that point. Source: Ma, Bae &
// Choi, "3D medial axis point approximation using nearest neighbors and the
// normal field", The Visual Computer 28(1), 2012 (from memory).
func (t prober) shrink(p, n r3.Vec, most float64) (radius float64, touch r3.Vec, touched bool) {
	r := most
	for range 60 {
		h, near := t.tree.Closest(r3.Add(p, r3.Scale(r, n)), r*(1-roundingShare))
		if !near {
			break
		}
		to := r3.Sub(h.Point, p)
		along := r3.Dot(n, to)
		if !(along > 0) {
			break
		}
		next := r3.Norm2(to) / (2 * along)
		if !(next < r) {
			break
		}
		r, touch, touched = next, h.Point, true
	}
	return r, touch, touched
}
