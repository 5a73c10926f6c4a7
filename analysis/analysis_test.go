package analysis

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/airtrap"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
	"pourwright/samples"
)

// goblet is a prop of closed form: a foot, a stem and an open bowl, all turned,
// in mm; its hollow traps air one way up.
func goblet() *mesh.Mesh {
	return meshtest.Lathe([]r2.Vec{
		{}, {X: 30}, {X: 30, Y: 6}, {X: 16, Y: 10}, {X: 16, Y: 60}, {X: 34, Y: 80}, {X: 34, Y: 120},
		{X: 28, Y: 120}, {X: 28, Y: 84}, {Y: 84},
	}, 96)
}

func scanOf(t *testing.T, m *mesh.Mesh) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "goblet.stl")
	if err := mesh.WriteSTL(path, m, "goblet"); err != nil {
		t.Fatal(err)
	}
	return path
}

func planOf(t *testing.T, c Choices) *Plan {
	t.Helper()
	l, err := Load(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Ask(context.Background(), l, c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// balanced checks the laws that hold in every plan.
func balanced(t *testing.T, p *Plan) {
	t.Helper()
	text, err := json.Marshal(p) // fails on NaN and infinity
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(text), `"why":""`) {
		t.Error("a choice has no reason")
	}
	r, b := p.Rubber, p.Box
	bulge := 0.0
	if r.BulgeMM3 != nil {
		bulge = *r.BulgeMM3
	}
	if got := r.NetMM3 + r.DisplacedMM3; math.Abs(got-r.BoxVolumeMM3-bulge) > 1e-9*r.BoxVolumeMM3 {
		t.Errorf("rubber %g and displaced %g do not fill the box's %g and its bulge of %g", r.NetMM3, r.DisplacedMM3, r.BoxVolumeMM3, bulge)
	}
	if got := b.FloorMM2 * b.RubberLevelMM; math.Abs(got-r.BoxVolumeMM3) > 1e-9*got {
		t.Errorf("box volume %g, sides give %g", r.BoxVolumeMM3, got)
	}
	if v := p.Bow.Verdict; v != "holds" && (v != "brace" || p.Bow.Bracing == nil) {
		t.Errorf("would the box hold? %q, bracing %+v", v, p.Bow.Bracing)
	}
	if h := p.Hold; len(h.Pins) == 0 && h.Bar == nil && h.GlueAreaMM2 == nil && h.NetLiftN > 0 && !slices.ContainsFunc(h.Kinds, func(k HoldKind) bool { return k.Chosen }) {
		t.Errorf("nothing holds the pattern down: %+v", h)
	}
	sum := 0.0
	for _, batch := range r.Batches {
		sum += batch.TotalG
	}
	if math.Abs(sum-r.MassG) > 1e-6 || r.LowG > r.MassG || r.HighG < r.NetMM3*r.DensityGPerCM3/1000 {
		t.Errorf("batches give %g g of %g (%g to %g)", sum, r.MassG, r.LowG, r.HighG)
	}
	if p.Cast.CavityMM3 < p.Scan.VolumeMM3 || r.DisplacedMM3 < p.Scan.VolumeMM3*(1-1e-9) {
		t.Errorf("cavity %g and displaced %g are to hold the pattern's %g", p.Cast.CavityMM3, r.DisplacedMM3, p.Scan.VolumeMM3)
	}
	if len(p.Basis) == 0 || len(p.Cautions) == 0 || p.Scan.VolumeErrorMM3 <= 0 {
		t.Error("basis, cautions or the error of the volume is missing")
	}
}

func TestPlanOfGoblet(t *testing.T) {
	m := goblet()
	p := planOf(t, Choices{Scan: scanOf(t, m), Units: "mm"})
	balanced(t, p)
	// Frusta of the polygon's area: n/2·sin(2π/n)·h·(r₀² + r₀r₁ + r₁²)/3 each.
	k := 48 * math.Sin(2*math.Pi/96)
	frustum := func(r0, r1, h float64) float64 { return k * h * (r0*r0 + r0*r1 + r1*r1) / 3 }
	want := frustum(30, 30, 6) + frustum(30, 16, 4) + frustum(16, 16, 50) + frustum(16, 34, 20) + frustum(34, 34, 40) - frustum(28, 28, 36)
	if math.Abs(p.Scan.VolumeMM3-want) > 1e-5*want { // 32-bit coordinates
		t.Errorf("volume %g, want %g", p.Scan.VolumeMM3, want)
	}
	if got := p.Stand.HeightMM; math.Abs(got-120) > 1 || p.Stand.StemMM != 0 {
		t.Errorf("stands %g mm high with a stem of %g mm, want 120 on its foot", got, p.Stand.StemMM)
	}
	if len(p.RubberTrap) != 0 {
		t.Errorf("upright the bowl fills from above, but traps %+v", p.RubberTrap)
	}
	if len(p.Stand.Alternatives) != 4 || p.Stand.Searched < 500 {
		t.Errorf("%d alternatives of %d directions", len(p.Stand.Alternatives), p.Stand.Searched)
	}
	if len(p.Cut.Outline) == 0 || p.Cut.AreaMM2 <= 0 {
		t.Errorf("cut has %d loops and %g mm²", len(p.Cut.Outline), p.Cut.AreaMM2)
	}
}

// Upside down, the bowl traps the rubber's air: its hollow, by closed form.
func TestGivenDown(t *testing.T) {
	p := planOf(t, Choices{Scan: scanOf(t, goblet()), Units: "mm", Down: &[3]float64{0, 0, 2}})
	balanced(t, p)
	want := 48 * math.Sin(2*math.Pi/96) * 28 * 28 * 36
	if len(p.RubberTrap) != 1 || math.Abs(p.RubberTrap[0].VolumeMM3-want) > 1e-4*want {
		t.Fatalf("got traps %+v, want one of %g mm³", p.RubberTrap, want)
	}
	if p.Stand.Chosen != "down" || p.Stand.Down != [3]float64{0, 0, 1} {
		t.Errorf("stands %q with %v down", p.Stand.Chosen, p.Stand.Down)
	}
}

// The plan goes with the part, wherever the scanner put it.
func TestTurnedScanGivesTheSamePlan(t *testing.T) {
	m := goblet()
	pose := mesh.PoseDown(r3.Unit(r3.Vec{X: 2, Y: -1, Z: 1}))
	pose.T = r3.Vec{X: 120, Y: -80, Z: 250}
	a, b := planOf(t, Choices{Scan: scanOf(t, m), Units: "mm"}), planOf(t, Choices{Scan: scanOf(t, m.Posed(pose)), Units: "mm"})
	near := func(what string, x, y, tol float64) {
		t.Helper()
		if math.Abs(x-y) > tol*math.Abs(x) {
			t.Errorf("%s: %g, and %g when turned", what, x, y)
		}
	}
	near("volume", a.Scan.VolumeMM3, b.Scan.VolumeMM3, 1e-5)
	near("longest side", a.Scan.TightestBoxMM[0], b.Scan.TightestBoxMM[0], 0.01)
	near("score", a.Stand.Score, b.Stand.Score, 0.02)
	near("rubber", a.Rubber.MassG, b.Rubber.MassG, 0.05)
}

func TestMoreClearanceNeverLessRubber(t *testing.T) {
	path := scanOf(t, goblet())
	last := 0.0
	for _, mm := range []float64{8, 10, 13, 19, 30} {
		p := planOf(t, Choices{Scan: path, Units: "mm", ClearanceMM: &mm})
		balanced(t, p)
		if p.Rubber.NetMM3 < last {
			t.Errorf("clearance %g mm takes %g mm³, less than a smaller one", mm, p.Rubber.NetMM3)
		}
		last = p.Rubber.NetMM3
	}
}

func TestSamePlanTwice(t *testing.T) {
	c := Choices{Scan: scanOf(t, goblet()), Units: "mm"}
	a, _ := json.Marshal(planOf(t, c))
	b, _ := json.Marshal(planOf(t, c))
	if string(a) != string(b) {
		t.Error("two runs on one scan differ")
	}
}

func TestCallOff(t *testing.T) {
	c := Choices{Scan: scanOf(t, goblet()), Units: "mm"}
	l, err := Load(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	_, err = Ask(ctx, l, c, func(stage string, done, total int64) {
		if stage == "choosing which way up" && done > 20 {
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want %v", err, context.Canceled)
	}
}

func TestRefusals(t *testing.T) {
	path := scanOf(t, goblet())
	for _, c := range []struct {
		name    string
		choices Choices
		says    string
	}{
		{"unknown unit", Choices{Scan: path, Units: "furlong"}, "furlong"},
		{"too large", Choices{Scan: path, Units: "m"}, "120 m long"},
		{"too small", Choices{Scan: path, LongestMM: 0.001}, "--longest"},
		{"unknown rubber", Choices{Scan: path, Units: "mm", Rubber: "tin-99"}, "tin-99"},
		{"unknown casting", Choices{Scan: path, Units: "mm", Casting: "plaster"}, "plaster"},
		{"no direction", Choices{Scan: path, Units: "mm", Down: &[3]float64{}}, "--down"},
		{"no file", Choices{Scan: path + ".gone"}, "gone"},
	} {
		l, err := Load(context.Background(), c.choices, nil)
		if err == nil {
			_, err = Ask(context.Background(), l, c.choices, nil)
		}
		var hinted interface {
			error
			Hint() string
		}
		if !errors.As(err, &hinted) || hinted.Hint() == "" || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %v, want a hint and %q", c.name, err, c.says)
		}
	}
}

func TestGuessUnits(t *testing.T) {
	for _, c := range []struct {
		longest float64
		name    string
		doubt   bool // other units would do as well
	}{
		{412, "mm", false}, {60, "mm", true}, {0.412, "m", false}, {1.2, "m", false}, {16.2, "in", true}, {39, "in", true}, {1e5, "mm", false},
	} {
		u := guessUnits(c.longest, mesh.Source{})
		if u.name != c.name || (u.findings[0].Level == "warn") != c.doubt {
			t.Errorf("%g units long: taken as %s (%s), want %s, doubtful %v", c.longest, u.name, u.findings[0].Text, c.name, c.doubt)
		}
	}
}

func TestLongest(t *testing.T) {
	path := scanOf(t, goblet())
	c := Choices{Scan: path, LongestMM: 240, Units: "mm"}
	l, err := Load(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := l.Scan.TightestBoxMM[0]; math.Abs(got-240) > 1e-9 || l.Scan.UnitsFrom != "longest" {
		t.Errorf("longest side %g from %q, want 240 from longest", got, l.Scan.UnitsFrom)
	}
	if l.Findings[0].Level != "warn" {
		t.Errorf("units that disagree with the caliper pass with %q", l.Findings[0].Text)
	}
}

// What the samples are known to be, and that a vent at a trap's top frees it.
func TestPlansOfSamples(t *testing.T) {
	if testing.Short() {
		t.Skip("plans of all samples")
	}
	for _, fact := range samples.All() {
		t.Run(fact.File, func(t *testing.T) {
			c := Choices{Scan: filepath.Join("..", "samples", fact.File), Units: "mm"}
			p := planOf(t, c)
			balanced(t, p)
			if math.Abs(p.Scan.TightestBoxMM[0]-fact.LongestMM) > 1 {
				t.Errorf("longest side %.2f mm, want %.2f", p.Scan.TightestBoxMM[0], fact.LongestMM)
			}
			if fact.VolumeMM3 > 0 && math.Abs(p.Scan.VolumeMM3/fact.VolumeMM3-1) > fact.VolumeTolerance {
				t.Errorf("volume %.0f mm³, want %.0f", p.Scan.VolumeMM3, fact.VolumeMM3)
			}
			for _, d := range fact.Detail {
				if gap := r3.Norm(r3.Sub(d.Centre, vec(p.Stand.SpoutMM))); gap < d.RadiusMM {
					t.Errorf("the spout sits in %s", d.What)
				}
			}
			ventsFree(t, c, p)
		})
	}
}

// ventsFree opens the cavity at each trap's top: that trap must be gone.
func ventsFree(t *testing.T, c Choices, p *Plan) {
	t.Helper()
	l, err := Load(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	posed := p.Posed(l.Solid)
	s := airtrap.NewSurface(posed.Mesh)
	in := airtrap.Input{Domain: airtrap.Inside, Up: r3.Vec{Z: -1}, PersistenceMM: airtrap.DefaultPersistenceMM, VolumeMM3: airtrap.DefaultVolumeMM3}
	for v, q := range posed.Vertices {
		if q.Z < p.Stand.StemMM+0.5 && math.Hypot(q.X-p.Cut.PointMM[0], q.Y-p.Cut.PointMM[1]) < p.Stand.SpoutDiameterMM/2 {
			in.Open = append(in.Open, int32(v))
		}
	}
	shut, err := airtrap.Find(s, in)
	if err != nil {
		t.Fatal(err)
	}
	for _, trap := range shut {
		in.Open = append(in.Open, trap.Vertex)
	}
	freed, err := airtrap.Find(s, in)
	if err != nil {
		t.Fatal(err)
	}
	if len(freed) != 0 {
		t.Errorf("%d traps, and with a vent at the top of each still %+v", len(shut), freed)
	}
}
