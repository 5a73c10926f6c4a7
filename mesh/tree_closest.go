package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Closest returns the point of the surface nearest to p, if it is not farther
// than within, mm; math.Inf(1) sets no bound. Of faces equally near the first
// is taken.
func (t *Tree) Closest(p r3.Vec, within float64) (Hit, bool) {
	hit := Hit{Face: -1, Distance: within * within}
	if len(t.nodes) == 0 || !(within >= 0) {
		return Hit{}, false
	}
	type far struct {
		node int32
		d2   float64
	}
	var stack [treeDepth]far
	depth, at, d2 := 0, int32(0), t.nodes[0].box.squaredDistance(&p)
	for {
		if d2 <= hit.Distance {
			n := &t.nodes[at]
			if n.count == 0 {
				left, right := &t.nodes[n.first], &t.nodes[n.first+1]
				l2, r2 := left.box.squaredDistance(&p), right.box.squaredDistance(&p)
				if r2 < l2 {
					stack[depth] = far{n.first, l2}
					at, d2 = n.first+1, r2
				} else {
					stack[depth] = far{n.first + 1, r2}
					at, d2 = n.first, l2
				}
				depth++
				continue
			}
			t.nearestIn(n, &p, &hit)
		}
		if depth == 0 {
			break
		}
		depth--
		at, d2 = stack[depth].node, stack[depth].d2
	}
	if hit.Face < 0 {
		return Hit{}, false
	}
	hit.Distance = math.Sqrt(hit.Distance)
	return hit, true
}

// nearestIn looks for a point nearer to p than hit, whose Distance is squared,
// in the faces of a leaf.
func (t *Tree) nearestIn(n *treeNode, p *r3.Vec, hit *Hit) {
	for i := n.first; i < n.first+n.count; i++ {
		c := &t.corners[i]
		q := nearestOnTriangle(*p, c[0], c[1], c[2])
		to := r3.Sub(*p, q)
		d2, f := dot(to, to), t.faces[i]
		if d2 < hit.Distance || d2 == hit.Distance && (f < hit.Face || hit.Face < 0) {
			*hit = Hit{Face: f, Point: q, Distance: d2}
		}
	}
}

// squaredDistance returns the squared distance of p from the box, 0 inside.
func (b *box32) squaredDistance(p *r3.Vec) float64 {
	x := max(float64(b.min[0])-p.X, p.X-float64(b.max[0]), 0)
	y := max(float64(b.min[1])-p.Y, p.Y-float64(b.max[1]), 0)
	z := max(float64(b.min[2])-p.Z, p.Z-float64(b.max[2]), 0)
	return float64(x*x) + float64(y*y) + float64(z*z)
}

// sliver is the squared height, as a share of the squared length, below which a
// triangle's plane may be off by rounding: its edges are then tried too.
const sliver = 1e-8

// nearestOnTriangle returns the point of triangle abc nearest to p, also when
// the triangle is a line or a point. Source: Ericson, "Real-Time Collision
// Detection", section 5.1.5, 2005 (from memory); the guards are ours.
func nearestOnTriangle(p, a, b, c r3.Vec) r3.Vec {
	ab, ac, ap := r3.Sub(b, a), r3.Sub(c, a), r3.Sub(p, a)
	d1, d2 := dot(ab, ap), dot(ac, ap)
	if d1 <= 0 && d2 <= 0 {
		return a
	}
	bp := r3.Sub(p, b)
	d3, d4 := dot(ab, bp), dot(ac, bp)
	if d3 >= 0 && d4 <= d3 {
		return b
	}
	vc := float64(d1*d4) - float64(d3*d2)
	if vc <= 0 && d1 >= 0 && d3 <= 0 && d1 > d3 {
		return along(a, d1/(d1-d3), ab)
	}
	cp := r3.Sub(p, c)
	d5, d6 := dot(ab, cp), dot(ac, cp)
	if d6 >= 0 && d5 <= d6 {
		return c
	}
	vb := float64(d5*d2) - float64(d1*d6)
	if vb <= 0 && d2 >= 0 && d6 <= 0 && d2 > d6 {
		return along(a, d2/(d2-d6), ac)
	}
	va := float64(d3*d6) - float64(d5*d4)
	if u, w := d4-d3, d5-d6; va <= 0 && u >= 0 && w >= 0 && u+w > 0 {
		return along(b, u/(u+w), r3.Sub(c, b))
	}
	area2 := va + vb + vc // |ab × ac|²
	longest := max(dot(ab, ab), dot(ac, ac))
	if area2 > sliver*longest*longest {
		return along(along(a, vb/area2, ab), vc/area2, ac)
	}
	q := nearestOnEdges(p, a, b, c)
	if area2 > 0 && va >= 0 && vb >= 0 && vc >= 0 {
		q = nearer(p, q, along(along(a, vb/area2, ab), vc/area2, ac))
	}
	return q
}

func nearestOnEdges(p, a, b, c r3.Vec) r3.Vec {
	return nearer(p, nearestOnSegment(p, a, b), nearer(p, nearestOnSegment(p, b, c), nearestOnSegment(p, c, a)))
}

func nearestOnSegment(p, a, b r3.Vec) r3.Vec {
	ab := r3.Sub(b, a)
	s, length2 := dot(ab, r3.Sub(p, a)), dot(ab, ab)
	switch {
	case !(s > 0):
		return a
	case s >= length2:
		return b
	}
	return along(a, s/length2, ab)
}

// nearer returns q or r, whichever is nearer to p.
func nearer(p, q, r r3.Vec) r3.Vec {
	if to, other := r3.Sub(q, p), r3.Sub(r, p); dot(other, other) < dot(to, to) {
		return r
	}
	return q
}

// along returns a + s·d, rounded alike everywhere.
func along(a r3.Vec, s float64, d r3.Vec) r3.Vec {
	return r3.Vec{X: a.X + float64(s*d.X), Y: a.Y + float64(s*d.Y), Z: a.Z + float64(s*d.Z)}
}
