package rod

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// TestLongAndThin: a staff of a metre, askew in its bounds, so that voxels are
// wider than the room that the axis has: the rod goes through its whole length.
func TestLongAndThin(t *testing.T) {
	for _, r := range []float64{16, 13, 11.5} {
		m := meshtest.Cylinder(64, r, 1000).Posed(mesh.PoseDown(r3.Unit(r3.Vec{X: 1, Y: 1.1, Z: 0.9})))
		in := asked(t, m, 800_000, 6, 8)
		room := r*math.Cos(math.Pi/64) - 11
		want := math.Hypot(1000-22, 2*room)
		got := longestOne(t, in)
		t.Logf("radius %g, voxels %.2f mm: %.2f of %.2f mm", r, in.Field.VoxelMM, got.Length(), want)
		if math.Abs(got.Length()/want-1) > 0.01 {
			t.Errorf("radius %g: %.1f mm, not %.1f", r, got.Length(), want)
		}
	}
}
