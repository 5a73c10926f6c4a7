package stand

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Sources: cube 45°, cylinder d60 H200 16.6992° and cone r50 H150 53.1301°, all
// closed forms; centroid 1 ft above a 3 ft base 56.31° (a worked example of an
// engineering statics page).
func TestTipAngle(t *testing.T) {
	square := []r2.Vec{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}}
	for _, c := range []struct {
		name    string
		support []r2.Vec
		g       r2.Vec
		height  float64
		want    float64
	}{
		{"cube", square, r2.Vec{}, 1, 45},
		{"cylinder", ring(4096, 30, r2.Vec{}), r2.Vec{}, 100, 16.6992},
		{"cone", ring(4096, 50, r2.Vec{}), r2.Vec{}, 37.5, 53.1301},
		{"centroid 1 ft over a 3 ft base", ring(4096, 1.5, r2.Vec{}), r2.Vec{}, 1, 56.31},
		{"centroid outside", square, r2.Vec{X: 2}, 1, -45},
		{"a tip only", nil, r2.Vec{}, 1, 0},
	} {
		if got := tipAngle(c.support, c.g, c.height); math.Abs(got-c.want) > 1e-3 {
			t.Errorf("%s: %.4f°, want %.4f°", c.name, got, c.want)
		}
	}
}

// The same closed forms, from the mesh: all stand on the whole of their foot.
func TestTipOfSolids(t *testing.T) {
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		down r3.Vec
		want float64
	}{
		{"cube", meshtest.Box(60, 60, 60), r3.Vec{Z: -1}, 45},
		{"cube on a corner", meshtest.Box(60, 60, 60), r3.Unit(r3.Vec{X: 1, Y: 1, Z: 1}), 0},
		{"cylinder", meshtest.Lathe([]r2.Vec{{}, {X: 30}, {X: 30, Y: 200}, {Y: 200}}, 512), r3.Vec{Z: -1}, 16.6992},
		{"cone", meshtest.Cone(512, 50, 150), r3.Vec{Z: -1}, 53.1301},
	} {
		// A spout so small that nothing needs a stem.
		got := choose(t, c.m, func(in *Input) { in.Down, in.LeastSpoutMM = &c.down, 0.5 }).Ways[0]
		slack := 0.02
		if c.want == 0 {
			slack = 1.2 // it stands on what is within contactMM of its corner
		}
		if math.Abs(got.TipDeg-c.want) > slack {
			t.Errorf("%s: %.4f°, want %.4f°", c.name, got.TipDeg, c.want)
		}
	}
}
