package field

import "math"

// triangle is a triangle prepared for distances, in voxels.
type triangle struct {
	a, ab, ac    vec
	abab, abac   float64
	acac, bcbc   float64
	perDet       float64 // 1 over the determinant; 0 when there is no area
	perAB, perAC float64 // 1 over the squared lengths; 0 for no length
	perBC        float64
}

type vec struct{ x, y, z float64 }

func (p vec) to(q vec) vec              { return vec{q.x - p.x, q.y - p.y, q.z - p.z} }
func (p vec) dot(q vec) float64         { return p.x*q.x + p.y*q.y + p.z*q.z }
func (p vec) plus(t float64, d vec) vec { return vec{p.x + t*d.x, p.y + t*d.y, p.z + t*d.z} }
func (p point) vec() vec                { return vec{float64(p.x), float64(p.y), float64(p.z)} }

// corners returns the corners of face f.
func (b *build) corners(f int32) [3]vec {
	t := b.m.Faces[f]
	return [3]vec{b.points[t[0]].vec(), b.points[t[1]].vec(), b.points[t[2]].vec()}
}

// needle is the squared height over length below which a triangle is taken as its
// edges: there the direction of its plane is rounding noise.
const needle = 1e-12

func (t *triangle) set(a, b, c vec) {
	t.a, t.ab, t.ac = a, a.to(b), a.to(c)
	t.abab, t.abac, t.acac = t.ab.dot(t.ab), t.ab.dot(t.ac), t.ac.dot(t.ac)
	t.bcbc = t.abab + t.acac - 2*t.abac
	det := t.abab*t.acac - t.abac*t.abac
	t.perDet = 0
	if longest := max(t.abab, t.acac, t.bcbc); det > needle*longest*longest {
		t.perDet = 1 / det
	}
	t.perAB, t.perAC, t.perBC = inverse(t.abab), inverse(t.acac), inverse(t.bcbc)
}

func inverse(x float64) float64 {
	if x > 0 {
		return 1 / x
	}
	return 0
}

// nearest returns the point of the triangle nearest to p and its squared
// distance. The nearest point is on an edge whose line parts p from the
// triangle, or in the middle of it.
func (t *triangle) nearest(p vec) (vec, float64) {
	ap := t.a.to(p)
	s, u := t.ab.dot(ap), t.ac.dot(ap)
	v, w := (t.acac*s-t.abac*u)*t.perDet, (t.abab*u-t.abac*s)*t.perDet
	if t.perDet > 0 && v >= 0 && w >= 0 && v+w <= 1 {
		q := t.a.plus(v, t.ab).plus(w, t.ac)
		d := q.to(p)
		return q, d.dot(d)
	}
	flat := t.perDet == 0
	best, at := math.Inf(1), t.a
	try := func(q vec) {
		d := q.to(p)
		if d2 := d.dot(d); d2 < best {
			best, at = d2, q
		}
	}
	if flat || w < 0 {
		try(t.a.plus(min(1, max(0, s*t.perAB)), t.ab))
	}
	if flat || v < 0 {
		try(t.a.plus(min(1, max(0, u*t.perAC)), t.ac))
	}
	if flat || v+w > 1 {
		k := min(1, max(0, (u-s+t.abab-t.abac)*t.perBC))
		try(t.a.plus(1-k, t.ab).plus(k, t.ac))
	}
	return at, best
}
