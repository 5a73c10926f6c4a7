package bow_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"pourwright/analysis/bow"
	"pourwright/lawtest"
)

// drawWall draws a wall that stands: sides and foot held somehow.
func drawWall(t *rapid.T) bow.Wall {
	width, height := rapid.Float64Range(60, 800).Draw(t, "width"), rapid.Float64Range(60, 500).Draw(t, "height")
	edge := func(name string, holds ...bow.Hold) bow.Edge {
		e := bow.Edge{Hold: rapid.SampledFrom(holds).Draw(t, name)}
		if e.Hold == bow.Elastic {
			e.TurnN = math.Pow(10, rapid.Float64Range(0, 5).Draw(t, name+" spring"))
		}
		return e
	}
	w := bow.Wall{
		WidthMM: width, HeightMM: height, LevelMM: height * rapid.Float64Range(0.2, 1).Draw(t, "level"), DensityGPerCM3: 1.13,
		Plate: bow.Grained(
			math.Pow(10, rapid.Float64Range(0.5, 3.5).Draw(t, "dx")), math.Pow(10, rapid.Float64Range(0.5, 3.5).Draw(t, "dy")),
			rapid.Float64Range(0, 0.4).Draw(t, "poisson"), rapid.Float64Range(2, 20).Draw(t, "thickness")),
		Edges: bow.Edges{
			Left:   edge("left", bow.Supported, bow.Clamped, bow.Elastic, bow.Free),
			Right:  edge("right", bow.Supported, bow.Clamped, bow.Elastic),
			Bottom: edge("bottom", bow.Supported, bow.Clamped, bow.Elastic),
			Top:    edge("top", bow.Free, bow.Free, bow.Supported),
		},
	}
	if rapid.Bool().Draw(t, "soft core") {
		w.Plate.ShearNPerM = math.Pow(10, rapid.Float64Range(3.5, 5).Draw(t, "shear"))
	}
	for i := range rapid.IntRange(0, 2).Draw(t, "lines") {
		w.Lines = append(w.Lines, drawLine(t, fmt.Sprint("line ", i), w))
	}
	return w
}

func drawLine(t *rapid.T, name string, w bow.Wall) bow.Line {
	l := bow.Line{Upright: rapid.IntRange(0, 3).Draw(t, name+" upright") == 0}
	side := w.HeightMM
	if l.Upright {
		side = w.WidthMM
	}
	l.AtMM = side * rapid.Float64Range(0, 1).Draw(t, name+" at")
	strength := math.Pow(10, rapid.Float64Range(0, 4).Draw(t, name+" strength"))
	switch rapid.IntRange(0, 2).Draw(t, name+" kind") {
	case 0:
		l.SpringPa = 100 * strength
	case 1:
		l.BendNM2 = strength
	default:
		l.PullN = strength
	}
	return l
}

func bend2(t *rapid.T, w bow.Wall) bow.Bent {
	b, err := bow.Bend(w)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Reactions add up to the force; bracing never adds to the work of the rubber;
// a thicker board and a lighter rubber never bow more; a wall seen from inside
// bows alike; size s times larger in everything bows s² times as much.
func TestLaws(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		w := drawWall(t)
		b := bend2(t, w)
		if force := 0.5 * 1130 * bow.GravityMPerS2 * w.LevelMM * w.LevelMM * w.WidthMM / 1e9; math.Abs(b.ForceN/force-1) > 1e-9 {
			t.Fatalf("force %v, want %v", b.ForceN, force)
		}
		if off := b.Reactions.Sum()/b.ForceN - 1; math.Abs(off) > 1e-6 {
			t.Fatalf("reactions add up to the force × (1 %+.1e)", off)
		}
		if !(b.WorkNM > 0) || !(b.BulgeMM3 > 0) {
			t.Fatalf("work %v, bulge %v", b.WorkNM, b.BulgeMM3)
		}
		laws := []func(*rapid.T, bow.Wall, bow.Bent){checkBraced, checkThicker, checkMirror, checkScale}
		laws[rapid.IntRange(0, len(laws)-1).Draw(t, "law")](t, w, b)
	})
}

func checkBraced(t *rapid.T, w bow.Wall, b bow.Bent) {
	with := func(l bow.Line) float64 {
		braced := w
		braced.Lines = append([]bow.Line{l}, w.Lines...)
		return bend2(t, braced).WorkNM
	}
	line := drawLine(t, "added", w)
	work, nothing := with(line), with(bow.Line{Upright: line.Upright, AtMM: line.AtMM})
	if work > nothing*(1+1e-9) {
		t.Fatalf("work %v with bracing, %v without", work, nothing)
	}
	// A line of nothing only adds a function to the solver, which finds the work of a
	// wall that is hardly wet less well.
	most := 2e-3
	if w.LevelMM < 0.4*w.HeightMM {
		most = 5e-3
	}
	if math.Abs(nothing/b.WorkNM-1) > most {
		t.Fatalf("work %v with a line of nothing, %v without", nothing, b.WorkNM)
	}
}

func checkThicker(t *rapid.T, w bow.Wall, b bow.Bent) {
	f := rapid.Float64Range(1, 2).Draw(t, "thicker")
	thick := w
	p := &thick.Plate
	p.DxNM, p.DyNM, p.D1NM, p.D66NM = p.DxNM*f*f*f, p.DyNM*f*f*f, p.D1NM*f*f*f, p.D66NM*f*f*f
	p.ThicknessMM *= f
	p.ShearNPerM *= f
	if more := bend2(t, thick); more.WorkNM > b.WorkNM*(1+1e-7) {
		t.Fatalf("%v times as thick: work %v after %v", f, more.WorkNM, b.WorkNM)
	}
}

