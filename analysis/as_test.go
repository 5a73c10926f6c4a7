package analysis

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Balls of radius 50 with a wall of 3, whole and half, against the closed forms.
func TestAsShellAndHollow(t *testing.T) {
	ball := meshtest.Icosphere(5).Scaled(50)
	dome := without(ball, func(f int) bool { a, b, c := ball.Corners(f); return a.Z+b.Z+c.Z < 0 })
	sphere := func(r float64) float64 { return 4 * math.Pi / 3 * r * r * r }
	for _, c := range []struct {
		name               string
		m                  *mesh.Mesh
		as                 string
		material, envelope float64
		within             float64 // the dome's rim is ragged by an edge
	}{
		{"hollow ball", ball, AsHollow, sphere(50) - sphere(47), sphere(50), 0.002},
		{"dome", dome, AsShell, (sphere(50) - sphere(47)) / 2, sphere(50) / 2, 0.03},
	} {
		l, err := load(t, Choices{Scan: scanOf(t, c.m), Units: "mm", As: c.as, ShellMM: 3})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		s := l.Scan
		if s.As != c.as || math.Abs(s.MaterialMM3/c.material-1) > c.within || math.Abs(s.EnvelopeMM3/c.envelope-1) > c.within {
			t.Errorf("%s: %s, material %.0f, envelope %.0f; want %.0f, %.0f", c.name, s.As, s.MaterialMM3, s.EnvelopeMM3, c.material, c.envelope)
		}
		if c.as == AsShell && (l.RimDown == nil || r3.Norm(r3.Sub(*l.RimDown, r3.Vec{Z: -1})) > 0.01) {
			t.Errorf("%s stands on %v", c.name, l.RimDown)
		}
	}
}

// A hollow that is wound outward is one all the same, unless the maker says that
// the part is solid: rubber keeps out of 60·40·100 mm either way.
func TestHollowWoundOutward(t *testing.T) {
	inner := meshtest.Moved(meshtest.Box(40, 20, 80), r3.Vec{X: 10, Y: 10, Z: 10})
	path := scanOf(t, meshtest.Together(meshtest.Box(60, 40, 100), inner))
	for as, material := range map[string]float64{"": 240000 - 64000, AsHollow: 240000 - 64000, AsSolid: 240000} {
		l, err := load(t, Choices{Scan: path, Units: "mm", As: as})
		if err != nil {
			t.Errorf("as %q: %v", as, err)
			continue
		}
		if s := l.Scan; math.Abs(s.MaterialMM3-material) > 1 || math.Abs(s.EnvelopeMM3-240000) > 1 || (s.As == AsHollow) != (as != AsSolid) {
			t.Errorf("as %q: %s of %g in %g mm³, want %g in 240000", as, s.As, s.MaterialMM3, s.EnvelopeMM3, material)
		}
		said := false
		for _, f := range l.Findings {
			said = said || strings.Contains(f.Text, "closed hollow of 64.0 mL") && strings.Contains(f.Action, "--as solid")
		}
		if said != (as != AsSolid) {
			t.Errorf("as %q: said is %v: %+v", as, said, l.Findings)
		}
	}
}

func TestAsRefuses(t *testing.T) {
	ball := scanOf(t, meshtest.Icosphere(3).Scaled(50))
	for want, c := range map[string]Choices{
		"how thick the shell":       {As: AsShell},
		"no rim to stand on":        {As: AsShell, ShellMM: 3},
		"no hollow inside":          {As: AsHollow},
		"not said to be hollow":     {ShellMM: 3},
		"leaves no room inside":     {As: AsHollow, ShellMM: 60},
		"thinner than nothing":      {As: AsHollow, ShellMM: -1},
		`"glue" is not a mend`:      {Mend: []string{"glue"}},
		"cannot be mixed":           {Mend: []string{mesh.MendHole, "no-" + mesh.MendBase}},
		`table that is to be "burn`: {Table: "burn"},
	} {
		c.Scan, c.Units = ball, "mm"
		if _, err := load(t, c); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %q", c, err, want)
		}
	}
}

func TestMendChoice(t *testing.T) {
	only, err := Choices{Mend: []string{mesh.MendHole}}.mendChoice()
	if err != nil || !only.Makes(mesh.MendHole) || only.Makes(mesh.MendBase) {
		t.Errorf("only holes: %+v, %v", only, err)
	}
	but, err := Choices{Mend: []string{"no-" + mesh.MendHole}}.mendChoice()
	if err != nil || but.Makes(mesh.MendHole) || !but.Makes(mesh.MendBase) {
		t.Errorf("all but holes: %+v, %v", but, err)
	}
}

// A caliper that is off by 0.5 mm in 100 puts 1.5 % of the volume in doubt; a
// second side that is 4 % off counts in full.
func TestScaleDoubt(t *testing.T) {
	sides := [3]float64{100, 52, 40}
	for _, c := range []struct {
		c    Choices
		want float64
	}{
		{Choices{}, 0},
		{Choices{LongestMM: 100}, 0.015},
		{Choices{LongestMM: 100, CheckSide: 2, CheckLengthMM: 50}, 0.04},
		{Choices{LongestMM: 100, CheckSide: 2, CheckLengthMM: 52.1}, 0.015},
	} {
		if got := c.c.scaleDoubt(sides); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%+v: %g, want %g", c.c, got, c.want)
		}
	}
}

// Noise makes faces cut through each other, which is told but is no reason to
// build the scan anew: the volume of a noisy ball stays that of the ball.
func TestNoiseIsNotTangled(t *testing.T) {
	ball := meshtest.Icosphere(5).Scaled(50)
	rng := rand.New(rand.NewPCG(5, 6))
	noisy := &mesh.Mesh{Faces: ball.Faces}
	for _, v := range ball.Vertices {
		noisy.Vertices = append(noisy.Vertices, r3.Add(v, r3.Scale(1.2, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})))
	}
	c := Choices{Scan: scanOf(t, noisy), Units: "mm"}
	l, err := load(t, c)
	if err != nil {
		t.Fatal(err)
	}
	if err := l.LookCloser(context.Background(), c, nil); err != nil {
		t.Fatal(err)
	}
	s := l.Scan
	if l.Crossed == nil || s.NoiseMM == nil || math.Abs(*s.NoiseMM-1.2) > 0.2 {
		t.Errorf("crossed faces %v, noise %v; want some, about 1.2", l.Crossed != nil, s.NoiseMM)
	}
	if len(s.Mends) > 0 {
		t.Errorf("mended: %+v", s.Mends)
	}
	if want := 4 * math.Pi / 3 * 50 * 50 * 50; math.Abs(s.VolumeMM3-want) > s.VolumeErrorMM3+0.001*want {
		t.Errorf("volume %.0f ± %.0f, want %.0f", s.VolumeMM3, s.VolumeErrorMM3, want)
	}
}
