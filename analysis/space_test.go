package analysis

import (
	"context"
	"math"
	"testing"

	"pourwright/mesh"
	"pourwright/mesh/field"
	"pourwright/mesh/meshtest"
)

// Closed forms: the skin of a ball is 4π/3·(r³ − (r−s)³), of a box what a smaller box
// leaves; of a plate thinner than two skins it is all of it.
func TestSkinWithinDepth(t *testing.T) {
	ball := func(r float64) float64 { return 4 * math.Pi / 3 * math.Pow(math.Max(0, r), 3) }
	for _, c := range []struct {
		name   string
		m      *mesh.Mesh
		inside func(skin float64) float64 // volume deeper than that
	}{
		{"ball", meshtest.Icosphere(5).Scaled(40), func(s float64) float64 { return ball(40 - s) }},
		{"box", meshtest.Box(60, 40, 150), func(s float64) float64 { return (60 - 2*s) * (40 - 2*s) * (150 - 2*s) }},
		{"plate", meshtest.Box(120, 5, 90), func(s float64) float64 { return (120 - 2*s) * math.Max(0, 5-2*s) * (90 - 2*s) }},
	} {
		f, err := field.New(context.Background(), c.m, field.Choice{VoxelMM: 1.1}, nil)
		if err != nil {
			t.Fatal(err)
		}
		within := withinDepth(f, c.inside(0))
		for _, skin := range []float64{2, 3, 4} {
			want := c.inside(0) - c.inside(skin)
			if got := within(skin); math.Abs(got/want-1) > 0.02 {
				t.Errorf("%s: a skin of %g mm is %.0f mm³, want %.0f", c.name, skin, got, want)
			}
		}
	}
}
