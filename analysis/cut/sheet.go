package cut

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Sheet is the surface that the block is cut along: a plane, a plane that steps
// aside, or, as a bed of clay, one that is shaped. Right and Up span the plane and make a right-handed frame with
// Normal; of an upright plane Right is level and Up points up. A stepped sheet
// lies Offset along Normal from the plane, which depends on the place along Right
// or, with AlongUp, along Up.
type Sheet struct {
	Point             r3.Vec
	Normal, Right, Up r3.Vec // unit
	AlongUp           bool
	Steps             []Step   // in order of At; none of a plane
	Shape             *Heights // instead; nil of a plane
}

// plane tells whether the sheet is one.
func (s *Sheet) plane() bool { return len(s.Steps) == 0 && s.Shape == nil }

// Step is a corner of a stepped sheet's profile. Between two corners the offset
// is linear, beyond the outermost constant.
type Step struct{ AtMM, OffsetMM float64 }

// NewPlane returns the plane through point across the unit vector normal.
func NewPlane(point, normal r3.Vec) Sheet {
	s := Sheet{Point: point, Normal: normal}
	if flat := math.Hypot(normal.X, normal.Y); flat > 1e-9 {
		s.Right = r3.Vec{X: -normal.Y / flat, Y: normal.X / flat}
		s.Up = r3.Cross(normal, s.Right)
	} else {
		s.Right, s.Up = r3.Vec{X: 1}, r3.Vec{Y: math.Copysign(1, normal.Z)}
	}
	return s
}

// Flat returns the coordinates of a point along Right and Up from Point.
func (s *Sheet) Flat(p r3.Vec) (u, v float64) {
	d := r3.Sub(p, s.Point)
	return r3.Dot(s.Right, d), r3.Dot(s.Up, d)
}

// At returns the point of the sheet over the coordinates u, v of the plane.
func (s *Sheet) At(u, v float64) r3.Vec {
	p := r3.Add(s.Point, r3.Add(r3.Scale(u, s.Right), r3.Scale(v, s.Up)))
	if s.plane() {
		return p
	}
	return r3.Add(p, r3.Scale(s.offset(u, v), s.Normal))
}

// Along returns the direction that a stepped sheet's profile runs in.
func (s *Sheet) Along() r3.Vec {
	if s.AlongUp {
		return s.Up
	}
	return s.Right
}

// offset returns how far the sheet is from the plane.
func (s *Sheet) offset(u, v float64) float64 {
	n := len(s.Steps)
	switch {
	case s.Shape != nil:
		return s.Shape.at(u, v)
	case n == 0:
		return 0
	}
	at := u
	if s.AlongUp {
		at = v
	}
	if at <= s.Steps[0].AtMM {
		return s.Steps[0].OffsetMM
	}
	for i := 1; i < n; i++ {
		if a, b := s.Steps[i-1], s.Steps[i]; at <= b.AtMM {
			return a.OffsetMM + (b.OffsetMM-a.OffsetMM)*(at-a.AtMM)/(b.AtMM-a.AtMM)
		}
	}
	return s.Steps[n-1].OffsetMM
}

// Height returns how far a point is from the sheet, along Normal.
func (s *Sheet) Height(p r3.Vec) float64 {
	h := r3.Dot(s.Normal, r3.Sub(p, s.Point))
	if s.plane() {
		return h
	}
	return h - s.offset(s.Flat(p))
}

// Moved returns the sheet moved by a pose.
func (s Sheet) Moved(p mesh.Pose) Sheet {
	s.Point, s.Normal, s.Right, s.Up = p.Point(s.Point), p.Dir(s.Normal), p.Dir(s.Right), p.Dir(s.Up)
	return s
}

// flattened returns m sheared along Normal so that the sheet becomes its plane;
// m itself where it is one. A shear keeps volumes. A face that reaches over a
// corner of the profile stays flat, see split.
func (s *Sheet) flattened(m *mesh.Mesh) *mesh.Mesh {
	if s.plane() {
		return m
	}
	sheared := &mesh.Mesh{Vertices: make([]r3.Vec, len(m.Vertices)), Faces: m.Faces}
	for i, p := range m.Vertices {
		sheared.Vertices[i] = r3.Sub(p, r3.Scale(s.offset(s.Flat(p)), s.Normal))
	}
	return sheared
}

