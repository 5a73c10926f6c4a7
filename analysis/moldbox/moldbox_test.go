package moldbox_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/moldbox"
	"pourwright/analysis/shelf"
)

var board = shelf.Board{Key: "melamine-18", Name: "chipboard, 18 mm", ThicknessMM: 18}

// cuboid has its floor at z = 0 and one corner at the origin, then is turned
// about z by angle and moved by shift.
func cuboid(x, y, z, angle float64, shift r3.Vec) []r3.Vec {
	s, c := math.Sincos(angle)
	var ps []r3.Vec
	for i := range 8 {
		p := r3.Vec{X: x * float64(i&1), Y: y * float64(i>>1&1), Z: z * float64(i>>2)}
		ps = append(ps, r3.Add(r3.Vec{X: c*p.X - s*p.Y, Y: s*p.X + c*p.Y, Z: p.Z}, shift))
	}
	return ps
}

func mm(v float64) *float64 { return &v }

func fit(t testing.TB, points []r3.Vec, in moldbox.Input) moldbox.Result {
	t.Helper()
	in.Board = board
	r, err := moldbox.Fit(points, in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

var approx = cmpopts.EquateApprox(0, 1e-9)

func TestBoxAroundCuboid(t *testing.T) {
	for _, angle := range []float64{0, 0.3, -1.2, math.Pi / 2, 2.9} {
		points := cuboid(200, 80, 50, angle, r3.Vec{X: 1000, Y: -300})
		r := fit(t, points, moldbox.Input{})
		// Longest side 200 mm: 16 mm beside it, 20 mm above, 12 mm of freeboard
		// (common practice, no source).
		if want := [3]float64{232, 112, 70}; !cmp.Equal(r.InsideMM, want, approx) {
			t.Errorf("turned %v: inside %v, want %v", angle, r.InsideMM, want)
		}
		if want := (moldbox.Sides{X0: 16, X1: 16, Y0: 16, Y1: 16, Cover: 20}); !cmp.Equal(r.AskedMM, want) || !cmp.Equal(r.GapMM, want, approx) {
			t.Errorf("asked %v, gap %v, want %v", r.AskedMM, r.GapMM, want)
		}
		if r.RubberLevelMM != 70 || r.WallHeightMM != 82 || r.FreeboardMM != 12 || r.Floor.Shape != moldbox.Rectangle {
			t.Errorf("box %+v", r)
		}
		if !(r.AngleRad > -math.Pi/2 && r.AngleRad <= math.Pi/2) {
			t.Errorf("turn %v", r.AngleRad)
		}
		for _, p := range points {
			q := r.Pose().Point(p)
			if math.Abs(math.Abs(q.X)-100) > 1e-9 || math.Abs(math.Abs(q.Y)-40) > 1e-9 || q.Z != p.Z {
				t.Errorf("corner %v goes to %v", p, q)
			}
		}
		if len(r.Thin) != 0 || len(r.Findings) != 0 || len(r.CutWalls) != 0 {
			t.Errorf("thin %v, findings %v, cut walls %v", r.Thin, r.Findings, r.CutWalls)
		}
	}
}

func TestPanels(t *testing.T) {
	points := cuboid(200.3, 80.2, 50.4, 0, r3.Vec{})
	r := fit(t, points, moldbox.Input{})
	// Inside 233×113 (232.3 and 112.2 rounded up), rubber to 71, wall 83 mm.
	want := []moldbox.Panel{
		{Name: "side", Count: 2, LengthMM: 269, WidthMM: 83, ThicknessMM: 18},
		{Name: "end", Count: 2, LengthMM: 113, WidthMM: 83, ThicknessMM: 18},
		{Name: "base board", Count: 1, LengthMM: 349, WidthMM: 229, ThicknessMM: 18},
	}
	same := cmp.Options{approx, cmpopts.IgnoreFields(moldbox.Panel{}, "Note", "Board"), cmpopts.EquateEmpty()}
	if d := cmp.Diff(want, r.Panels, same); d != "" {
		t.Error(d)
	}
	// What rounding up adds goes to both walls alike.
	if gap := (moldbox.Sides{X0: 16.35, X1: 16.35, Y0: 16.4, Y1: 16.4, Cover: 20.6}); !cmp.Equal(r.GapMM, gap, approx) {
		t.Errorf("gap %v, want %v", r.GapMM, gap)
	}
	inches := fit(t, points, moldbox.Input{Inches: true})
	for i, v := range inches.InsideMM {
		sixteenths := v / 25.4 * 16
		if math.Abs(sixteenths-math.Round(sixteenths)) > 1e-9 || v > r.InsideMM[i]+25.4/16 {
			t.Errorf("inside %v mm is %v sixteenths of an inch", v, sixteenths)
		}
	}
}

// Clearance by longest side: common practice, no source.
func TestDefaultClearance(t *testing.T) {
	for _, c := range []struct{ longest, want float64 }{
		{0.001, 10}, {74.9, 10}, {75, 13}, {149, 13}, {150, 16}, {299, 16}, {300, 20}, {449, 20}, {450, 25}, {1e5, 25},
	} {
		if got := moldbox.DefaultClearanceMM(c.longest); got != c.want {
			t.Errorf("%v mm long: %v mm, want %v", c.longest, got, c.want)
		}
	}
	tall := cuboid(60, 40, 320, 0, r3.Vec{})
	if r := fit(t, tall, moldbox.Input{}); r.AskedMM.X0 != 20 {
		t.Errorf("tall pattern: clearance %v", r.AskedMM)
	}
	if r := fit(t, tall, moldbox.Input{LongestMM: 460}); r.AskedMM.X0 != 25 || !strings.Contains(r.ClearanceRule, "460 mm") {
		t.Errorf("longest side given: clearance %v, %s", r.AskedMM, r.ClearanceRule)
	}
}

func TestCutWalls(t *testing.T) {
	points := cuboid(200, 80, 50, 0.4, r3.Vec{X: 7, Y: 9})
	s, c := math.Sincos(0.4)
	mid := r3.Vec{X: 7 + 100*c - 40*s, Y: 9 + 100*s + 40*c}
	at := func(x, y float64) r3.Vec { return r3.Add(mid, r3.Vec{X: x*c - y*s, Y: x*s + y*c}) }
	normal := func(deg float64) r3.Vec {
		a := 0.4 + deg*math.Pi/180
		return r3.Vec{X: math.Cos(a), Y: math.Sin(a)}
	}
	corner := math.Atan2(80, 200) * 180 / math.Pi // direction of the diagonal
	for name, k := range map[string]struct {
		point, normal r3.Vec
		walls         string
		size          [3]float64
	}{
		"unknown":        {mid, r3.Vec{}, "", [3]float64{232, 112, 70}},
		"lengthwise":     {mid, normal(90), "x0 x1", [3]float64{238, 112, 70}},
		"reversed":       {mid, normal(-90), "x0 x1", [3]float64{238, 112, 70}},
		"across":         {mid, normal(0), "y0 y1", [3]float64{232, 118, 70}},
		"slanted":        {mid, normal(30), "y0 y1", [3]float64{232, 118, 70}},
		"flat slant":     {mid, normal(80), "x0 x1", [3]float64{238, 112, 70}},
		"off the middle": {at(90, 0), normal(60), "x1 y1", [3]float64{235, 115, 70}},
		"diagonal":       {mid, normal(corner + 90), "x0 x1 y0 y1", [3]float64{238, 118, 70}},
	} {
		t.Run(name, func(t *testing.T) {
			r := fit(t, points, moldbox.Input{CutPoint: k.point, CutNormal: k.normal})
			// A box turned by half a turn is the same box with the walls renamed.
			walls := strings.Join(r.CutWalls, " ")
			if other := map[string]string{"x1 y1": "x0 y0"}[k.walls]; walls != k.walls && walls != other {
				t.Errorf("cut walls %q, want %q", walls, k.walls)
			}
			if !cmp.Equal(r.InsideMM, k.size, approx) {
				t.Errorf("inside %v, want %v", r.InsideMM, k.size)
			}
			for i, v := range []float64{r.AskedMM.X0, r.AskedMM.X1, r.AskedMM.Y0, r.AskedMM.Y1} {
				want := 16.0
				if slices.Contains(r.CutWalls, []string{"x0", "x1", "y0", "y1"}[i]) {
					want = 19
				}
				if v != want {
					t.Errorf("asked %v", r.AskedMM)
				}
			}
			if !cmp.Equal(r.GapMM, r.AskedMM, approx) {
				t.Errorf("gap %v, asked %v", r.GapMM, r.AskedMM)
			}
		})
	}
}

// The longer inside side goes along x even when only the cut makes it longer.
func TestLongSideAlongX(t *testing.T) {
	points := cuboid(100, 96, 50, 0, r3.Vec{})
	r := fit(t, points, moldbox.Input{CutPoint: r3.Vec{X: 50, Y: 48}, CutNormal: r3.Vec{X: 1}, CutClearanceMM: mm(30)})
	if want := [3]float64{156, 126, 67}; !cmp.Equal(r.InsideMM, want, approx) {
		t.Errorf("inside %v, want %v", r.InsideMM, want)
	}
	if strings.Join(r.CutWalls, " ") != "x0 x1" {
		t.Errorf("cut walls %v", r.CutWalls)
	}
}

// A round pattern is boxed square to its cut, so that the cut crosses two
// walls and no corner.
func TestRoundPatternSquareToCut(t *testing.T) {
	var points []r3.Vec
	for i := range 97 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 97)
		points = append(points, r3.Vec{X: 50 * c, Y: 50 * s}, r3.Vec{X: 50 * c, Y: 50 * s, Z: 30})
	}
	for deg := 0.0; deg < 360; deg += 7 {
		s, c := math.Sincos(deg * math.Pi / 180)
		r := fit(t, points, moldbox.Input{CutNormal: r3.Vec{X: c, Y: s}})
		n := r.Pose().Dir(r3.Vec{X: c, Y: s})
		if strings.Join(r.CutWalls, " ") != "x0 x1" || math.Abs(math.Abs(n.Y)-1) > 1e-9 {
			t.Errorf("cut at %v°: walls %v, normal %v", deg, r.CutWalls, n)
		}
		if want := [3]float64{138, 126, 47}; !cmp.Equal(r.InsideMM, want, cmpopts.EquateApprox(0, 1.001)) {
			t.Errorf("cut at %v°: inside %v", deg, r.InsideMM)
		}
	}
}

