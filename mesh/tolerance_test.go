package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestToleranceBoundsRounding rounds points to float32 at several distances
// from the origin: none moves by more than the tolerance on any axis, and some
// by nearly as much, so the tolerance is not slack.
func TestToleranceBoundsRounding(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for _, at := range []float64{0, 1, 1000, -1e6} {
		var points []r3.Vec
		for range 2000 {
			points = append(points, r3.Vec{X: at + random.Float64(), Y: random.Float64(), Z: -random.Float64()})
		}
		tolerance, most := coordinateTolerance(BoundsOf(points)), 0.0
		for _, p := range points {
			moved := r3.Sub(p, r3.Vec{X: float64(float32(p.X)), Y: float64(float32(p.Y)), Z: float64(float32(p.Z))})
			most = math.Max(most, farthest(moved))
		}
		if most > tolerance || most < tolerance/4 {
			t.Errorf("at %v: rounding moved a point by %v, tolerance %v", at, most, tolerance)
		}
	}
}

// TestFlatVolumeIsRoundingOnly: a plate of the thickness that float32 can still
// write is no flat scan, a slanted sheet rounded to float32 is.
func TestFlatVolumeIsRoundingOnly(t *testing.T) {
	thin := with(cube(r3.Vec{}).Scaled(100), func(m *Mesh) {
		for i := range m.Vertices {
			m.Vertices[i].Z *= 1e-5
		}
	})
	if r := Check(thin); len(r.Problems) != 0 {
		t.Errorf("a plate 200 × 200 × 0.002 mm: %+v", r.Problems)
	}
	sheet := with(cube(r3.Vec{}).Scaled(100), func(m *Mesh) {
		for i, v := range m.flattened() {
			m.Vertices[i] = r3.Vec{X: float64(float32(v.X)), Y: float64(float32(v.Y)), Z: float64(float32(v.Z))}
		}
	})
	if r := Check(sheet); !r.has(KindFlat) {
		t.Errorf("a flat sheet: %+v", r.Problems)
	}
}
