package airtrap

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Vent is the hole that a post between a trap and the board leaves.
type Vent struct {
	From, To   r3.Vec // on the pattern, on the board
	DiameterMM float64
}

// Vents returns a post, diameter(length) mm thick, from each trap to the board at z = 0, in the frame in
// which the board is; the post is nil where other parts of the pattern leave no
// straight way down. A straight-down post is taken where there is one, else the
// steepest free slanted one.
func Vents(m *mesh.Mesh, traps []Trap, diameter func(lengthMM float64) float64) []*Vent {
	vents := make([]*Vent, len(traps))
	for i, t := range traps {
		vents[i] = ventFrom(m, t.At, diameter)
	}
	return vents
}

func ventFrom(m *mesh.Mesh, from r3.Vec, diameter func(lengthMM float64) float64) *Vent {
	for _, tilt := range []float64{0, 10, 20, 30, 40} {
		turns := 12
		if tilt == 0 {
			turns = 1
		}
		for k := range turns {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 12)
			reach := max(from.Z, 0) * math.Tan(tilt*math.Pi/180)
			v := &Vent{From: from, To: r3.Vec{X: from.X + reach*cos, Y: from.Y + reach*sin}}
			v.DiameterMM = diameter(r3.Norm(r3.Sub(v.From, v.To)))
			if v.free(m) {
				return v
			}
		}
	}
	return nil
}

// free tells whether the post's axis and six lines along its side miss the
// pattern, but for the place where it starts.
func (v *Vent) free(m *mesh.Mesh) bool {
	along := r3.Sub(v.To, v.From)
	length := r3.Norm(along)
	if length < v.DiameterMM/2 {
		return true
	}
	along = r3.Scale(1/length, along)
	x, y := mesh.Frame(along)
	lines := make([][2]r3.Vec, 0, 7)
	for k := range 7 {
		offset := r3.Vec{}
		if k > 0 {
			sin, cos := math.Sincos(math.Pi * float64(k) / 3)
			offset = r3.Scale(v.DiameterMM/2, r3.Add(r3.Scale(cos, x), r3.Scale(sin, y)))
		}
		start := r3.Scale(min(v.DiameterMM/2, length/2), along)
		lines = append(lines, [2]r3.Vec{r3.Add(r3.Add(v.From, offset), start), r3.Add(v.To, offset)})
	}
	return !hitsAny(m, lines)
}

// hitsAny tells whether a face crosses one of the segments.
func hitsAny(m *mesh.Mesh, lines [][2]r3.Vec) bool {
	ends := make([]r3.Vec, 0, 2*len(lines))
	for _, l := range lines {
		ends = append(ends, l[0], l[1])
	}
	box := mesh.BoundsOf(ends)
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		if apart(box, a, b, c) {
			continue
		}
		for _, l := range lines {
			if crosses(l[0], l[1], a, b, c) {
				return true
			}
		}
	}
	return false
}

// apart tells whether a triangle is on one side of the box.
func apart(box r3.Box, a, b, c r3.Vec) bool {
	return min(a.Z, b.Z, c.Z) > box.Max.Z || max(a.Z, b.Z, c.Z) < box.Min.Z ||
		min(a.X, b.X, c.X) > box.Max.X || max(a.X, b.X, c.X) < box.Min.X ||
		min(a.Y, b.Y, c.Y) > box.Max.Y || max(a.Y, b.Y, c.Y) < box.Min.Y
}

// crosses tells whether the segment pq meets the triangle abc: p and q on two
// sides of its plane, and the line between its edges (signed volumes).
func crosses(p, q, a, b, c r3.Vec) bool {
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	if (r3.Dot(n, r3.Sub(p, a)) >= 0) == (r3.Dot(n, r3.Sub(q, a)) >= 0) {
		return false
	}
	d := r3.Sub(q, p)
	side := func(u, v r3.Vec) bool { return r3.Dot(d, r3.Cross(r3.Sub(u, p), r3.Sub(v, p))) >= 0 }
	first := side(a, b)
	return side(b, c) == first && side(c, a) == first
}
