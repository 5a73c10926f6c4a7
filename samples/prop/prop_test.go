package prop

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/samples/implicit"
)

// TestVolumes integrates every solid anew, on cubes four times as large as the
// stated figure's.
func TestVolumes(t *testing.T) {
	for _, p := range All() {
		got := implicit.Volume(p.Solid, p.Box, 1)
		if math.Abs(got/p.VolumeMM3-1) > 0.0025 {
			t.Errorf("%s: volume %.0f mm³, stated %.0f", p.File, got, p.VolumeMM3)
		}
	}
}

// TestPinAsTurned compares the closed form with the integral of the pin before
// it is carved.
func TestPinAsTurned(t *testing.T) {
	p := BelayingPin()
	got := implicit.Volume(implicit.Revolved(pinProfile()), p.Box, 0.5)
	if math.Abs(got/pinProfile().Volume()-1) > 2e-4 {
		t.Errorf("integral %.1f mm³, closed form %.1f", got, pinProfile().Volume())
	}
}

func TestBoxesEnclose(t *testing.T) {
	for _, p := range All() {
		b := implicit.Surface(p.Solid, p.Box, 3).Bounds()
		if b.Min.X < p.Box.Min.X || b.Min.Y < p.Box.Min.Y || b.Min.Z < p.Box.Min.Z ||
			b.Max.X > p.Box.Max.X || b.Max.Y > p.Box.Max.Y || b.Max.Z > p.Box.Max.Z {
			t.Errorf("%s reaches from %v to %v, out of its box %v", p.File, b.Min, b.Max, p.Box)
		}
	}
}

func TestPosesAreRotations(t *testing.T) {
	for _, p := range All() {
		x, y, z := p.Pose.Rows[0], p.Pose.Rows[1], p.Pose.Rows[2]
		if r3.Norm(r3.Sub(r3.Cross(x, y), z)) > 1e-12 || math.Abs(r3.Norm(x)-1) > 1e-12 || math.Abs(r3.Dot(x, y)) > 1e-12 {
			t.Errorf("%s: rows %v", p.File, p.Pose.Rows)
		}
	}
}

// TestFieldsAreDistances checks what tests for emptiness rely on: beyond the
// reach of the carving no field exceeds the distance to its surface by more
// than two fifths, or parts of the solid could be missed.
func TestFieldsAreDistances(t *testing.T) {
	const reach, excess = 4.0, 1.4
	for _, p := range All() {
		surface := implicit.Surface(p.Solid, p.Box, 3).Vertices
		rng := rand.New(rand.NewPCG(3, 4))
		size := r3.Sub(p.Box.Max, p.Box.Min)
		for range 300 {
			at := r3.Add(p.Box.Min, implicit.V(rng.Float64()*size.X, rng.Float64()*size.Y, rng.Float64()*size.Z))
			value := math.Abs(p.Solid(at))
			if value < reach {
				continue
			}
			distance := math.Inf(1)
			for _, s := range surface {
				distance = min(distance, r3.Norm(r3.Sub(s, at)))
			}
			if value > distance*excess {
				t.Errorf("%s: %.2f at %.1f, %.2f mm from the surface", p.File, value, at, distance)
			}
		}
	}
}
