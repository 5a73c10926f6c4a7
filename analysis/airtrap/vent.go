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

// Vents returns a post, diameter(length) mm thick, from each trap to the board at
// z = 0, in the stand frame; the post is nil where the pattern or the walls, at
// ±half along x and y, leave no straight way down. A straight-down post is taken
// where there is one, else the steepest free slanted one.
func Vents(m *mesh.Mesh, traps []Trap, half [2]float64, diameter func(lengthMM float64) float64) []*Vent {
	vents := make([]*Vent, len(traps))
	for i, t := range traps {
		vents[i] = ventFrom(m, t.At, half, diameter)
	}
	return vents
}

// steepest slants of a post that are tried, degrees off upright.
var slants = [...]float64{0, 10, 20, 30, 40}

func ventFrom(m *mesh.Mesh, from r3.Vec, half [2]float64, diameter func(lengthMM float64) float64) *Vent {
	const widest = 10 // mm beyond a post's axis that its side may reach
	reach := max(from.Z, 0)*math.Tan(slants[len(slants)-1]*math.Pi/180) + widest
	near := facesIn(m, r3.Box{
		Min: r3.Vec{X: from.X - reach, Y: from.Y - reach, Z: -widest},
		Max: r3.Vec{X: from.X + reach, Y: from.Y + reach, Z: from.Z + widest},
	})
	for _, slant := range slants {
		turns := 12
		if slant == 0 {
			turns = 1
		}
		for k := range turns {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 12)
			out := max(from.Z, 0) * math.Tan(slant*math.Pi/180)
			v := &Vent{From: from, To: r3.Vec{X: from.X + out*cos, Y: from.Y + out*sin}}
			v.DiameterMM = diameter(r3.Norm(r3.Sub(v.From, v.To)))
			if v.within(half) && v.free(m, near) {
				return v
			}
		}
	}
	return nil
}

// within tells whether the post meets the board inside the walls.
func (v *Vent) within(half [2]float64) bool {
	r := v.DiameterMM / 2
	return math.Abs(v.To.X)+r <= half[0] && math.Abs(v.To.Y)+r <= half[1]
}

// facesIn returns the faces that may reach into a box.
func facesIn(m *mesh.Mesh, box r3.Box) []int32 {
	var faces []int32
	for f := range m.Faces {
		if a, b, c := m.Corners(f); !apart(box, a, b, c) {
			faces = append(faces, int32(f))
		}
	}
	return faces
}

// free tells whether the post's axis and six lines along its side miss the
// faces near it, but for the place where it starts.
func (v *Vent) free(m *mesh.Mesh, near []int32) bool {
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
	return !hitsAny(m, near, lines)
}

// hitsAny tells whether one of some faces crosses one of the segments.
func hitsAny(m *mesh.Mesh, faces []int32, lines [][2]r3.Vec) bool {
	ends := make([]r3.Vec, 0, 2*len(lines))
	for _, l := range lines {
		ends = append(ends, l[0], l[1])
	}
	box := mesh.BoundsOf(ends)
	for _, f := range faces {
		a, b, c := m.Corners(int(f))
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