func TestAskedFigures(t *testing.T) {
	points := cuboid(200, 80, 50, 0, r3.Vec{})
	in := moldbox.Input{
		ClearanceMM: mm(6), CutClearanceMM: mm(9), CoverMM: mm(5), FreeboardMM: mm(0),
		CutPoint: r3.Vec{X: 100, Y: 40}, CutNormal: r3.Vec{Y: 1},
	}
	r := fit(t, points, in)
	if want := (moldbox.Sides{X0: 9, X1: 9, Y0: 6, Y1: 6, Cover: 5}); r.AskedMM != want {
		t.Errorf("asked %v, want %v", r.AskedMM, want)
	}
	if r.WallHeightMM != 55 || r.FreeboardMM != 0 || r.ClearanceRule != "6 mm, as given" {
		t.Errorf("box %+v", r)
	}
	if len(r.Findings) != 2 || !strings.Contains(r.Findings[0].Text, "under half of the 16 mm") || !strings.Contains(r.Findings[1].Text, "room for keys") {
		t.Errorf("findings %v", r.Findings)
	}
	if r = fit(t, points, moldbox.Input{ClearanceMM: mm(22)}); r.AskedMM.Cover != 26 {
		t.Errorf("cover %v, want clearance + 4", r.AskedMM.Cover)
	}
}

