package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// The surface of a field is closed and sound, with the shells, the Euler
// characteristic 2(shells − handles) and about the volume of the mesh it came
// from.
func TestSurface(t *testing.T) {
	ball := meshtest.Icosphere(5).Scaled(10)
	sphere := func(r float64) float64 { return 4 * math.Pi / 3 * r * r * r }
	for _, c := range []struct {
		name          string
		m             *mesh.Mesh
		shells, euler int
		volume, share float64
	}{
		{"sphere", ball, 1, 2, sphere(10), 0.003},
		{"box", meshtest.Box(10, 12, 14), 1, 2, 10 * 12 * 14, 0.003},
		{"torus: handle", meshtest.TorusMesh(200, 100, 50, 20), 1, 0, 2 * math.Pi * math.Pi * 50 * 400, 0.004},
		{"inside out", turnedIn(ball), 1, 2, sphere(10), 0.003},
		{"hollow", meshtest.Together(ball, turnedIn(meshtest.Icosphere(4).Scaled(4))), 2, 4, sphere(10) - sphere(4), 0.005},
		{"island in a hollow", meshtest.Together(ball, turnedIn(meshtest.Icosphere(4).Scaled(6)), meshtest.Icosphere(4).Scaled(4)), 3, 6,
			sphere(10) - sphere(6) + sphere(4), 0.006},
		{"two overlapping", meshtest.Together(ball, meshtest.Moved(ball, r3.Vec{X: 10})), 1, 2, 2*sphere(10) - lens(10, 10), 0.004},
		{"with a crumb", meshtest.Together(ball, meshtest.Moved(meshtest.Icosphere(2).Scaled(0.25), r3.Vec{X: 11})), 1, 2, sphere(10), 0.003},
		{"without a face", openCube(), 1, 2, 1000, 0.01},
	} {
		f := newField(t, c.m, Choice{Cells: 56})
		s, err := f.Surface()
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		r := mesh.Check(s.Mesh)
		if !r.Closed || r.Shells != c.shells {
			t.Errorf("%s: closed %v, %d shells, want %d", c.name, r.Closed, r.Shells, c.shells)
		}
		if got := len(s.Vertices) - len(s.Faces)/2; got != c.euler {
			t.Errorf("%s: Euler characteristic %d, want %d", c.name, got, c.euler)
		}
		got := s.Measure().VolumeMM3
		t.Logf("%s: %d faces, volume off by %.3f %%", c.name, len(s.Faces), 100*(got/c.volume-1))
		if math.Abs(got-c.volume) > c.share*c.volume {
			t.Errorf("%s: volume %g, want %g", c.name, got, c.volume)
		}
	}
}

func TestNothingInside(t *testing.T) {
	sheet := &mesh.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}}, Faces: [][3]int32{{0, 1, 2}}}
	if s, err := newField(t, sheet, Choice{Cells: 20}).Surface(); err == nil {
		t.Errorf("a sheet has a surface of %d faces", len(s.Faces))
	}
}

// Every vertex is on the surface of the ball, as near as the distances say.
func TestSurfaceIsWhereTheDistanceIsZero(t *testing.T) {
	f := newField(t, meshtest.Icosphere(6), Choice{Cells: 64})
	s, err := f.Surface()
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for _, p := range s.Vertices {
		worst = max(worst, math.Abs(r3.Norm(p)-1)/f.VoxelMM)
	}
	t.Logf("off by %.4f voxels at most", worst)
	if worst > 0.02 {
		t.Errorf("off by %g voxels", worst)
	}
}