func checkMirror(t *rapid.T, w bow.Wall, b bow.Bent) {
	m := w
	m.Edges.Left, m.Edges.Right = w.Edges.Right, w.Edges.Left
	m.Lines = nil
	for _, l := range w.Lines {
		if l.Upright {
			l.AtMM = w.WidthMM - l.AtMM
		}
		m.Lines = append(m.Lines, l)
	}
	o := bend2(t, m)
	close := func(a, b float64) bool { return math.Abs(a-b) <= 1e-5*(math.Abs(a)+math.Abs(b))+1e-9 }
	if !close(o.DeflectionMM, b.DeflectionMM) || !close(o.BulgeMM3, b.BulgeMM3) || !close(o.Reactions.Bottom, b.Reactions.Bottom) {
		t.Fatalf("mirrored wall: %v, %v; %v, %v", o.DeflectionMM, b.DeflectionMM, o.BulgeMM3, b.BulgeMM3)
	}
}

func checkScale(t *rapid.T, w bow.Wall, b bow.Bent) {
	const f = 1.7
	s := w
	s.WidthMM, s.HeightMM, s.LevelMM = f*w.WidthMM, f*w.HeightMM, f*w.LevelMM
	p := &s.Plate
	p.DxNM, p.DyNM, p.D1NM, p.D66NM = p.DxNM*f*f*f, p.DyNM*f*f*f, p.D1NM*f*f*f, p.D66NM*f*f*f
	p.ThicknessMM *= f
	p.ShearNPerM *= f
	for _, e := range []*bow.Edge{&s.Edges.Left, &s.Edges.Right, &s.Edges.Bottom, &s.Edges.Top} {
		e.TurnN *= f * f
	}
	s.Lines = nil
	for _, l := range w.Lines {
		l.AtMM, l.BendNM2, l.PullN = f*l.AtMM, f*f*f*f*l.BendNM2, f*f*l.PullN
		s.Lines = append(s.Lines, l)
	}
	if o := bend2(t, s); math.Abs(o.DeflectionMM/b.DeflectionMM/f/f-1) > 1e-5 {
		t.Fatalf("%v times as large: %v mm after %v mm", f, o.DeflectionMM, b.DeflectionMM)
	}
}

// A higher level never makes the walls hold less.
func TestHigherLevelNeverLessBulge(t *testing.T) {
	for _, code := range []string{"SSSF", "CCCF", "SSSS", "CSCF", "FFCF"} {
		for _, aspect := range []float64{0.4, 1, 2.5} {
			last, lastWork := 0.0, 0.0
			for level := 0.1; level < 1.05; level += 0.1 {
				w := unitWall(aspect, 0.3, code)
				w.LevelMM = 1000 * math.Min(level, 1)
				s := bend(t, w)
				if s.BulgeMM3 <= last || s.WorkNM <= lastWork {
					t.Errorf("%s aspect %v level %.2f: bulge %v after %v", code, aspect, level, s.BulgeMM3, last)
				}
				last, lastWork = s.BulgeMM3, s.WorkNM
			}
		}
	}
}

// The peak of a board of the same make, thicker, over the limit where it
// counts as a tenth of its span.
func TestThickerNeverBowsMore(t *testing.T) {
	last := math.Inf(1)
	for thick := 2.0; thick <= 40; thick++ {
		s := bend(t, bow.Wall{
			WidthMM: 300, HeightMM: 200, LevelMM: 188, Plate: bow.Isotropic(3e9, 0.3, thick), Edges: edges("SSSF"), DensityGPerCM3: 1.13,
		})
		if s.DeflectionMM > last*(1+1e-9) {
			t.Errorf("%v mm bows %v mm, thinner %v", thick, s.DeflectionMM, last)
		}
		if want := math.Min(thick, 20); s.CountedThickMM != want {
			t.Errorf("%v mm counts as %v mm, want %v", thick, s.CountedThickMM, want)
		}
		last = s.DeflectionMM
	}
}

// A level that is not there bows nothing.
func TestEmptyBox(t *testing.T) {
	w := unitWall(1, 0.3, "SSSF")
	w.LevelMM = 0
	s := bend(t, w)
	if s.DeflectionMM != 0 || s.BulgeMM3 != 0 || s.ForceN != 0 || s.Reactions.Sum() != 0 {
		t.Errorf("empty: %+v", s.Bent)
	}
}

// What lines bear is summed exactly where other lines cross them: a strut on a soft
// core, and a batten over it, give the wall kinks along both.
func TestLinesThatCrossBearTheForce(t *testing.T) {
	for _, at := range []float64{36, 45, 52} {
		w := bow.Wall{
			WidthMM: 60, HeightMM: 60, LevelMM: 60, DensityGPerCM3: 1.13, Plate: bow.Sandwich(10, 0.4, 3162, 2), Edges: edges("CCCF"),
			Lines: []bow.Line{{Upright: true, AtMM: 30, SpringPa: 31623}, {AtMM: at, BendNM2: 10}},
		}
		b := bend(t, w)
		if off := b.Reactions.Sum()/b.ForceN - 1; math.Abs(off) > 1e-9 {
			t.Errorf("batten at %v mm: reactions add up to the force × (1 %+.1e)", at, off)
		}
	}
}
