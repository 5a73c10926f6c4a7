package field

import (
	"context"
	"math"
	"testing"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func newField(t testing.TB, m *mesh.Mesh, c Choice) *Field {
	t.Helper()
	f, err := New(context.Background(), m, c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The surface of a torus has Euler characteristic 0, and the volume 2π²Rr².
func TestSurfaceOfTorus(t *testing.T) {
	f := newField(t, meshtest.TorusMesh(200, 100, 50, 20), Choice{Cells: 64})
	s, err := f.Surface()
	if err != nil {
		t.Fatal(err)
	}
	if got := len(s.Vertices) - len(s.Faces)/2; got != 0 {
		t.Errorf("Euler characteristic %d", got)
	}
	want := 2 * math.Pi * math.Pi * 50 * 400
	if got := s.Measure().VolumeMM3; math.Abs(got-want) > 0.003*want {
		t.Errorf("volume %g, want %g", got, want)
	}
	t.Log(s.Measure().VolumeMM3, len(s.Faces), want)
}
