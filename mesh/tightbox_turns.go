package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// turnedBox is the box around points along given axes.
type turnedBox struct {
	axes   [3]r3.Vec
	size   [3]float64
	volume float64
}

func boxAlong(points []r3.Vec, axes [3]r3.Vec) turnedBox {
	b := turnedBox{axes: axes, volume: 1}
	for i, s := range spans(points, axes) {
		b.size[i] = s.hi - s.lo
		b.volume *= b.size[i]
	}
	return b
}

type span struct{ lo, hi float64 }

// spans returns how far points reach along three axes.
func spans(points []r3.Vec, axes [3]r3.Vec) [3]span {
	u, v, w := axes[0], axes[1], axes[2]
	none := span{math.Inf(1), math.Inf(-1)}
	su, sv, sw := none, none, none
	for _, p := range points {
		su.take(dot(u, p))
		sv.take(dot(v, p))
		sw.take(dot(w, p))
	}
	return [3]span{su, sv, sw}
}

// reachAlong returns how far points reach along one direction.
func reachAlong(points []r3.Vec, a r3.Vec) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range points {
		p := &points[i]
		x := a.X*p.X + a.Y*p.Y + a.Z*p.Z
		if x < lo {
			lo = x
		}
		if x > hi {
			hi = x
		}
	}
	return hi - lo
}

func (s *span) take(x float64) {
	if x < s.lo {
		s.lo = x
	}
	if x > s.hi {
		s.hi = x
	}
}

// spreadRotations returns an even sequence of rotations: Shoemake's uniform
// quaternions (Graphics Gems III, 1992) fed by the additive recurrence of three
// irrational steps (both from memory).
func spreadRotations() [][3]r3.Vec {
	all := make([][3]r3.Vec, spreadTurns)
	for i := range all {
		frac := func(step float64) float64 { return math.Mod(0.5+float64(i)*step, 1) }
		a := frac(0.8191725133961645)
		s1, c1 := math.Sincos(2 * math.Pi * frac(0.6710436067037893))
		s2, c2 := math.Sincos(2 * math.Pi * frac(0.5497004779019703))
		r1, r2 := math.Sqrt(1-a), math.Sqrt(a)
		x, y, z, w := r1*s1, r1*c1, r2*s2, r2*c2
		all[i] = [3]r3.Vec{
			{X: 1 - 2*(y*y+z*z), Y: 2 * (x*y - z*w), Z: 2 * (x*z + y*w)},
			{X: 2 * (x*y + z*w), Y: 1 - 2*(x*x+z*z), Z: 2 * (y*z - x*w)},
			{X: 2 * (x*z - y*w), Y: 2 * (y*z + x*w), Z: 1 - 2*(x*x+y*y)},
		}
	}
	return all
}

// refined turns the axes by ever smaller angles, from first to last (radians),
// about the box's own axes and diagonals, as long as the volume falls.
func refined(points []r3.Vec, axes [3]r3.Vec, first, last float64) turnedBox {
	best, sides := boxAlong(points, axes), newBoxSides(points)
	for angle := first; angle > last; angle /= 2 {
		sides.keep(best.axes, 2*angle)
		cos := math.Cos(angle)
		for better := true; better; {
			better = false
			for _, about := range turnAxes {
				b := sides.boxAlong(best.turned(about, angle))
				if b.volume < best.volume*(1-1e-12) {
					best, better = b, true
					if sides.beyond(best.axes, cos) {
						sides.keep(best.axes, 2*angle)
					}
				}
			}
		}
	}
	return best
}

// turnAxes are the six axes and eight corner diagonals of a box, and its twelve
// edge diagonals.
var turnAxes = func() (all []r3.Vec) {
	for x := -1.0; x <= 1; x++ {
		for y := -1.0; y <= 1; y++ {
			for z := -1.0; z <= 1; z++ {
				if x != 0 || y != 0 || z != 0 {
					all = append(all, r3.Unit(r3.Vec{X: x, Y: y, Z: z}))
				}
			}
		}
	}
	return all
}()

// turned rotates a box's axes by a vector given along them: about its direction,
// by its length times angle, but less where that turns a long side toward a
// short one, in proportion. So all turns change the volume about as much.
func (b turnedBox) turned(by r3.Vec, angle float64) [3]r3.Vec {
	x, y, z := b.size[0], b.size[1], b.size[2]
	by = r3.Vec{X: by.X * angle * ratio(y, z), Y: by.Y * angle * ratio(z, x), Z: by.Z * angle * ratio(x, y)}
	return turned(b.axes, by)
}

// ratio is the smaller by the larger.
func ratio(a, b float64) float64 { return min(a, b) / max(a, b) }

// turned rotates axes by a vector given along them: about its direction, by its
// length (radians).
func turned(axes [3]r3.Vec, by r3.Vec) [3]r3.Vec {
	angle := math.Sqrt(dot(by, by))
	if angle == 0 {
		return axes
	}
	by = r3.Scale(1/angle, by)
	k := r3.Add(r3.Add(r3.Scale(by.X, axes[0]), r3.Scale(by.Y, axes[1])), r3.Scale(by.Z, axes[2]))
	sin, cos := math.Sincos(angle)
	spin := func(v r3.Vec) r3.Vec { // Rodrigues
		return r3.Add(r3.Add(r3.Scale(cos, v), r3.Scale(sin, r3.Cross(k, v))), r3.Scale(dot(k, v)*(1-cos), k))
	}
	// Not r3.Unit: math.Hypot takes most of the time of a turn.
	unit := func(v r3.Vec) r3.Vec { return r3.Scale(1/math.Sqrt(dot(v, v)), v) }
	u := unit(spin(axes[0]))
	v := spin(axes[1])
	v = unit(r3.Sub(v, r3.Scale(dot(u, v), u)))
	return [3]r3.Vec{u, v, r3.Cross(u, v)}
}
