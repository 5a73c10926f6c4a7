package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestBoundsOf holds bounds against the least and the greatest of each coordinate,
// which are not finite where some are not.
func TestBoundsOf(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for _, odd := range []float64{0, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64} {
		points := make([]r3.Vec, 500)
		for i := range points {
			points[i] = r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		}
		points[rng.IntN(len(points))].Y = odd
		got := BoundsOf(points)
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, p := range points {
			lo, hi = math.Min(lo, p.Y), math.Max(hi, p.Y)
		}
		same := func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }
		if !same(got.Min.Y, lo) || !same(got.Max.Y, hi) {
			t.Errorf("with %g: from %g to %g, want %g to %g", odd, got.Min.Y, got.Max.Y, lo, hi)
		}
		if !finite(r3.Vec{X: got.Min.X, Y: got.Max.Z, Z: got.Max.X}) {
			t.Errorf("with %g along y: bounds %v", odd, got)
		}
	}
	if got := BoundsOf(nil); got != (r3.Box{}) {
		t.Errorf("bounds of nothing: %v", got)
	}
}
