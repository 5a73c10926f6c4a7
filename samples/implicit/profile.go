package implicit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// A bead or cove is cut into chords no longer than chordMM, at least
// leastChords.
const (
	chordMM     = 2.5
	leastChords = 10
)

// Profile is the outline of a turned part in (radius, height), from one point
// of the axis to another with the solid on its left.
type Profile []r2.Vec

// Turned starts a profile on the axis at height z.
func Turned(z float64) Profile { return Profile{{X: 0, Y: z}} }

// To goes straight to radius r and height z.
func (f Profile) To(r, z float64) Profile { return append(f, r2.Vec{X: r, Y: z}) }

// Arc goes to radius r and height z by a circular arc that stands off the
// straight way by sagitta: to the right of it (a bead, going up) when
// positive, to the left (a cove) when negative.
func (f Profile) Arc(r, z, sagitta float64) Profile {
	from, to := f[len(f)-1], r2.Vec{X: r, Y: z}
	chord := r2.Sub(to, from)
	length := r2.Norm(chord)
	right := r2.Vec{X: chord.Y / length, Y: -chord.X / length}
	half := 2 * math.Atan2(2*sagitta, length) // half the arc's turn
	radius := length / (2 * math.Sin(half))
	centre := r2.Add(r2.Scale(0.5, r2.Add(from, to)), r2.Scale(sagitta-radius, right))
	n := max(leastChords, int(math.Ceil(2*half*radius/chordMM)))
	for i := 1; i < n; i++ {
		turn := half * (2*float64(i)/float64(n) - 1)
		along := r2.Scale(radius*math.Sin(turn)/length, chord)
		f = append(f, r2.Add(centre, r2.Add(along, r2.Scale(radius*math.Cos(turn), right))))
	}
	return append(f, to)
}

// Volume returns the volume of the turned part in mm³: the sum of the
// frustums between its corners, V = π h (r₁² + r₁ r₂ + r₂²) / 3 each (Euclid's
// cone, as in any table of solids).
func (f Profile) Volume() float64 {
	var sum float64
	for i := 1; i < len(f); i++ {
		a, b := f[i-1], f[i]
		sum += (b.Y - a.Y) * (a.X*a.X + a.X*b.X + b.X*b.X)
	}
	return sum * math.Pi / 3
}

// Revolved returns the solid the profile makes turning about the z axis.
func Revolved(f Profile) Field {
	return func(p r3.Vec) float64 { return f.distance(r2.Vec{X: math.Hypot(p.X, p.Y), Y: p.Z}) }
}

// distance returns the signed distance from q to the outline: the nearest side
// for its size, the parity of sides crossed towards larger radius for its sign.
func (f Profile) distance(q r2.Vec) float64 {
	nearest := math.Inf(1)
	inside := false
	for i := 1; i < len(f); i++ {
		a, b := f[i-1], f[i]
		if gap := max(min(a.Y, b.Y)-q.Y, q.Y-max(a.Y, b.Y), 0); gap*gap > nearest {
			continue
		}
		ab, aq := r2.Sub(b, a), r2.Sub(q, a)
		t := clamp(r2.Dot(aq, ab)/r2.Norm2(ab), 0, 1)
		nearest = min(nearest, r2.Norm2(r2.Sub(aq, r2.Scale(t, ab))))
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)*ab.X/ab.Y {
			inside = !inside
		}
	}
	if inside {
		return -math.Sqrt(nearest)
	}
	return math.Sqrt(nearest)
}
