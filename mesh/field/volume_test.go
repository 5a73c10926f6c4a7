package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// lens is the volume two spheres of radius r share, their centres d apart.
// Source: Weisstein, "Sphere-Sphere Intersection", MathWorld (from memory).
func lens(r, d float64) float64 {
	return math.Pi / 12 * (4*r + d) * (2*r - d) * (2*r - d)
}

// ball is a sphere of 20·4^level faces and just the volume of the sphere.
func ball(t testing.TB, level int, r float64) *mesh.Mesh {
	s, _, err := mesh.NewSolid(meshtest.Icosphere(level))
	if err != nil {
		t.Fatal(err)
	}
	return s.Scaled(r * math.Cbrt(4*math.Pi/3/s.Measure().VolumeMM3))
}

// crossedLathe is a can of radius 4 below and a drum of radius 6 from z = 3 to 9,
// turned from one line that crosses itself; a ring is counted twice.
func crossedLathe(n int) (*mesh.Mesh, float64) {
	m := meshtest.Lathe([]r2.Vec{{}, {X: 4}, {X: 4, Y: 6}, {X: 2, Y: 6}, {X: 2, Y: 3}, {X: 6, Y: 3}, {X: 6, Y: 9}, {Y: 9}}, n)
	unit := float64(n) / 2 * math.Sin(2*math.Pi/float64(n)) // a polygon of radius 1
	return m, unit * (4*4*3 + 6*6*6)
}

func TestVolume(t *testing.T) {
	b := ball(t, 5, 10)
	sphere := func(r float64) float64 { return 4 * math.Pi / 3 * r * r * r }
	lathe, drum := crossedLathe(90)
	tilted := mesh.PoseDown(r3.Unit(r3.Vec{X: 1, Y: 2, Z: -5}))
	for _, c := range []struct {
		name   string
		m      *mesh.Mesh
		volume float64
		tight  bool // the bar is at most 10 times the error, or 0.1 %
	}{
		{"sphere", b, sphere(10), true},
		{"inside out", turnedIn(b), sphere(10), true},
		{"hollow", together(b, turnedIn(ball(t, 4, 4))), sphere(10) - sphere(4), true},
		{"solid twice", together(b, b), sphere(10), true},
		{"nested", together(b, ball(t, 4, 4)), sphere(10), true},
		{"two overlapping", together(b, moved(b, r3.Vec{X: 10})), 2*sphere(10) - lens(10, 10), true},
		{"two overlapping askew", together(b, moved(b, r3.Vec{X: 7, Y: 5, Z: 3})), 2*sphere(10) - lens(10, math.Sqrt(83)), true},
		{"overlapping boxes", together(meshtest.Box(10, 10, 10), moved(meshtest.Box(10, 10, 10), r3.Vec{X: 5.3, Y: 4.1, Z: 3.7})),
			2000 - 4.7*5.9*6.3, true},
		{"overlapping boxes, tilted", together(meshtest.Box(10, 10, 10), moved(meshtest.Box(10, 10, 10), r3.Vec{X: 5.3, Y: 4.1, Z: 3.7})).Posed(tilted),
			2000 - 4.7*5.9*6.3, true},
		{"self-crossing lathe", lathe, drum, true},
		{"self-crossing lathe, tilted", lathe.Posed(tilted), drum, true},
		{"cube without a face", openCube(), 1000, false},
		{"cube without a face, tilted", openCube().Posed(tilted), 1000, false},
		{"sphere with small holes", without(b, func(f int) bool { return f%1000 == 0 }), sphere(10), false},
	} {
		for _, cells := range []int{64, 128} {
			f := newField(t, c.m, Choice{Cells: cells})
			v, bar := f.Volume()
			off := math.Abs(v - c.volume)
			t.Logf("%s, %d cells: %.3f, off by %.5f %%, bar %.5f %%", c.name, cells, v, 100*off/c.volume, 100*bar/c.volume)
			if off > bar {
				t.Errorf("%s, %d cells: %g ± %g, want %g", c.name, cells, v, bar, c.volume)
			}
			if c.tight && bar > max(10*off, 0.001*c.volume) {
				t.Errorf("%s, %d cells: bar %g for an error of %g", c.name, cells, bar, off)
			}
		}
	}
}

// Errors shrink as voxels do: volumes by more than the voxel, distances at a
// fixed place in step with it or better.
func TestConvergence(t *testing.T) {
	b := ball(t, 6, 10)
	m := together(b, moved(b, r3.Vec{X: 7, Y: 5, Z: 3}))
	want := 2*4*math.Pi/3*1000 - lens(10, math.Sqrt(83))
	var volume, distance []float64
	cells := []int{32, 64, 128, 256}
	if testing.Short() {
		cells = cells[:3]
	}
	for _, n := range cells {
		v, bar := newField(t, m, Choice{Cells: n}).Volume()
		f := newField(t, meshtest.Icosphere(6), Choice{Cells: n})
		_, any := f.misses(sphereDistance(1))
		volume, distance = append(volume, math.Abs(v/want-1)), append(distance, any*f.VoxelMM)
		t.Logf("%3d cells: volume off by %.2e (bar %.2e), distance by %.2e of the radius", n, math.Abs(v/want-1), bar/want, any*f.VoxelMM)
	}
	last := len(cells) - 1
	for name, list := range map[string][]float64{"volume": volume, "distance": distance} {
		order := math.Log2(list[0]/list[last]) / float64(last)
		t.Logf("%s: order %.2f", name, order)
		if order < 1 {
			t.Errorf("%s: order %.2f", name, order)
		}
	}
}
