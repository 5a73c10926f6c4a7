package analysis

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"pourwright/analysis/cast"
	"pourwright/analysis/finding"
	"pourwright/mesh/meshtest"
)

// What foam pushes on the shadow of the cavity is what the wall is pushed with, and
// the safety falls as boards get thinner: 18 mm of chipboard bear it, corrugated
// plastic, whose strength is not known, is said to need bracing.
func TestFoamPressesTheWalls(t *testing.T) {
	scan := scanOf(t, meshtest.Lathe([]r2.Vec{{}, {X: 45}, {X: 45, Y: 150}, {Y: 150}}, 90))
	last := math.Inf(1)
	for _, board := range []string{"melamine-18", "acrylic-6", "corrugated-4"} {
		c := Choices{Scan: scan, Units: "mm", Down: &[3]float64{0, 0, -1}, Board: board}
		p := castOf(t, c)
		f := p.Cast.Foam
		if len(f.Walls) != 4 {
			t.Fatalf("%s: walls %+v", board, f.Walls)
		}
		for _, w := range f.Walls {
			across := 1
			if strings.HasSuffix(w.Name, " end") {
				across = 0
			}
			if want := f.WallN[across] / cast.LidSafety; math.Abs(w.ForceN-want) > 1e-6*want {
				t.Errorf("%s, %s: %.3f N, the shadow takes %.3f", board, w.Name, w.ForceN, want)
			}
			if w.PushPa.Likely >= f.PressurePa.Likely {
				t.Errorf("%s, %s: %g Pa all over the wall, %g in the mold", board, w.Name, w.PushPa.Likely, f.PressurePa.Likely)
			}
		}
		w := f.Walls[0]
		told := false
		for _, x := range p.Findings {
			told = told || strings.Contains(x.Text, "the box that the rubber was poured in")
		}
		if told != (w.Verdict != "holds" || f.Walls[2].Verdict != "holds") {
			t.Errorf("%s: told %t of %+v", board, told, f.Walls)
		}
		if w.Safety == nil {
			if board != "corrugated-4" || w.Verdict == "holds" {
				t.Errorf("%s: %+v", board, w)
			}
			continue
		}
		if w.Safety.Likely >= last {
			t.Errorf("%s: safety %g after %g", board, w.Safety.Likely, last)
		}
		last = w.Safety.Likely
	}
}

// A board of known strength that hardly bears the rubber breaks under the foam, and
// the maker is warned.
func TestFoamBreaksAWeakWall(t *testing.T) {
	own := filepath.Join(t.TempDir(), "own.toml")
	const weak = `[board.card]
name = "thin card"
thickness_mm = 3
density_g_cm3 = { low = 0.6, likely = 0.7, high = 0.8 }
young_gpa = { low = 2, likely = 2.5, high = 3 }
poisson = 0.3
strength_mpa = { low = 0.5, likely = 1, high = 1.5 }
basis = "invented for this test"
`
	if err := os.WriteFile(own, []byte(weak), 0o600); err != nil {
		t.Fatal(err)
	}
	c := Choices{Scan: scanOf(t, meshtest.Cylinder(90, 45, 150)), Units: "mm", Down: &[3]float64{0, 0, -1}, Shelf: own, Board: "card"}
	p := castOf(t, c)
	for _, w := range p.Cast.Foam.Walls {
		if w.Verdict != burst {
			t.Errorf("%+v", w)
		}
	}
	if !slices.ContainsFunc(p.Findings, func(f finding.Finding) bool {
		return f.Level == finding.Warn && strings.Contains(f.Text, "would break the box")
	}) {
		t.Errorf("findings %+v", p.Findings)
	}
}

// castOf asks for the cast alone.
func castOf(t *testing.T, c Choices) *Plan {
	t.Helper()
	l, err := Load(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := AskFor(context.Background(), l, c, AskCast, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
