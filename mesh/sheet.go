package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// InwardVolume returns in mm³ the volume of a sheet of the given thickness, mm,
// that has the mesh's surface on its outer side: A·t − M·t² + K·t³/3 with the area
// A, the integral M of the mean curvature and K of the Gaussian one. That is exact
// for smooth surfaces as long as the thickness is below the radii of curvature. On
// a mesh M is the sum over edges of their length times half the angle θ by which
// the faces turn there, and K the sum over inner vertices of what their corners
// lack of a full turn. Source: Steiner's formula; Santaló, "Integral Geometry and
// Geometric Probability", 1976, III.13 (from memory). Behind an edge that sticks
// out the two sides of the sheet overlap in a kite of t²·tan(θ/2), so that is
// taken for θ/2 there; the two are the same on a fine mesh.
func (m *Mesh) InwardVolume(thicknessMM float64) float64 {
	bend := 0.0
	rim := make([]bool, len(m.Vertices))
	m.eachEdgeInOrder(func(r edgeRun) {
		a, b := r.smaller, r.uses[0].larger()
		if !r.regular() {
			rim[a], rim[b] = true, true
			return
		}
		f, g := r.uses[0], r.uses[1]
		if f.backward() {
			f, g = g, f
		}
		bend += m.bendAt(a, b, f.face(), g.face())
	})
	lack := make([]float64, len(m.Vertices))
	area := 0.0
	for f, t := range m.Faces {
		area += m.faceArea(int32(f))
		for k, v := range t {
			lack[v] += cornerAngle(m.Vertices[v], m.Vertices[t[(k+1)%3]], m.Vertices[t[(k+2)%3]])
		}
	}
	gauss := 0.0
	for v, sum := range lack {
		if sum > 0 && !rim[v] {
			gauss += 2*math.Pi - sum
		}
	}
	t := thicknessMM
	return t * (area - t*(bend-t*gauss/3))
}

// sharpest is the angle in radians from which an edge that sticks out counts as
// if it turned by no more.
const sharpest = 2.6

// bendAt returns edge ab's share of M; f runs from a to b.
func (m *Mesh) bendAt(a, b, f, g int32) float64 {
	along := r3.Sub(m.Vertices[b], m.Vertices[a])
	n, o := unit(m.DoubleAreaNormal(int(f))), unit(m.DoubleAreaNormal(int(g)))
	l := r3.Norm(along)
	if l == 0 {
		return 0
	}
	turn := math.Atan2(r3.Dot(along, r3.Cross(n, o))/l, r3.Dot(n, o))
	if turn > 0 {
		return l * math.Tan(min(turn, sharpest)/2)
	}
	return l * turn / 2
}

// cornerAngle returns the angle at p between q and r.
func cornerAngle(p, q, r r3.Vec) float64 {
	u, v := r3.Sub(q, p), r3.Sub(r, p)
	return math.Atan2(r3.Norm(r3.Cross(u, v)), r3.Dot(u, v))
}

// Offset returns the solid with every corner moved outward along the normal there,
// by far less than the size of its faces, mm: its volume grows by about its area
// times that.
func (s *Solid) Offset(mm float64) *Solid {
	out := &Mesh{Vertices: make([]r3.Vec, len(s.Vertices)), Faces: s.Faces}
	for v, n := range s.vectorAreas() {
		out.Vertices[v] = r3.Add(s.Vertices[v], r3.Scale(mm, unit(n)))
	}
	return &Solid{Mesh: out}
}
