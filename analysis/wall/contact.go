package wall

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// contact is where the pattern meets the board or its stem: no rubber there,
// and right beside it the rubber tapers off, which says nothing of the board.
type contact struct {
	top    float64    // height up to which the pattern touches
	rings  [][]r2.Vec // around where it does
	beside float64    // from them the board does not count, mm
}

// facesDown is −z of the normal from which on a place looks at the board.
const facesDown = 0.7

func newContact(m *mesh.Mesh, in Input) contact {
	c := contact{top: in.ContactMM, beside: in.FloppyMM}
	if s := in.Stem; s != nil {
		c.top += s.LengthMM
		ring := make([]r2.Vec, 64)
		for k := range ring {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(len(ring)))
			ring[k] = r2.Vec{X: s.X + s.DiameterMM/2*cos, Y: s.Y + s.DiameterMM/2*sin}
		}
		c.rings = [][]r2.Vec{ring}
		return c
	}
	for _, l := range m.Section(r3.Vec{Z: c.top}, r3.Vec{Z: 1}) {
		if mesh.LoopsArea([]mesh.Loop{l}, r3.Vec{Z: 1}) <= 0 {
			continue // a hollow under the foot, which stays dry as well
		}
		c.rings = append(c.rings, thinned(l))
	}
	return c
}

// ringCorners is of about how many corners a ring is kept; a round one is then
// off by a ten-thousandth of its radius.
const ringCorners = 200

func thinned(l mesh.Loop) []r2.Vec {
	step := l.Length() / ringCorners
	var ring []r2.Vec
	since := step
	for i, p := range l.Points {
		if i > 0 {
			since += r3.Norm(r3.Sub(p, l.Points[i-1]))
		}
		if since >= step {
			ring = append(ring, r2.Vec{X: p.X, Y: p.Y})
			since = 0
		}
	}
	return ring
}

// floor returns the distance from a place of the surface to the board where
// that matters, being under least and counting; infinite elsewhere. dry says
// that the place touches the board or the stem.
func (c *contact) floor(p, normal r3.Vec, least float64) (mm float64, dry bool) {
	mm = math.Inf(1)
	if normal.Z > -facesDown || p.Z > math.Max(least, c.top) {
		return mm, false
	}
	in, away := toRings(c.rings, r2.Vec{X: p.X, Y: p.Y})
	if in || away < c.beside {
		return mm, in && p.Z <= c.top
	}
	return p.Z, false
}
