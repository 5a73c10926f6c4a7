package analysis

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func solidOf(t *testing.T, m *mesh.Mesh) *mesh.Solid {
	t.Helper()
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestDetailOfRefuses(t *testing.T) {
	s := solidOf(t, meshtest.Icosphere(4).Scaled(30))
	for name, c := range map[string]struct {
		choices Choices
		what    string
	}{
		"negative":      {Choices{DetailRadiusMM: -2}, "-2 mm"},
		"not a number":  {Choices{DetailRadiusMM: math.NaN()}, "NaN"},
		"half the part": {Choices{DetailRadiusMM: 40}, "more than half"},
		"no radius":     {Choices{KeepClear: [][4]float64{{30, 0, 0, 0}}}, "--keep-clear 30,0,0,0 is not a ball"},
		"no place":      {Choices{Plain: [][4]float64{{math.Inf(1), 0, 0, 3}}}, "--plain +Inf,0,0,3 is not a ball"},
		"inside":        {Choices{KeepClear: [][4]float64{{0, 0, 0, 10}}}, "--keep-clear 0,0,0,10 touches no surface"},
		"outside":       {Choices{Plain: [][4]float64{{0, 0, 90, 5}}}, "the nearest is 60 mm from its middle, at 0.0,0.0,30.0"},
	} {
		_, err := DetailOf(context.Background(), s, c.choices)
		var refusal *Refusal
		if !errors.As(err, &refusal) || !strings.Contains(refusal.Error(), c.what) || refusal.Hint() == "" {
			t.Errorf("%s: error %v, want a refusal with %q", name, err, c.what)
		}
	}
}

func TestDetailOfTakesChoices(t *testing.T) {
	s := solidOf(t, meshtest.Icosphere(5).Scaled(30))
	r, err := DetailOf(context.Background(), s, Choices{DetailRadiusMM: 3, KeepClear: [][4]float64{{0, 0, 30, 6}}})
	if err != nil {
		t.Fatal(err)
	}
	if r.RadiusMM != 3 {
		t.Errorf("a radius of %g mm was used, want 3", r.RadiusMM)
	}
	for v, p := range s.Vertices {
		want := float32(0)
		if p.X*p.X+p.Y*p.Y+(p.Z-30)*(p.Z-30) <= 36 {
			want = 1
		}
		if r.Vertex[v] != want {
			t.Fatalf("the score at %v is %g, want %g", p, r.Vertex[v], want)
		}
	}
}
