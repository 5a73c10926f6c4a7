package field

import "math"

// triangle is a triangle prepared for distances, in voxels.
type triangle struct {
	a, ab, ac        vec
	abab, abac, acac float64
	det              float64 // the determinant of these; 0 when there is no area
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
// edges, about: there the direction of its plane is rounding noise.
const needle = 1e-12

func (t *triangle) set(a, b, c vec) {
	t.a, t.ab, t.ac = a, a.to(b), a.to(c)
	t.abab, t.abac, t.acac = t.ab.dot(t.ab), t.ab.dot(t.ac), t.ac.dot(t.ac)
	t.det = t.abab*t.acac - t.abac*t.abac
	if sum := t.abab + t.acac; t.det <= needle*sum*sum {
		t.det = 0
	}
}

// part returns s/whole, at least 0 and at most 1.
func part(s, whole float64) float64 {
	if s <= 0 {
		return 0
	}
	if s >= whole {
		return 1
	}
	return s / whole
}

// nearest returns the point of the triangle nearest to p and its squared
// distance. The nearest point is on an edge whose line parts p from the
// triangle, or in the middle of it.
func (t *triangle) nearest(p vec) (vec, float64) {
	ap := t.a.to(p)
	s, u := t.ab.dot(ap), t.ac.dot(ap)
	v, w := t.acac*s-t.abac*u, t.abab*u-t.abac*s
	flat := t.det == 0
	if !flat && v >= 0 && w >= 0 && v+w <= t.det {
		q := t.a.plus(v/t.det, t.ab).plus(w/t.det, t.ac)
		d := q.to(p)
		return q, d.dot(d)
	}
	best, at := math.Inf(1), t.a
	try := func(q vec) {
		d := q.to(p)
		if d2 := d.dot(d); d2 < best {
			best, at = d2, q
		}
	}
	if flat || w < 0 {
		try(t.a.plus(part(s, t.abab), t.ab))
	}
	if flat || v < 0 {
		try(t.a.plus(part(u, t.acac), t.ac))
	}
	if flat || v+w > t.det {
		k := part(u-s+t.abab-t.abac, t.abab+t.acac-2*t.abac)
		try(t.a.plus(1-k, t.ab).plus(k, t.ac))
	}
	return at, best
}
