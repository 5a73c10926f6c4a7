package hold

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// ContactHeightMM is how far above the board the patch is taken: glue squeezed
// out at the edge keeps rubber out of a gap that narrow (common practice, no
// source).
const ContactHeightMM = 0.5

// Contact is the patch under which no rubber gets as long as its seal is good.
type Contact struct {
	HeightMM  float64 // of its plane above the board
	AreaMM2   float64
	Centre    r2.Vec     // of the area; of the lowest point for a bare tip
	Hull      []r2.Vec   // around it, counter-clockwise; one point for a bare tip
	SecondMM4 [3]float64 // ∫x², ∫xy, ∫y² over the area, about its centre
}

// Touch returns where m meets the board at z = 0: its section at that height.
// A pattern on several feet has all of them in one contact.
func Touch(m *mesh.Mesh, heightMM float64) Contact {
	return touch(m, heightMM, nil)
}

// TouchOn returns where m meets the top of a round stem at z = 0: its section at that
// height within the stem.
func TouchOn(m *mesh.Mesh, heightMM float64, centre r2.Vec, diameterMM float64) Contact {
	return touch(m, heightMM, Disc(centre, diameterMM).Hull)
}

// touch keeps what lies within a convex outline, counter-clockwise; nil for all.
func touch(m *mesh.Mesh, heightMM float64, within []r2.Vec) Contact {
	c := Contact{HeightMM: heightMM}
	up := r3.Vec{Z: 1}
	loops := m.Section(r3.Vec{Z: heightMM}, up)
	for i := range loops {
		for k, a := range within {
			loops[i].Points = leftOf(loops[i].Points, a, within[(k+1)%len(within)])
		}
	}
	var points []r2.Vec
	for _, l := range loops {
		for _, p := range l.Points {
			points = append(points, flat(p))
		}
	}
	if c.AreaMM2 = mesh.LoopsArea(loops, up); !(c.AreaMM2 > 0) {
		c.AreaMM2 = 0
		c.Centre = lowest(m)
		c.Hull = []r2.Vec{c.Centre}
		return c
	}
	c.Hull = mesh.Hull2(points)
	c.measure(loops)
	return c
}

// leftOf keeps of a polygon what lies to the left of the line from a to b. Pieces stay
// joined along that line, which adds no area. Source: Sutherland & Hodgman,
// Communications of the ACM 17(1), 1974 (from memory).
func leftOf(points []r3.Vec, a, b r2.Vec) []r3.Vec {
	var kept []r3.Vec
	side := func(p r3.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(flat(p), a)) }
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sp, sq := side(p), side(q)
		if sp >= 0 {
			kept = append(kept, p)
		}
		if sp >= 0 != (sq >= 0) {
			kept = append(kept, r3.Add(p, r3.Scale(sp/(sp-sq), r3.Sub(q, p))))
		}
	}
	return kept
}

func lowest(m *mesh.Mesh) r2.Vec {
	low := r3.Vec{Z: math.Inf(1)}
	for _, p := range m.Vertices {
		if p.Z < low.Z {
			low = p
		}
	}
	return flat(low)
}

// measure integrates over the triangles between a point of the plane and the
// sides of the loops. Holes run the other way and count negative.
func (c *Contact) measure(loops []mesh.Loop) {
	origin := c.Hull[0]
	var area, x, y, xx, xy, yy float64
	for _, l := range loops {
		for i := range l.Points {
			p, q := r2.Sub(flat(l.Points[i]), origin), r2.Sub(flat(l.Points[(i+1)%len(l.Points)]), origin)
			d := r2.Cross(p, q)
			area += d / 2
			x += d * (p.X + q.X) / 6
			y += d * (p.Y + q.Y) / 6
			xx += d * (p.X*p.X + p.X*q.X + q.X*q.X) / 12
			yy += d * (p.Y*p.Y + p.Y*q.Y + q.Y*q.Y) / 12
			xy += d * (2*p.X*p.Y + p.X*q.Y + q.X*p.Y + 2*q.X*q.Y) / 24
		}
	}
	m := r2.Vec{X: x / area, Y: y / area}
	c.Centre = r2.Add(origin, m)
	c.SecondMM4 = [3]float64{xx - area*m.X*m.X, xy - area*m.X*m.Y, yy - area*m.Y*m.Y}
}

// discCorners is of how many corners the hull of a disc is made; they lie on
// its rim.
const discCorners = 64

// Disc returns the foot of a round stem on the board.
func Disc(centre r2.Vec, diameterMM float64) Contact {
	r := diameterMM / 2
	area := math.Pi * r * r
	c := Contact{AreaMM2: area, Centre: centre, SecondMM4: [3]float64{area * r * r / 4, 0, area * r * r / 4}}
	for k := range discCorners {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / discCorners)
		c.Hull = append(c.Hull, r2.Add(centre, r2.Vec{X: r * cos, Y: r * sin}))
	}
	return c
}

// bend returns by how much a moment in the plane (N·mm, of forces along z by
// their levers) raises the stress at a point, N/mm²: the linear field whose
// moments over the patch are the given ones.
func (c *Contact) bend(moment, at r2.Vec) float64 {
	xx, xy, yy := c.SecondMM4[0], c.SecondMM4[1], c.SecondMM4[2]
	det := xx*yy - xy*xy
	if !(det > 0) {
		return math.Inf(1)
	}
	a, b := (yy*moment.X-xy*moment.Y)/det, (xx*moment.Y-xy*moment.X)/det
	d := r2.Sub(at, c.Centre)
	return a*d.X + b*d.Y
}
