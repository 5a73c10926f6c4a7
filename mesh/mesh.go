package mesh

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// Mesh is an indexed triangle mesh in millimetres. Order is stable: the same
// file gives the same vertices and faces in the same order every run.
type Mesh struct {
	Vertices []r3.Vec
	Faces    [][3]int32

	box *r3.Box // see Bounds, where it is known from reading
}

// Corners returns the three corners of face f, in winding order.
func (m *Mesh) Corners(f int) (a, b, c r3.Vec) {
	t := m.Faces[f]
	return m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]
}

// DoubleAreaNormal returns (b−a)×(c−a) of face f: along the outward normal,
// as long as twice the area. It is zero, never NaN, for a degenerate face.
func (m *Mesh) DoubleAreaNormal(f int) r3.Vec {
	a, b, c := m.Corners(f)
	return r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
}

// Bounds returns the axis-aligned box of the vertices; the zero box when there
// are none. (r3.Box.Union drops points of flat boxes, so it is not used here.)
func (m *Mesh) Bounds() r3.Box {
	if m.box != nil {
		return *m.box
	}
	return boundsInParts(m.Vertices)
}

// BoundsOf returns the axis-aligned box of points, the zero box for none.
func BoundsOf(points []r3.Vec) r3.Box {
	if len(points) == 0 {
		return r3.Box{}
	}
	lo, hi, odd := points[0], points[0], 0.0
	for i := range points {
		p := &points[i]
		odd += (p.X + p.Y + p.Z) * 0 // NaN once one is not finite
		if p.X < lo.X {
			lo.X = p.X
		}
		if p.X > hi.X {
			hi.X = p.X
		}
		if p.Y < lo.Y {
			lo.Y = p.Y
		}
		if p.Y > hi.Y {
			hi.Y = p.Y
		}
		if p.Z < lo.Z {
			lo.Z = p.Z
		}
		if p.Z > hi.Z {
			hi.Z = p.Z
		}
	}
	if odd != 0 {
		return boundsOfAny(points)
	}
	return r3.Box{Min: lo, Max: hi}
}

// boundsOfAny is BoundsOf where some points are not finite: the ends of such an axis
// are not, either. It takes twice as long.
func boundsOfAny(points []r3.Vec) r3.Box {
	b := r3.Box{Min: points[0], Max: points[0]}
	for _, p := range points[1:] {
		b.Min.X, b.Max.X = min(b.Min.X, p.X), max(b.Max.X, p.X)
		b.Min.Y, b.Max.Y = min(b.Min.Y, p.Y), max(b.Max.Y, p.Y)
		b.Min.Z, b.Max.Z = min(b.Min.Z, p.Z), max(b.Max.Z, p.Z)
	}
	return b
}

// Some returns some of the faces, on the same vertices.
func (m *Mesh) Some(faces []int32) *Mesh {
	out := &Mesh{Vertices: m.Vertices, Faces: make([][3]int32, len(faces))}
	for i, f := range faces {
		out.Faces[i] = m.Faces[f]
	}
	return out
}

// Scaled returns a copy with every coordinate multiplied by s; what is the same in
// both is shared, which is safe since a Mesh is never changed.
func (m *Mesh) Scaled(s float64) *Mesh {
	if s == 1 {
		return m
	}
	vs := large.Make[r3.Vec](len(m.Vertices))
	inParts(len(vs), func(_, lo, hi int) {
		for i := lo; i < hi; i++ {
			vs[i] = r3.Scale(s, m.Vertices[i])
		}
	})
	return &Mesh{Vertices: vs, Faces: m.Faces}
}

// Posed returns a copy moved by pose; faces are shared, which is safe since a
// Mesh is never changed.
func (m *Mesh) Posed(pose Pose) *Mesh {
	vs := large.Make[r3.Vec](len(m.Vertices))
	inParts(len(vs), func(_, lo, hi int) {
		for i := lo; i < hi; i++ {
			vs[i] = pose.Point(m.Vertices[i])
		}
	})
	return &Mesh{Vertices: vs, Faces: m.Faces}
}

// Solid is a Mesh that bounds space: closed, consistently wound, outward. Get
// one from NewSolid.
type Solid struct {
	*Mesh

	moments *moments // see Measure, where they are known from checking
}

// Posed returns the solid moved by pose, which must be a proper rotation (no
// mirror), so that it stays outward.
func (s *Solid) Posed(pose Pose) *Solid { return &Solid{Mesh: s.Mesh.Posed(pose)} }
