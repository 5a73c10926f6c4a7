package picture

import (
	"bytes"
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/mesh"
	"pourwright/render/say"
)

func filled(t testing.TB, m *mesh.Mesh, p *analysis.Plan, pockets Pockets, show say.Style) *filling {
	t.Helper()
	f, err := drawFilling(context.Background(), m, p, pockets, show)
	if err != nil {
		t.Fatal(err)
	}
	kept(t, t.Name()+"-"+p.Name, f.canvas)
	return f
}

// trapsAt is a plan with traps at places of the surface, every second vented.
func trapsAt(p *analysis.Plan, m *mesh.Mesh, n int) {
	p.CastTrap, p.RubberTrap = nil, nil
	for i := range n {
		v := m.Vertices[(i*len(m.Vertices)/max(n, 1)+3)%len(m.Vertices)]
		at := [3]float64{v.X, v.Y, v.Z}
		trap := analysis.Trap{AtMM: at, SpillMM: v.Z * 0.8, VolumeMM3: 1000 * float64(n-i), PersistenceMM: 0.2 * v.Z}
		p.RubberTrap = append(p.RubberTrap, trap)
		trap.SpillMM = v.Z * 1.1
		if i%2 == 0 {
			trap.Vent = &analysis.Vent{FromMM: at, ToMM: [3]float64{v.X, v.Y, 0}, DiameterMM: 4}
		}
		p.CastTrap = append(p.CastTrap, trap)
	}
}

func TestFillingLabelsKeepClear(t *testing.T) {
	for i, shape := range shapes {
		t.Run(shape.name, func(t *testing.T) {
			m, p := shaped(t, shape.mesh, 0.1*float64(i%2), 0)
			p.Name = shape.name
			trapsAt(p, m, []int{0, 1, 7}[i%3])
			f := filled(t, m, p, Pockets{}, []say.Style{say.Both, say.Inch}[i%2])
			textsAreClear(t, f.canvas)
			if f.scale*f.s.size < 300 {
				t.Errorf("the block is only %.0f px from corner to corner", f.scale*f.s.size)
			}
		})
	}
}

// The bell's page, pixel by pixel where it matters.
func TestFillingOfABell(t *testing.T) {
	m, p, pockets := bell(t)
	p.Findings = []finding.Finding{
		{Question: "airtrap", AtMM: &[3]float64{1, 2, 3}, Action: "Something else."},
		{Question: "airtrap", AtMM: &p.RubberTrap[0].AtMM, Action: "Brush the first rubber into it."},
	}
	f := filled(t, m, p, pockets, say.Metric)
	textsAreClear(t, f.canvas)
	v := f.panels[rubberRises].view
	if f.panels[rubberRises].level != 20 {
		t.Errorf("drawn at %g mm, want the spill level", f.panels[rubberRises].level)
	}
	for _, c := range []struct {
		t, z float64
		want tint
	}{{-10, 30, trapped}, {12, 65, trapped}, {-48, 8, rubberIn}, {-48, 60, backWall}} {
		at := v.cam.at(v.at(c.t, c.z))
		have := f.canvas.img.RGBAAt(int(at.X), int(at.Y))
		if !near(tint{float64(have.R) / 255, float64(have.G) / 255, float64(have.B) / 255}, c.want) {
			t.Errorf("at %g, %g: have %v, want %v", c.t, c.z, have, c.want.opaque())
		}
	}
	words := wordsOf(f.panels[rubberRises].remarks)
	for _, want := range []string{"stands at 20 mm", "141 mL of air, 50 mm high", "Brush the first rubber into it."} {
		if !strings.Contains(words, want) {
			t.Errorf("%q does not say %q", words, want)
		}
	}
	if words := wordsOf(f.panels[castRises].remarks); !strings.Contains(words, "No air is trapped") {
		t.Errorf("casting: %q", words)
	}
	if have, want := f.verdict(), "The rubber traps air in 1 place. None is trapped when you cast."; have != want {
		t.Errorf("verdict %q", have)
	}
}

func wordsOf(all []remark) string {
	var lines []string
	for _, r := range all {
		lines = append(lines, r.lines...)
	}
	return strings.Join(lines, " ")
}

func TestQuantitiesStayWhole(t *testing.T) {
	faces := newTypefaces()
	const text = "When the material is 52 mm (2 1/16 in) below the spout's rim, it closes off 27.8 mL (1.7 in³) of air, 3 1/4 in high, at 104 mm (4 1/8 in)."
	for room := 240.0; room < 900; room += 7 {
		lines := faces.quantified(normal, text, room, 20)
		if have := strings.Join(lines, " "); have != text {
			t.Fatalf("%g px: have %q", room, have)
		}
		for _, l := range lines {
			for _, whole := range []string{"52 mm", "(2 1/16 in)", "27.8 mL", "(1.7 in³)", "3 1/4 in", "(4 1/8 in)"} {
				first, _, _ := strings.Cut(whole, " ")
				if strings.HasSuffix(l, first) && strings.Contains(whole, " ") && !strings.HasSuffix(text, l) {
					t.Errorf("%g px: %q is broken after %q", room, whole, l)
				}
			}
		}
	}
}

func TestSameFillingTwice(t *testing.T) {
	m, p, pockets := bell(t)
	a, b := filled(t, m, p, pockets, say.Both), filled(t, m, p, pockets, say.Both)
	if !bytes.Equal(a.canvas.img.Pix, b.canvas.img.Pix) {
		t.Error("two pictures of one plan differ")
	}
}

func TestFillingRefuses(t *testing.T) {
	m, p, pockets := bell(t)
	if _, err := Filling(context.Background(), &mesh.Mesh{}, p, pockets, Options{}); err == nil {
		t.Error("no faces passed")
	}
	if _, err := Filling(context.Background(), m, nil, pockets, Options{}); err == nil {
		t.Error("no plan passed")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Filling(ctx, m, p, pockets, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("have %v, want it to stop", err)
	}
	if _, err := Film(ctx, m, p, pockets, Options{}, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("film: have %v, want it to stop", err)
	}
}

// Without anything trapped, both pours are drawn in one plane, and well begun.
func TestNothingTrapped(t *testing.T) {
	m, p := planned(t, vase(120, 200, 120), job{name: "vase", clearance: 16, spout: 40})
	f := filled(t, m, p, Pockets{}, say.Both)
	a, b := f.panels[0], f.panels[1]
	if a.cut.along != b.cut.along {
		t.Error("two planes")
	}
	if a.level < 50 || a.level > f.s.block.Max.Z || b.level > 150 || b.level < 20 || math.IsNaN(b.level) {
		t.Errorf("drawn at %.0f and %.0f mm", a.level, b.level)
	}
	if have := f.verdict(); have != "No air is trapped as the rubber rises. None is trapped when you cast." {
		t.Errorf("verdict %q", have)
	}
}

func BenchmarkFilling(b *testing.B) {
	m, p, pockets := bell(b)
	for b.Loop() {
		if _, err := Filling(context.Background(), m, p, pockets, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
