package analysis

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pourwright/analysis/finding"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// without returns m without the faces that drop names.
func without(m *mesh.Mesh, drop func(f int) bool) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices}
	for f, t := range m.Faces {
		if !drop(f) {
			out.Faces = append(out.Faces, t)
		}
	}
	return out
}

func load(t *testing.T, c Choices) (*Loaded, error) {
	t.Helper()
	return Load(context.Background(), c, nil)
}

// A block without its underside is closed by its plane, and the plan says so.
func TestLoadClosesTheUnderside(t *testing.T) {
	box := meshtest.Box(60, 40, 100)
	open := without(box, func(f int) bool { a, b, c := box.Corners(f); return a.Z+b.Z+c.Z == 0 })
	c := Choices{Scan: scanOf(t, open), Units: "mm"}
	l, err := load(t, c)
	if err != nil {
		t.Fatal(err)
	}
	s := l.Scan
	if math.Abs(s.VolumeMM3-240000) > s.VolumeErrorMM3 || s.VolumeErrorMM3 > 100 {
		t.Errorf("volume %g ± %g, want 240000", s.VolumeMM3, s.VolumeErrorMM3)
	}
	if s.Watertight || s.OpenLoops != 1 || len(s.Mends) != 1 || s.Mends[0].Kind != mesh.MendBase || math.Abs(s.Mends[0].AreaMM2-2400) > 1e-3 {
		t.Errorf("closed %v, %d loops, mends %+v; the scan had one opening of 2400 mm²", s.Watertight, s.OpenLoops, s.Mends)
	}
	if !slices.ContainsFunc(s.Problems, func(p Problem) bool { return p.Kind == mesh.KindOpenLoop }) {
		t.Errorf("problems %+v do not tell of the opening", s.Problems)
	}
	if !slices.ContainsFunc(l.Findings, func(f finding.Finding) bool {
		return f.Level == finding.Warn && strings.Contains(f.Text, "closed by its plane")
	}) {
		t.Errorf("findings %+v do not warn of the closed underside", l.Findings)
	}
	c.NoMend = true
	var refused *mesh.NotSolid
	if _, err := load(t, c); !errors.As(err, &refused) {
		t.Errorf("without mending: %v, want a refusal", err)
	}
}

// Where there is no table to cut off, that is said.
func TestLoadTellsOfNoTable(t *testing.T) {
	l, err := load(t, Choices{Scan: scanOf(t, meshtest.Box(60, 40, 100)), Units: "mm", Table: mesh.TableCut})
	if err != nil || !slices.Contains(l.Findings, noTable) {
		t.Errorf("%v; findings %+v", err, l)
	}
}

// Half a ball may be a solid that stood on the table, or a dome: the maker says.
func TestLoadAsksAboutADome(t *testing.T) {
	ball := meshtest.Icosphere(4).Scaled(50)
	dome := without(ball, func(f int) bool { a, b, c := ball.Corners(f); return a.Z+b.Z+c.Z < 0 })
	c := Choices{Scan: scanOf(t, dome), Units: "mm"}
	var asks interface{ Hint() string }
	if _, err := load(t, c); !errors.As(err, &asks) || !strings.Contains(asks.Hint(), "--as shell") || !strings.Contains(asks.Hint(), "--as solid") {
		t.Errorf("%v; want a question", err)
	}
	c.As = "jelly"
	if _, err := load(t, c); err == nil || !strings.Contains(err.Error(), "jelly") {
		t.Errorf("%v; want a refusal", err)
	}
	c.As = AsSolid
	l, err := load(t, c)
	if err != nil {
		t.Fatal(err)
	}
	// Half of 4/3·π·r³; the rim is ragged by an edge.
	if want := 2 * math.Pi / 3 * 50 * 50 * 50; math.Abs(l.Scan.VolumeMM3-want) > 0.05*want {
		t.Errorf("volume %g, want about %g", l.Scan.VolumeMM3, want)
	}
}

// Scraps beside a sound part are left out, and no reason to stop.
func TestLoadLeavesScrapsOut(t *testing.T) {
	speck := meshtest.Box(1, 1, 1)
	for i := range speck.Vertices {
		speck.Vertices[i].X += 80
	}
	l, err := load(t, Choices{Scan: scanOf(t, joined(meshtest.Box(60, 40, 100), speck, false)), Units: "mm"})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(l.Scan.VolumeMM3-240000) > 1 || len(l.Scan.Mends) != 1 || l.Scan.Mends[0].Kind != mesh.MendFloater {
		t.Errorf("volume %g, mends %+v; want 240000 and a scrap left out", l.Scan.VolumeMM3, l.Scan.Mends)
	}
	for _, f := range l.Findings {
		if f.Level == finding.Stop {
			t.Errorf("stops for %q", f.Text)
		}
	}
}
