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
// about the box's own axes and diagonals, as long as the volume falls and they are no
// farther than most (radians) from where they were.
func refined(points []r3.Vec, axes [3]r3.Vec, first, last, most float64) turnedBox {
	best, sides, least := boxAlong(points, axes), newBoxSides(points), math.Cos(min(most, math.Pi))
	for angle := first; angle > last; angle /= 2 {
		sides.keep(best.axes, 2*angle)
		cos := math.Cos(angle)
		for better := true; better; {
			better = false
			for _, about := range turnAxes {
				b, smaller := sides.boxAlong(best.turned(about, angle), best.volume*(1-1e-12))
				if smaller && !turnedFar(b.axes, axes, least) {
					best, better = b, true
					if turnedFar(best.axes, sides.axes, cos) {
						sides.keep(best.axes, 2*angle)
					}
				}
			}
		}
	}
	return best
}

// turnedFar says whether axes have turned by more than an angle, of given cosine.
func turnedFar(axes, from [3]r3.Vec, cos float64) bool {
	return dot(axes[0], from[0]) < cos || dot(axes[1], from[1]) < cos || dot(axes[2], from[2]) < cos
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
// length (radians, when that is small; by 2·atan(length/2), which takes no sine).
func turned(axes [3]r3.Vec, by r3.Vec) [3]r3.Vec {
	u, v, w := &axes[0], &axes[1], &axes[2]
	x, y, z := by.X/2, by.Y/2, by.Z/2 // of a quaternion, beside 1
	k := r3.Vec{X: x*u.X + y*v.X + z*w.X, Y: x*u.Y + y*v.Y + z*w.Y, Z: x*u.Z + y*v.Z + z*w.Z}
	twice := 2 / (1 + x*x + y*y + z*z)
	spin := func(v *r3.Vec) r3.Vec {
		c := cross(k, *v)
		d := cross(k, c)
		return r3.Vec{X: v.X + twice*(c.X+d.X), Y: v.Y + twice*(c.Y+d.Y), Z: v.Z + twice*(c.Z+d.Z)}
	}
	// Not r3.Unit: math.Hypot takes most of the time of a turn.
	unit := func(v r3.Vec) r3.Vec { return r3.Scale(1/math.Sqrt(dot(v, v)), v) }
	a := unit(spin(u))
	b := spin(v)
	b = unit(r3.Sub(b, r3.Scale(dot(a, b), a)))
	return [3]r3.Vec{a, b, cross(a, b)}
}
