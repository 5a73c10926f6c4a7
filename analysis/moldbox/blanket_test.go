package moldbox_test

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/moldbox"
	"pourwright/mesh/field"
	"pourwright/mesh/meshtest"
)

// Closed form: a skin of thickness t round a ball of radius R is
// 4π/3·((R + t)³ − R³); with the board through its middle it is half of that.
func TestBlanketOfABall(t *testing.T) {
	const r = 40.0
	m := meshtest.Icosphere(5)
	for i := range m.Vertices {
		m.Vertices[i] = r3.Scale(r, m.Vertices[i])
	}
	const voxel = 1.25
	f, err := field.New(context.Background(), m, field.Choice{VoxelMM: voxel, MarginVoxels: 13}, nil)
	if err != nil {
		t.Fatal(err)
	}
	whole := moldbox.Blanket(f, r3.Vec{Z: 1}, -1000, moldbox.BlanketMM)
	half := moldbox.Blanket(f, r3.Vec{X: 1}, 0, moldbox.BlanketMM)
	for i, mm := range moldbox.BlanketMM {
		want := 4 * math.Pi / 3 * (math.Pow(r+mm, 3) - r*r*r)
		if math.Abs(whole[i]-want) > 0.01*want || math.Abs(half[i]-want/2) > 0.01*want/2 {
			t.Errorf("%g mm: %.0f and %.0f mm³, want %.0f and %.0f", mm, whole[i], half[i], want, want/2)
		}
	}
}
