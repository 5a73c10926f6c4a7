package bow_test

import (
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pourwright/analysis/bow"
	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

func between(low, likely, high float64) shelf.Range {
	return shelf.Range{Low: low, Likely: likely, High: high}
}

func exactly(v float64) shelf.Range { return between(v, v, v) }

// Box materials: stiffness of foam board computed from faces of 0.2 to 0.25 mm
// paper, moduli and strengths of the others from memory of wood and plastics
// handbooks.
var (
	foamBoard = shelf.Board{
		Name: "foam board, 5 mm", ThicknessMM: 5, Poisson: 0.25,
		BendNM: between(4, 9, 15), ShearNPerM: between(1e4, 2e4, 3e4),
	}
	acrylic = shelf.Board{
		Name: "acrylic sheet, 6 mm", ThicknessMM: 6, Poisson: 0.37,
		YoungPa: between(2.8e9, 3e9, 3.2e9), StrengthPa: between(60e6, 80e6, 100e6),
	}
	plywood = shelf.Board{
		Name: "plywood, 12 mm", ThicknessMM: 12, Poisson: 0.2,
		YoungPa: between(5e9, 7e9, 10e9), YoungUpPa: between(2e9, 3.5e9, 5e9), StrengthPa: between(20e6, 35e6, 50e6),
	}
	chipboard = shelf.Board{
		Name: "melamine-faced chipboard, 18 mm", ThicknessMM: 18, Poisson: 0.25,
		YoungPa: between(2e9, 2.5e9, 3.5e9), StrengthPa: between(10e6, 13e6, 16e6),
	}
)

func boxOf(board shelf.Board, length, width, height float64, joint bow.Joint) bow.Box {
	return bow.Box{
		Walls: bow.Rectangle(length, width), HeightMM: height, LevelMM: height - 12,
		DensityGPerCM3: between(1.10, 1.13, 1.16), Board: board, Corners: joint, Foot: joint,
		FreeAreaMM2: 0.7 * length * width,
	}
}

func bowOf(t testing.TB, b bow.Box) bow.BoxBow {
	t.Helper()
	r, err := b.Bow()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Four walls of 6 mm plywood, 300 × 250 mm under 1.13 g/cm³ to the top,
// supported but for the top: 17.8 mL each; with 0.06 m² open the level falls by
// their sum over it. Supported all round 6.956 mL each make 0.46 mm. (Computed
// for this project by separate programs.)
func TestLevelDropOfAWorkedBox(t *testing.T) {
	b := boxOf(shelf.Board{Name: "plywood, 6 mm", ThicknessMM: 6, Poisson: 0.3, YoungPa: exactly(7e9), Creep: exactly(1)}, 300, 300, 250, bow.Taped)
	b.LevelMM, b.DensityGPerCM3, b.FreeAreaMM2 = 250, exactly(1.13), 60_000
	r := bowOf(t, b)
	relative(t, "bulge", r.BulgeMM3.Likely, 4*17_800, 5e-3)
	relative(t, "drop", r.LevelDropMM.Likely, r.BulgeMM3.Likely/60_000, 1e-12)
	relative(t, "deflection", r.Walls[0].DeflectionMM.Likely, 0.564, 2e-3)
	relative(t, "low is high where nothing is spread", r.BulgeMM3.Low, r.BulgeMM3.High, 1e-12)

	wall := bow.Wall{
		WidthMM: 300, HeightMM: 250, LevelMM: 250, Plate: bow.Isotropic(7e9, 0.3, 6), Edges: edges("SSSS"), DensityGPerCM3: 1.13,
	}
	if drop := 4 * bend(t, wall).BulgeMM3 / 60_000; math.Abs(drop-0.46) > 0.005 {
		t.Errorf("supported all round the level falls by %.3f mm, want 0.46", drop)
	}
}

// When the level falls by more than a hundredth, the bulge under the level that
// is left must be what has left the open area. Asked again of Bend alone.
func TestLevelDropIsASolution(t *testing.T) {
	b := boxOf(acrylic, 320, 260, 262, bow.Taped)
	b.Board.YoungPa, b.Board.Creep, b.DensityGPerCM3 = exactly(3e9), exactly(1.5), exactly(1.13)
	b.FreeAreaMM2 = 30_000
	r := bowOf(t, b)
	drop := r.LevelDropMM.Likely
	if drop < 0.01*b.LevelMM {
		t.Fatalf("a drop of %v mm is not worth the question", drop)
	}
	var bulge float64
	for _, side := range b.Walls {
		w, err := bow.Bend(bow.Wall{
			WidthMM: side.WidthMM, HeightMM: b.HeightMM, LevelMM: b.LevelMM - drop,
			Plate: bow.Isotropic(3e9, 0.37, 6), Edges: edges("SSSF"), DensityGPerCM3: 1.13,
		})
		if err != nil {
			t.Fatal(err)
		}
		bulge += 1.5 * w.BulgeMM3
	}
	relative(t, "bulge under the fallen level", bulge, drop*b.FreeAreaMM2, 1e-3)
	if once := r.BulgeMM3.Likely / b.FreeAreaMM2; drop >= once {
		t.Errorf("drop %v mm, not less than %v from the full level", drop, once)
	}
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		name    string
		box     bow.Box
		verdict string
		worst   finding.Level // "" for no finding
		linear  bool
	}{
		{"small box of chipboard", boxOf(chipboard, 200, 120, 100, bow.Blocked), bow.Holds, "", true},
		{"large box of chipboard", boxOf(chipboard, 320, 260, 262, bow.Taped), bow.Holds, "", true},
		{"small box of foam board", boxOf(foamBoard, 110, 80, 80, bow.Taped), bow.Holds, "", true},
		{"foam board, 300 mm", boxOf(foamBoard, 300, 300, 262, bow.Taped), bow.Brace, finding.Warn, false},
		{"acrylic, 320 mm", boxOf(acrylic, 320, 260, 262, bow.Taped), bow.Brace, finding.Warn, true},
		{"not known", boxOf(shelf.Board{Name: "a door", ThicknessMM: 20}, 300, 200, 150, bow.Taped), bow.Unknown, finding.Warn, false},
	} {
		r := bowOf(t, c.box)
		if r.Verdict != c.verdict {
			t.Errorf("%s: %s, want %s (%s)", c.name, r.Verdict, c.verdict, r.Walls[0].Why)
		}
		if (r.BulgeMM3 != nil) != c.linear || (r.LevelDropMM != nil) != c.linear {
			t.Errorf("%s: bulge %v, drop %v", c.name, r.BulgeMM3, r.LevelDropMM)
		}
		if c.worst == "" != (len(r.Findings) == 0) || len(r.Findings) > 0 && r.Findings[0].Level != c.worst {
			t.Errorf("%s: findings %+v", c.name, r.Findings)
		}
		for _, f := range r.Findings {
			if f.Question != "bow" || f.Action == "" || !strings.HasSuffix(f.Text, ".") {
				t.Errorf("%s: finding %+v", c.name, f)
			}
		}
	}
}

// A sheet of glass-like strength: it bows little and breaks.
func TestABrittleWallStopsTheJob(t *testing.T) {
	weak := shelf.Board{Name: "plaster board, 10 mm", ThicknessMM: 10, Poisson: 0.2, YoungPa: exactly(20e9), StrengthPa: between(0.1e6, 0.2e6, 0.3e6)}
	r := bowOf(t, boxOf(weak, 300, 200, 200, bow.Taped))
	if r.Verdict != bow.Brace || len(r.Findings) == 0 || r.Findings[0].Level != finding.Stop {
		t.Errorf("%s, %+v", r.Verdict, r.Findings)
	}
	if s := r.Walls[0].Safety; s == nil || s.Low >= 1 || r.Walls[0].DeflectionMM.High > bow.MostBowMM {
		t.Errorf("safety %v, deflection %v", s, r.Walls[0].DeflectionMM)
	}
}

func TestOrderOfTheCases(t *testing.T) {
	for _, board := range []shelf.Board{foamBoard, acrylic, plywood, chipboard} {
		for _, joint := range []bow.Joint{bow.Taped, bow.Blocked} {
			r := bowOf(t, boxOf(board, 260, 180, 150, joint))
			for _, w := range r.Walls {
				for _, v := range []shelf.Range{w.DeflectionMM, w.BulgeMM3} {
					if !(0 < v.Low && v.Low < v.Likely && v.Likely < v.High) {
						t.Errorf("%s, joint %v, %s: %v", board.Name, joint, w.Name, v)
					}
				}
			}
			if !reflect.DeepEqual(r.Walls[0].DeflectionMM, r.Walls[2].DeflectionMM) || r.Walls[0].DeflectionMM.Likely <= r.Walls[1].DeflectionMM.Likely {
				t.Errorf("%s: like walls differ, or the short wall bows more", board.Name)
			}
		}
	}
}

// A joint that gives lies between one that turns freely and one that cannot.
func TestJointsBracketTheWall(t *testing.T) {
	board := plywood
	board.YoungPa, board.YoungUpPa, board.Creep = exactly(7e9), shelf.Range{}, exactly(1)
	b := boxOf(board, 300, 300, 250, bow.Blocked)
	b.LevelMM, b.DensityGPerCM3 = 250, exactly(1.13)
	w := bowOf(t, b).Walls[0].DeflectionMM
	for code, want := range map[string]float64{"CCCF": w.Low, "SSSF": w.High} {
		got := bend(t, bow.Wall{
			WidthMM: 300, HeightMM: 250, LevelMM: 250, Plate: bow.Isotropic(7e9, 0.2, 12), Edges: edges(code), DensityGPerCM3: 1.13,
		})
		relative(t, code, got.DeflectionMM, want, 1e-9)
	}
	if !(w.Low < 0.8*w.Likely && w.Likely < 0.9*w.High) {
		t.Errorf("likely %v is not between %v and %v", w.Likely, w.Low, w.High)
	}
}

// Walls that hug the outline: facets stiffen the box, since each is narrow.
func TestFacetsBowLess(t *testing.T) {
	four := bowOf(t, boxOf(foamBoard, 200, 200, 120, bow.Taped))
	b := boxOf(foamBoard, 200, 200, 120, bow.Taped)
	b.Walls = nil
	for i := range 8 {
		b.Walls = append(b.Walls, bow.Side{Name: string(rune('a' + i)), WidthMM: 83})
	}
	eight := bowOf(t, b)
	if eight.Walls[0].DeflectionMM.Likely > 0.3*four.Walls[0].DeflectionMM.Likely || len(eight.Walls) != 8 {
		t.Errorf("facets bow %v, walls %v", eight.Walls[0].DeflectionMM, four.Walls[0].DeflectionMM)
	}
}

func TestSameDigits(t *testing.T) {
	a, b := bowOf(t, boxOf(foamBoard, 260, 180, 120, bow.Blocked)), bowOf(t, boxOf(foamBoard, 260, 180, 120, bow.Blocked))
	if !reflect.DeepEqual(a, b) {
		t.Error("two runs differ")
	}
}

func TestRefusals(t *testing.T) {
	good := unitWall(1, 0.3, "SSSF")
	box := boxOf(plywood, 300, 200, 150, bow.Taped)
	change := func(f func(*bow.Wall)) func() error {
		return func() error { w := good; f(&w); _, err := bow.Bend(w); return err }
	}
	changeBox := func(f func(*bow.Box)) func() error {
		return func() error { b := box; b.Walls = slices.Clone(b.Walls); f(&b); _, err := b.Bow(); return err }
	}
	strip := func(span, width, mass, sink float64) func() error {
		return func() error { _, err := bow.ThreePoint(span, width, mass, sink); return err }
	}
	for what, ask := range map[string]func() error{
		"width":             change(func(w *bow.Wall) { w.WidthMM = math.NaN() }),
		"height":            change(func(w *bow.Wall) { w.HeightMM = -1 }),
		"level":             change(func(w *bow.Wall) { w.LevelMM = 1001 }),
		"density":           change(func(w *bow.Wall) { w.DensityGPerCM3 = 1130 }),
		"slender":           change(func(w *bow.Wall) { w.WidthMM = 40 }),
		"bending stiffness": change(func(w *bow.Wall) { w.Plate = bow.Plate{ThicknessMM: 5} }),
		"cross stiffness":   change(func(w *bow.Wall) { w.Plate.D1NM = 5000 }),
		"thick":             change(func(w *bow.Wall) { w.Plate.ThicknessMM = 0 }),
		"shear stiffness":   change(func(w *bow.Wall) { w.Plate.ShearNPerM = math.Inf(1) }),
		"falling over":      change(func(w *bow.Wall) { w.Edges = edges("FFSF") }),
		"hold an edge":      change(func(w *bow.Wall) { w.Edges.Top.Hold = 9 }),
		"elastic edge":      change(func(w *bow.Wall) { w.Edges.Top = bow.Edge{Hold: bow.Elastic, TurnN: math.Inf(1)} }),
		"off the wall":      change(func(w *bow.Wall) { w.Lines = []bow.Line{{AtMM: 1200}} }),
		"line of bracing":   change(func(w *bow.Wall) { w.Lines = []bow.Line{{AtMM: 200, PullN: -1}} }),
		"three walls":       changeBox(func(b *bow.Box) { b.Walls = b.Walls[:2] }),
		"open area":         changeBox(func(b *bow.Box) { b.FreeAreaMM2 = 0 }),
		"not a range":       changeBox(func(b *bow.Box) { b.DensityGPerCM3.Low = 2 }),
		"rubber stands":     changeBox(func(b *bow.Box) { b.LevelMM = 0 }),
		"creep":             changeBox(func(b *bow.Box) { b.Board.Creep = between(2, 1, 1) }),
		"rounds":            changeBox(func(b *bow.Box) { b.Bracing.Rounds = 4 }),
		"pull":              changeBox(func(b *bow.Box) { b.Bracing.PullN = between(-1, 1, 1) }),
		"not known":         changeBox(func(b *bow.Box) { b.Bracing.Backing = &shelf.Board{Name: "cloth"} }),
		"level of":          changeBox(func(b *bow.Box) { b.LevelMM = 151 }),
		"wall in mm":        changeBox(func(b *bow.Box) { b.Walls[1].WidthMM, b.Board = 0, shelf.Board{Name: "a door"} }),
		"span":              strip(0, 50, 500, 2),
		"wide":              strip(100, 80, 500, 2),
		"mass":              strip(300, 50, math.NaN(), 2),
		"sinks":             strip(300, 50, 500, 0.5),
		"tenth":             strip(300, 50, 500, 40),
	} {
		err := ask()
		var said *bow.InputError
		if !errors.As(err, &said) {
			t.Errorf("%s: error %v", what, err)
			continue
		}
		if !strings.Contains(err.Error(), what) || said.Hint() == "" || strings.HasSuffix(err.Error(), ".") {
			t.Errorf("%s: %q, hint %q", what, err, said.Hint())
		}
	}
}

// A strip of D = 126 N·m, 50 mm wide on 300 mm: by δ = P·L³/48EI (beam tables,
// from memory) 1 kg makes it sink 0.875 mm and 4 kg 3.503 mm.
func TestThreePoint(t *testing.T) {
	sink := 4 * bow.GravityMPerS2 * math.Pow(0.3, 3) / (48 * 126 * 0.05) * 1000
	if math.Abs(sink-3.503) > 0.001 {
		t.Fatalf("sinks %v", sink)
	}
	d, err := bow.ThreePoint(300, 50, 4000, sink)
	if err != nil {
		t.Fatal(err)
	}
	relative(t, "D", d.Likely, 126, 1e-12)
	// A reading that is off by the error of a ruler or scale stays inside.
	for _, off := range [][4]float64{{1, 0, 0, 0}, {-1, 0, 0, 0}, {0, 0.5, 0, 0}, {0, -0.5, 0, 0}, {0, 0, 40, 0}, {0, 0, -40, 0}, {0, 0, 0, 0.25}, {0, 0, 0, -0.25}} {
		read, err := bow.ThreePoint(300+off[0], 50+off[1], 4000+off[2], sink+off[3])
		if err != nil {
			t.Fatal(err)
		}
		if read.Likely < d.Low || read.Likely > d.High {
			t.Errorf("readings off by %v give %.1f, outside %v", off, read.Likely, d)
		}
	}
	if d.High > 1.5*d.Likely || d.Low < d.Likely/1.2 {
		t.Errorf("the spread %v says nothing", d)
	}
}

// What presses evenly on all walls takes the place of the rubber: the forces are
// pressure times area up to the level, and a wall that bears the rubber twice over
// breaks under enough of it.
func TestPushedBox(t *testing.T) {
	b := boxOf(chipboard, 300, 200, 250, bow.Blocked)
	rubber := bowOf(t, b)
	last := math.Inf(1)
	for _, pa := range []float64{5e3, 2e4, 8e4} {
		b.PushPa = &shelf.Range{Low: 0.8 * pa, Likely: pa, High: 1.2 * pa}
		r := bowOf(t, b)
		for i, w := range r.Walls {
			if want := pa * b.Walls[i].WidthMM * b.LevelMM * 1e-6; math.Abs(w.ForceN-want) > 1e-9*want {
				t.Errorf("%g Pa: %s is pushed with %g N, want %g", pa, w.Name, w.ForceN, want)
			}
		}
		if r.BulgeMM3 != nil || r.LevelDropMM != nil {
			t.Errorf("%g Pa: a level falls", pa)
		}
		safety := r.Walls[0].Safety
		if safety == nil || safety.Likely >= last {
			t.Fatalf("%g Pa: safety %v after %g", pa, safety, last)
		}
		last = safety.Likely
	}
	if s := rubber.Walls[0].Safety; s == nil || s.Likely < 2*last {
		t.Errorf("under rubber %v, under 0.8 bar %g", s, last)
	}
}
