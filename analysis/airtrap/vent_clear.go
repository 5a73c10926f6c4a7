package airtrap

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// fits tells whether the post meets the board well inside the walls and keeps off
// the stem and the posts there are.
func (p *postPlan) fits(v *Vent) bool {
	r := v.DiameterMM / 2
	if p.room.WallMM(v.To) < r+webMM {
		return false
	}
	if v.flush() {
		return true
	}
	if p.room.StemMM > 0 {
		top := r3.Add(p.room.Spout, r3.Vec{Z: p.room.StemMM})
		if segmentDistance(v.From, v.To, p.room.Spout, top) < r+p.room.SpoutMM/2+webMM {
			return false
		}
	}
	for _, o := range p.vents {
		if o != nil && !o.flush() && segmentDistance(v.From, v.To, o.From, o.To) < r+o.DiameterMM/2+webMM {
			return false
		}
	}
	return true
}

// flush tells whether the trap is so near the board that there is hardly a post.
func (v *Vent) flush() bool { return v.From.Z < v.DiameterMM/2 }

const (
	farthestLook = 16   // mm around a point of a post's axis that is looked at
	leastStep    = 0.05 // mm along a post's axis
	// A post need not keep its distance at once where it leaves the pattern: this
	// share of how far it is below the trap, beyond its own radius.
	easing = 0.8
)

// clear tells whether the whole post misses the pattern, by web where it has
// left the trap at topZ behind. It walks down the axis; the pattern is nowhere
// nearer than at the last point looked at, less the way since. Source: Hart,
// "Sphere tracing", The Visual Computer 12(10), 1996 (from memory).
func (v *Vent) clear(tree *mesh.Tree, topZ, web float64) bool {
	if v.flush() {
		return true
	}
	along := r3.Sub(v.To, v.From)
	length := r3.Norm(along)
	along = r3.Scale(1/length, along)
	r := v.DiameterMM / 2
	for at := (r + v.From.Z - topZ) / -along.Z; at < length; {
		q := r3.Add(v.From, r3.Scale(at, along))
		need := r + min(web, easing*(topZ-q.Z-r))
		d := farthestLook + need
		if hit, near := tree.Closest(q, d); near {
			d = hit.Distance
		}
		if d < need-1e-6 {
			return false
		}
		at += max(leastStep, (d-need)/(1+easing))
	}
	return true
}

// segmentDistance returns how near two segments come, mm. Source: Ericson,
// "Real-Time Collision Detection", 2005, 5.1.9 (from memory).
func segmentDistance(p0, p1, q0, q1 r3.Vec) float64 {
	u, v, w := r3.Sub(p1, p0), r3.Sub(q1, q0), r3.Sub(p0, q0)
	a, b, c, d, e := r3.Norm2(u), r3.Dot(u, v), r3.Norm2(v), r3.Dot(u, w), r3.Dot(v, w)
	s := 0.0
	if det := a*c - b*b; det > 1e-12*a*c {
		s = clamp01((b*e - c*d) / det)
	}
	t := 0.0
	if c > 0 {
		t = (b*s + e) / c
	}
	if t < 0 || t > 1 {
		if t = clamp01(t); a > 0 {
			s = clamp01((t*b - d) / a)
		}
	}
	if c == 0 && a > 0 {
		s = clamp01(-d / a)
	}
	return r3.Norm(r3.Sub(r3.Add(p0, r3.Scale(s, u)), r3.Add(q0, r3.Scale(t, v))))
}

func clamp01(x float64) float64 { return max(0, min(1, x)) }
