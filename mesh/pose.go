package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Pose is a rigid move p' = R·p + T, with the rows of the proper rotation R.
type Pose struct {
	Rows [3]r3.Vec
	T    r3.Vec
}

// Point moves a point.
func (p Pose) Point(v r3.Vec) r3.Vec { return r3.Add(p.Dir(v), p.T) }

// Dir turns a direction.
func (p Pose) Dir(v r3.Vec) r3.Vec {
	return r3.Vec{X: dot(p.Rows[0], v), Y: dot(p.Rows[1], v), Z: dot(p.Rows[2], v)}
}

// Inverse returns the move back.
func (p Pose) Inverse() Pose {
	x, y, z := p.Rows[0], p.Rows[1], p.Rows[2]
	inv := Pose{Rows: [3]r3.Vec{
		{X: x.X, Y: y.X, Z: z.X}, {X: x.Y, Y: y.Y, Z: z.Y}, {X: x.Z, Y: y.Z, Z: z.Z},
	}}
	inv.T = r3.Scale(-1, inv.Dir(p.T))
	return inv
}

// PoseDown returns the rotation (T zero) that turns the unit direction down
// to −z. The turn about z is arbitrary but fixed for a given down.
func PoseDown(down r3.Vec) Pose {
	up := r3.Scale(-1, down)
	x, y := Frame(up)
	return Pose{Rows: [3]r3.Vec{x, y, up}}
}

// Frame returns two unit vectors that make a right-handed frame (x, y, n) with
// the unit vector n. Source: Duff et al., "Building an Orthonormal Basis,
// Revisited", J. Computer Graphics Techniques 6(1), 2017 (from memory).
func Frame(n r3.Vec) (x, y r3.Vec) {
	s := math.Copysign(1, n.Z)
	a := -1 / (s + n.Z)
	b := n.X * n.Y * a
	return r3.Vec{X: 1 + s*n.X*n.X*a, Y: s * b, Z: -s * n.X}, r3.Vec{X: b, Y: s + n.Y*n.Y*a, Z: -n.Y}
}

// dot is a plain dot product (r3.Dot fuses its additions differently on some
// processors; this rounds each product, so that digits agree everywhere).
func dot(a, b r3.Vec) float64 {
	return float64(a.X*b.X) + float64(a.Y*b.Y) + float64(a.Z*b.Z)
}

// Then returns the move p followed by q.
func (p Pose) Then(q Pose) Pose {
	cols := p.Inverse().Rows // of a rotation, the transpose
	var rows [3]r3.Vec
	for i, r := range q.Rows {
		rows[i] = r3.Vec{X: dot(r, cols[0]), Y: dot(r, cols[1]), Z: dot(r, cols[2])}
	}
	return Pose{Rows: rows, T: q.Point(p.T)}
}

// cross is a plain cross product, rounded like dot.
func cross(a, b r3.Vec) r3.Vec {
	return r3.Vec{
		X: float64(a.Y*b.Z) - float64(a.Z*b.Y),
		Y: float64(a.Z*b.X) - float64(a.X*b.Z),
		Z: float64(a.X*b.Y) - float64(a.Y*b.X),
	}
}
