package implicit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Field is a solid: about the signed distance from p to its surface, negative
// inside. Away from the surface its size must not exceed that distance by more
// than two fifths.
type Field func(p r3.Vec) float64

// V is short for a point or a direction.
func V(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

// Ball returns a sphere's inside.
func Ball(centre r3.Vec, radius float64) Field {
	return func(p r3.Vec) float64 { return r3.Norm(r3.Sub(p, centre)) - radius }
}

// Ellipsoid returns an axis-aligned ellipsoid with the given half axes. Near
// the surface its value is the distance to first order.
func Ellipsoid(centre, half r3.Vec) Field {
	least := min(half.X, half.Y, half.Z)
	return func(p r3.Vec) float64 {
		q := r3.Sub(p, centre)
		once := V(q.X/half.X, q.Y/half.Y, q.Z/half.Z)
		twice := V(once.X/half.X, once.Y/half.Y, once.Z/half.Z)
		k := r3.Norm(once)
		if k < 0.5 { // too deep for the first-order form
			return (k - 1) * least
		}
		return k * (k - 1) / r3.Norm(twice)
	}
}

// Rod returns a round rod from a to b whose radius runs from ra to rb, with
// round ends.
func Rod(a, b r3.Vec, ra, rb float64) Field {
	ab := r3.Sub(b, a)
	length2 := r3.Norm2(ab)
	return func(p r3.Vec) float64 {
		ap := r3.Sub(p, a)
		t := clamp(r3.Dot(ap, ab)/length2, 0, 1)
		return r3.Norm(r3.Sub(ap, r3.Scale(t, ab))) - lerp(ra, rb, t)
	}
}

// Knot is a point of a chain of rods and the radius there.
type Knot struct {
	At     r3.Vec
	Radius float64
}

// bendPieces is how many straight rods a chain has between two knots.
const bendPieces = 6

// Chain returns a round rod bent through the knots, its radius running from
// each to the next: a Catmull-Rom curve, cut into short straight rods.
func Chain(knots ...Knot) Field {
	var rods []Field
	from := knots[0]
	for i := range len(knots) - 1 {
		before, after := knots[max(i-1, 0)], knots[min(i+2, len(knots)-1)]
		for k := range bendPieces {
			t := float64(k+1) / bendPieces
			to := between(before, knots[i], knots[i+1], after, t)
			rods = append(rods, Rod(from.At, to.At, from.Radius, to.Radius))
			from = to
		}
	}
	return Union(0, rods...)
}

// between returns the Catmull-Rom curve from b (t = 0) to c (t = 1); radii are
// interpolated straight, so that none falls below its knots'.
func between(a, b, c, d Knot, t float64) Knot {
	u := 1 - t
	sum := r3.Scale(-t*u*u/2, a.At)
	sum = r3.Add(sum, r3.Scale(1-t*t*(5-3*t)/2, b.At))
	sum = r3.Add(sum, r3.Scale(1-u*u*(5-3*u)/2, c.At))
	sum = r3.Add(sum, r3.Scale(-u*t*t/2, d.At))
	return Knot{At: sum, Radius: lerp(b.Radius, c.Radius, t)}
}

// Ring returns a torus about the unit axis: a round rod of the given thickness
// (radius) bent to a circle of the given radius.
func Ring(centre, axis r3.Vec, radius, thickness float64) Field {
	return func(p r3.Vec) float64 {
		q := r3.Sub(p, centre)
		along := r3.Dot(q, axis)
		out := r3.Norm(r3.Sub(q, r3.Scale(along, axis)))
		return math.Hypot(out-radius, along) - thickness
	}
}

// Below returns the half-space where the unit direction's height is under top.
func Below(direction r3.Vec, top float64) Field {
	return func(p r3.Vec) float64 { return r3.Dot(p, direction) - top }
}

// Union joins solids; corners between them are filled over the length soft,
// zero for a sharp joint. The blend is the quadratic smooth minimum of Inigo
// Quilez, "Smooth minimum", 2013 (from memory).
func Union(soft float64, parts ...Field) Field {
	return func(p r3.Vec) float64 {
		d := parts[0](p)
		for _, part := range parts[1:] {
			d = smoothMin(d, part(p), soft)
		}
		return d
	}
}

// Cut returns what is left of body without tool, edges softened over soft.
func Cut(soft float64, body, tool Field) Field {
	return func(p r3.Vec) float64 { return -smoothMin(-body(p), tool(p), soft) }
}

// Both returns what is inside both solids, edges softened over soft.
func Both(soft float64, a, b Field) Field {
	return func(p r3.Vec) float64 { return -smoothMin(-a(p), -b(p), soft) }
}

// Carved raises the surface of body by height(p) where that is positive and
// sinks it where negative. reach bounds how far height goes either way; it is
// asked only near the surface.
func Carved(body Field, reach float64, height func(p r3.Vec) float64) Field {
	return func(p r3.Vec) float64 {
		d := body(p)
		if math.Abs(d) > 4*reach {
			return d
		}
		return d - height(p)
	}
}

// Mirrored joins what is at +y with its mirror image.
func Mirrored(half Field) Field {
	return func(p r3.Vec) float64 { return half(V(p.X, math.Abs(p.Y), p.Z)) }
}

// Repeated turns the part at angle zero about the z axis n times. The part
// must stay inside its n-th of the turn.
func Repeated(n int, part Field) Field {
	step := 2 * math.Pi / float64(n)
	return func(p r3.Vec) float64 {
		angle := math.Atan2(p.Y, p.X)
		angle -= step * math.Round(angle/step)
		out := math.Hypot(p.X, p.Y)
		return part(V(out*math.Cos(angle), out*math.Sin(angle), p.Z))
	}
}

func smoothMin(a, b, soft float64) float64 {
	if gap := math.Abs(a - b); gap < soft {
		h := soft - gap
		return min(a, b) - h*h/(4*soft)
	}
	return min(a, b)
}

func clamp(x, lo, hi float64) float64 { return max(lo, min(hi, x)) }

func lerp(a, b, t float64) float64 { return a + (b-a)*t }

// Step rises smoothly from 0 at x = lo to 1 at x = hi.
func Step(x, lo, hi float64) float64 {
	t := clamp((x-lo)/(hi-lo), 0, 1)
	return t * t * (3 - 2*t)
}

// Window is 1 between lo and hi and falls to 0 within fade outside of them.
func Window(x, lo, hi, fade float64) float64 {
	return Step(x, lo-fade, lo) * (1 - Step(x, hi, hi+fade))
}