// A negative zero would be printed as −0 in a plan.
func TestNoNegativeZero(t *testing.T) {
	points := cuboid(200, 80, 50, 0, r3.Vec{X: -100, Y: -40})
	r := fit(t, points, moldbox.Input{CutNormal: r3.Vec{X: -1}})
	for _, v := range []float64{r.AngleRad, r.Shift.X, r.Shift.Y, r.Shift.Z} {
		if v != 0 || math.Signbit(v) {
			t.Errorf("turn %v, shift %v", r.AngleRad, r.Shift)
		}
	}
}

func TestOddPatterns(t *testing.T) {
	speck := fit(t, cuboid(1e-3, 1e-3, 1e-3, 0.2, r3.Vec{}), moldbox.Input{})
	if want := [3]float64{21, 21, 15}; !cmp.Equal(speck.InsideMM, want, approx) {
		t.Errorf("speck: inside %v, want %v", speck.InsideMM, want)
	}
	ship := fit(t, cuboid(1e5, 2e4, 9e3, 0.2, r3.Vec{X: 1e6}), moldbox.Input{})
	if want := [3]float64{100_050, 20_050, 9029}; !cmp.Equal(ship.InsideMM, want, cmpopts.EquateApprox(0, 1)) {
		t.Errorf("ship: inside %v, want %v", ship.InsideMM, want)
	}
	lifted := fit(t, cuboid(60, 40, 30, 0, r3.Vec{Z: 20}), moldbox.Input{})
	if lifted.RubberLevelMM != 64 {
		t.Errorf("on a stem: level %v, want 20+30+14", lifted.RubberLevelMM)
	}
}

func TestFaultyInput(t *testing.T) {
	points := cuboid(200, 80, 50, 0, r3.Vec{})
	for name, c := range map[string]struct {
		points []r3.Vec
		in     moldbox.Input
		want   string
	}{
		"no pattern":      {nil, moldbox.Input{Board: board}, "there is no pattern"},
		"negative":        {points, moldbox.Input{Board: board, ClearanceMM: mm(-3)}, "the clearance is -3 mm and must be from 1 to 300 mm"},
		"NaN":             {points, moldbox.Input{Board: board, ClearanceMM: mm(math.NaN())}, "the clearance is NaN mm"},
		"a metre":         {points, moldbox.Input{Board: board, CutClearanceMM: mm(1000)}, "the clearance at the cut is 1000 mm"},
		"no cover":        {points, moldbox.Input{Board: board, CoverMM: mm(0)}, "the cover is 0 mm"},
		"sunk":            {points, moldbox.Input{Board: board, FreeboardMM: mm(-1)}, "the freeboard is -1 mm"},
		"no board":        {points, moldbox.Input{}, "the thickness of the boards is 0 mm"},
		"below the board": {cuboid(9, 9, 9, 0, r3.Vec{Z: -2}), moldbox.Input{Board: board}, "the pattern reaches 2 mm below"},
		"NaN corner":      {[]r3.Vec{{X: math.NaN()}}, moldbox.Input{Board: board}, "not at a finite place"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := moldbox.Fit(c.points, c.in)
			var h interface {
				error
				Hint() string
			}
			if !errors.As(err, &h) || h.Hint() == "" || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q and a hint", err, c.want)
			}
		})
	}
}