// split returns m with every face that reaches over a corner of the profile cut in
// two there, so that a shear is exact; m itself for a plane.
func (s *Sheet) split(m *mesh.Mesh) *mesh.Mesh {
	if len(s.Steps) == 0 {
		return m
	}
	out := &mesh.Mesh{Vertices: append([]r3.Vec{}, m.Vertices...)}
	for f, t := range m.Faces {
		a, b, c := m.Corners(f)
		lo, hi := min(s.along(a), s.along(b), s.along(c)), max(s.along(a), s.along(b), s.along(c))
		whole := true
		rest := []r3.Vec{a, b, c}
		for _, step := range s.Steps {
			if step.AtMM > lo && step.AtMM < hi {
				var before []r3.Vec
				before, rest = s.cutAcross(rest, step.AtMM)
				fan(out, before)
				whole = false
			}
		}
		if whole {
			out.Faces = append(out.Faces, t)
		} else {
			fan(out, rest)
		}
	}
	return out
}

// along returns a point's place along the profile.
func (s *Sheet) along(p r3.Vec) float64 {
	u, v := s.Flat(p)
	if s.AlongUp {
		return v
	}
	return u
}

// cutAcross cuts a convex polygon where the profile is at a place.
func (s *Sheet) cutAcross(polygon []r3.Vec, at float64) (before, beyond []r3.Vec) {
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		dp, dq := s.along(p)-at, s.along(q)-at
		if dp <= 0 {
			before = append(before, p)
		}
		if dp >= 0 {
			beyond = append(beyond, p)
		}
		if dp*dq < 0 {
			x := r3.Add(p, r3.Scale(dp/(dp-dq), r3.Sub(q, p)))
			before, beyond = append(before, x), append(beyond, x)
		}
	}
	return before, beyond
}

// fan adds a convex polygon to m as faces with corners of their own.
func fan(m *mesh.Mesh, polygon []r3.Vec) {
	first := int32(len(m.Vertices))
	m.Vertices = append(m.Vertices, polygon...)
	for i := 2; i < len(polygon); i++ {
		m.Faces = append(m.Faces, [3]int32{first, first + int32(i) - 1, first + int32(i)})
	}
}

// Section returns the loops in which the sheet cuts the mesh, and the area inside
// them as seen along Normal, mm².
func (s *Sheet) Section(m *mesh.Mesh) ([]mesh.Loop, float64) {
	loops := s.flattened(m).Section(s.Point, s.Normal)
	area := mesh.LoopsArea(loops, s.Normal)
	if s.plane() {
		return loops, area
	}
	for _, l := range loops {
		for i, e := range l.Edges {
			a, b := m.Vertices[e[0]], m.Vertices[e[1]]
			l.T[i] = s.crosses(a, b)
			l.Points[i] = r3.Add(a, r3.Scale(l.T[i], r3.Sub(b, a)))
		}
	}
	return loops, area
}

// crosses returns where on the way from a to b, 0 to 1, the sheet is passed: by
// halving, since the way may reach over corners of the profile.
func (s *Sheet) crosses(a, b r3.Vec) float64 {
	lo, hi := 0.0, 1.0
	above := s.Height(a) >= 0
	for range 40 {
		mid := (lo + hi) / 2
		if (s.Height(r3.Add(a, r3.Scale(mid, r3.Sub(b, a)))) >= 0) == above {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// Sides returns the volume of the solid on the − and on the + side of the sheet,
// mm³, each summed up on its own. Beside a shaped sheet they are only as good as the
// triangles are small; their sum is that of the solid.
func (s *Sheet) Sides(solid *mesh.Solid) [2]float64 {
	flat := &mesh.Solid{Mesh: s.flattened(s.split(solid.Mesh))}
	level := r3.Dot(s.Normal, s.Point)
	sides := [2]float64{
		mesh.NewProfile(flat, s.Normal).Below(level),
		mesh.NewProfile(flat, r3.Scale(-1, s.Normal)).Below(-level),
	}
	if s.Shape != nil {
		whole := mesh.NewProfile(solid, s.Normal).Below(math.Inf(1)) / (sides[0] + sides[1])
		sides[0], sides[1] = sides[0]*whole, sides[1]*whole
	}
	return sides
}
