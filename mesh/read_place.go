package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A placement moves a part of a file to where it belongs: it may turn, scale,
// shear and mirror it.
type placement struct {
	x, y, z r3.Vec // where the unit vectors go
	move    r3.Vec
}

var unmoved = placement{x: r3.Vec{X: 1}, y: r3.Vec{Y: 1}, z: r3.Vec{Z: 1}}

// direction returns where p goes before the shift.
func (l placement) direction(p r3.Vec) r3.Vec {
	return r3.Add(r3.Add(r3.Scale(p.X, l.x), r3.Scale(p.Y, l.y)), r3.Scale(p.Z, l.z))
}

// point returns where p goes.
func (l placement) point(p r3.Vec) r3.Vec {
	if l == unmoved {
		return p
	}
	return r3.Add(l.direction(p), l.move)
}

// of returns the placement that is inner first, then l.
func (l placement) of(inner placement) placement {
	return placement{l.direction(inner.x), l.direction(inner.y), l.direction(inner.z), l.point(inner.move)}
}

// volume is what a volume is multiplied by; less than 0 when l mirrors.
func (l placement) volume() float64 { return r3.Dot(r3.Cross(l.x, l.y), l.z) }

// sound tells whether l is finite and does not flatten.
func (l placement) sound() bool {
	v := l.volume()
	moved := l.move.X + l.move.Y + l.move.Z
	return v != 0 && !math.IsNaN(v) && !math.IsInf(v, 0) && !math.IsNaN(moved) && !math.IsInf(moved, 0)
}
