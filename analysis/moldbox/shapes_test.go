package moldbox_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"pourwright/analysis/moldbox"
	"pourwright/analysis/shelf"
	"pourwright/lawtest"
)

var thinBoard = shelf.Board{Name: "foam board, 5 mm", ThicknessMM: 5, Scores: true}

// disc is a round pattern of radius r, 50 mm high.
func disc(r float64) []r3.Vec {
	var p []r3.Vec
	for i := range 360 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 180)
		p = append(p, r3.Vec{X: 7 + r*cos, Y: -3 + r*sin}, r3.Vec{X: 7 + r*cos, Y: -3 + r*sin, Z: 50})
	}
	return p
}

// Closed form: a disc of radius r in a tube is r + clearance, and at the cut
// r + cut clearance.
func TestTube(t *testing.T) {
	ten := 10.0
	in := moldbox.Input{Shape: moldbox.Tube, Board: thinBoard, ClearanceMM: &ten}
	r, err := moldbox.Fit(disc(40), in)
	if err != nil {
		t.Fatal(err)
	}
	if r.Floor.RadiusMM != 50 || math.Abs(r.GapMM.Radial-10) > 1e-9 || r.InsideMM[0] != 100 || math.Abs(r.Floor.AreaMM2()-2500*math.Pi) > 1e-6 {
		t.Errorf("radius %v, gap %v, inside %v", r.Floor.RadiusMM, r.GapMM.Radial, r.InsideMM)
	}
	in.CutNormal = r3.Vec{X: 1}
	if r, err = moldbox.Fit(disc(40), in); err != nil || r.Floor.RadiusMM != 59 {
		t.Errorf("with a cut: radius %v, %v; want 59", r.Floor.RadiusMM, err)
	}
	if at := r.Pose().Point(r3.Vec{X: 7, Y: -3}); math.Hypot(at.X, at.Y) > 1e-9 {
		t.Errorf("the disc's middle comes to %v", at)
	}
}

// The least circle against all circles through two or three points.
func TestLeastCircleAgainstAll(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	one := 1.0
	for range 40 {
		var points []r3.Vec
		for range 3 + rng.IntN(9) {
			points = append(points, r3.Vec{X: 100 * rng.NormFloat64(), Y: 60 * rng.NormFloat64(), Z: rng.Float64() * 20})
		}
		r, err := moldbox.Fit(points, moldbox.Input{Shape: moldbox.Tube, Board: thinBoard, ClearanceMM: &one})
		if err != nil {
			t.Fatal(err)
		}
		// Rounded up to a whole millimetre across.
		if least := leastRadius(points); r.Floor.RadiusMM < least+1-1e-6 || r.Floor.RadiusMM > least+1.5+1e-6 {
			t.Errorf("radius %v; the least circle has %v", r.Floor.RadiusMM, least)
		}
	}
}

func leastRadius(p []r3.Vec) float64 {
	best := math.Inf(1)
	try := func(c r2.Vec) {
		most := 0.0
		for _, q := range p {
			most = max(most, math.Hypot(q.X-c.X, q.Y-c.Y))
		}
		best = min(best, most)
	}
	for i, a := range p {
		for j, b := range p[:i] {
			try(r2.Vec{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2})
			for _, c := range p[:j] {
				d := 2 * (a.X*(b.Y-c.Y) + b.X*(c.Y-a.Y) + c.X*(a.Y-b.Y))
				a2, b2, c2 := a.X*a.X+a.Y*a.Y, b.X*b.X+b.Y*b.Y, c.X*c.X+c.Y*c.Y
				try(r2.Vec{X: (a2*(b.Y-c.Y) + b2*(c.Y-a.Y) + c2*(a.Y-b.Y)) / d, Y: (a2*(c.X-b.X) + b2*(a.X-c.X) + c2*(b.X-a.X)) / d})
			}
		}
	}
	return best
}

// Closed form: the regular n-gon round a circle of radius R has area n·R²·tan(π/n).
func TestFacetedRoundADisc(t *testing.T) {
	ten := 10.0
	before := math.Inf(1)
	for _, n := range []int{4, 6, 8, 12} {
		r, err := moldbox.Fit(disc(60), moldbox.Input{Shape: moldbox.Faceted, Facets: n, Board: thinBoard, ClearanceMM: &ten})
		if err != nil {
			t.Fatal(err)
		}
		want := float64(n) * 70 * 70 * math.Tan(math.Pi/float64(n))
		// Which edges are left makes them not quite even.
		if got := r.Floor.AreaMM2(); len(r.Floor.Outline) != n || got < want*(1-1e-6) || got > want*1.08 || got > before {
			t.Errorf("%d facets: %d corners, area %.0f mm², the even one has %.0f", n, len(r.Floor.Outline), got, want)
		}
		before = r.Floor.AreaMM2()
		if math.Abs(r.GapMM.Radial-10) > 1e-6 {
			t.Errorf("%d facets: gap %v", n, r.GapMM.Radial)
		}
	}
}

// Every shape keeps the clearance from every point, at the true distance, and
// hugs the pattern: in the rectangle's own area at most, but for the tube.
func TestShapesKeepTheirClearance(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		points := scatter(t)
		c := rapid.Float64Range(5, 30).Draw(t, "clearance")
		cut := rapid.Float64Range(5, 30).Draw(t, "cut")
		angle := rapid.Float64Range(0, math.Pi).Draw(t, "angle")
		in := moldbox.Input{Board: thinBoard, ClearanceMM: &c, CutClearanceMM: &cut, CutNormal: r3.Vec{X: math.Cos(angle), Y: math.Sin(angle)}}
		for _, shape := range moldbox.Shapes() {
			in.Shape, in.Facets = shape, 0
			if shape == moldbox.Faceted {
				in.Facets = rapid.IntRange(4, 24).Draw(t, "facets")
			}
			r, err := moldbox.Fit(points, in)
			if err != nil {
				t.Fatal(err)
			}
			least := math.Inf(1)
			for _, p := range points {
				least = min(least, gapByHand(r.Floor, r.Pose().Point(p)))
			}
			if shape == moldbox.Rectangle {
				if least < min(c, cut)-1e-6 {
					t.Fatalf("rectangle: gap %v of %v, %v", least, c, cut)
				}
				continue
			}
			if least < c-1e-6 || math.Abs(least-r.GapMM.Radial) > 1e-6 {
				t.Fatalf("%s: gap %v, reported %v, asked %v", shape, least, r.GapMM.Radial, c)
			}
			if lo, hi := r.Floor.ChordMM(r2.Vec{}, r2.Vec{X: 1}), r.InsideMM[0]; lo > hi+1e-6 {
				t.Fatalf("%s: a chord of %v in %v", shape, lo, hi)
			}
		}
	})
}

func scatter(t *rapid.T) []r3.Vec {
	var points []r3.Vec
	for range rapid.IntRange(4, 30).Draw(t, "points") {
		points = append(points, r3.Vec{
			X: rapid.Float64Range(-150, 150).Draw(t, "x"), Y: rapid.Float64Range(-60, 60).Draw(t, "y"), Z: rapid.Float64Range(0, 80).Draw(t, "z"),
		})
	}
	return points
}

// gapByHand is the distance to the nearest of many points along the walls.
func gapByHand(f moldbox.Floor, p r3.Vec) float64 {
	if f.RadiusMM > 0 {
		return f.RadiusMM - math.Hypot(p.X, p.Y)
	}
	least := math.Inf(1)
	for i, a := range f.Outline {
		b := f.Outline[(i+1)%len(f.Outline)]
		d := r2.Sub(b, a)
		s := min(1, max(0, r2.Dot(r2.Sub(r2.Vec{X: p.X, Y: p.Y}, a), d)/r2.Norm2(d)))
		q := r2.Add(a, r2.Scale(s, d))
		least = min(least, math.Hypot(p.X-q.X, p.Y-q.Y))
	}
	return least
}

// The scores of the strip, walked round with the turns of the outline, come back
// to where they began: built on paper, it closes.
func TestScoredStripCloses(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		ten := 10.0
		r, err := moldbox.Fit(scatter(t), moldbox.Input{Shape: moldbox.Faceted, Facets: rapid.IntRange(4, 16).Draw(t, "facets"), Board: thinBoard, ClearanceMM: &ten})
		if err != nil {
			t.Fatal(err)
		}
		wrap := r.Panels[0]
		at, before := r.Floor.Outline[0], 0.0
		for i, score := range wrap.ScoresMM {
			a, b := r.Floor.Outline[i], r.Floor.Outline[(i+1)%len(r.Floor.Outline)]
			at = r2.Add(at, r2.Scale(score-before, r2.Unit(r2.Sub(b, a))))
			before = score
		}
		if gap := r2.Norm(r2.Sub(at, r.Floor.Outline[0])); gap > 1e-6 {
			t.Fatalf("the strip ends %v mm from where it began", gap)
		}
		if lap := wrap.LengthMM - before; lap < 30-1e-9 || lap > 31+1e-9 {
			t.Fatalf("lap of %v mm", lap)
		}
	})
}

func TestOneWallApart(t *testing.T) {
	ten, far := 10.0, 40.0
	box := []r3.Vec{{}, {X: 100}, {X: 100, Y: 60}, {Y: 60}, {X: 100, Y: 60, Z: 30}}
	r, err := moldbox.Fit(box, moldbox.Input{Board: thinBoard, ClearanceMM: &ten, Walls: moldbox.PerWall{Y1: &far}})
	if err != nil {
		t.Fatal(err)
	}
	if r.GapMM.Y1 != 40 || r.GapMM.Y0 != 10 || r.InsideMM[1] != 110 {
		t.Errorf("gaps %+v, inside %v", r.GapMM, r.InsideMM)
	}
}

// In a box that is owned: a turned rectangle finds its way straight, with the gaps
// (L − l)/2 and (W − w)/2.
func TestFitInside(t *testing.T) {
	sin, cos := math.Sincos(0.7)
	var box []r3.Vec
	for _, p := range []r3.Vec{{}, {X: 200}, {X: 200, Y: 60}, {Y: 60}, {X: 200, Y: 60, Z: 50}} {
		box = append(box, r3.Vec{X: cos*p.X - sin*p.Y, Y: sin*p.X + cos*p.Y, Z: p.Z})
	}
	r, err := moldbox.FitInside(box, [3]float64{150, 300, 100}, moldbox.Input{Board: thinBoard})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(r.GapMM.Y0-45) > 0.2 || math.Abs(r.GapMM.X0-50) > 0.2 || !r.Owned || len(r.Panels) != 0 || r.InsideMM[0] != 300 {
		t.Errorf("gaps %+v in %v", r.GapMM, r.InsideMM)
	}
	if r.RubberLevelMM != 70 || r.FreeboardMM != 30 {
		t.Errorf("level %v, freeboard %v", r.RubberLevelMM, r.FreeboardMM)
	}
	// A tight one: thin places are told; a smaller one is refused.
	r, err = moldbox.FitInside(box, [3]float64{206, 70, 60}, moldbox.Input{Board: thinBoard})
	if err != nil || len(r.Thin) == 0 || len(r.Findings) == 0 {
		t.Errorf("tight: %+v, %v", r.Thin, err)
	}
	for size, want := range map[[3]float64]string{{190, 150, 100}: "does not fit", {300, 150, 50}: "stands 50 mm high", {0, 1, 2}: "none to pour in"} {
		if _, err := moldbox.FitInside(box, size, moldbox.Input{Board: thinBoard}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: %v, want %q", size, err, want)
		}
	}
}

func TestShapesRefused(t *testing.T) {
	for want, in := range map[string]moldbox.Input{
		"is no shape":           {Shape: "star"},
		"3 facets cannot":       {Shape: moldbox.Faceted, Facets: 3},
		"only a faceted box":    {Facets: 8},
		"only a rectangle has":  {Shape: moldbox.Tube, Walls: moldbox.PerWall{X0: new(float64)}},
		"clearance to one wall": {Walls: moldbox.PerWall{X0: new(float64)}},
	} {
		in.Board = thinBoard
		if _, err := moldbox.Fit(disc(20), in); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// Pieces never overlap, never leave the sheet, and keep the kerf between them.
func TestSheets(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		var pieces []moldbox.Piece
		for i := range rapid.IntRange(1, 25).Draw(t, "n") {
			pieces = append(pieces, moldbox.Piece{Name: fmt.Sprint(i),
				LengthMM: rapid.Float64Range(20, 1300).Draw(t, "l"), WidthMM: rapid.Float64Range(20, 700).Draw(t, "w")})
		}
		sheet := [2]float64{1200, 600}
		kerf := rapid.Float64Range(0, 5).Draw(t, "kerf")
		turn := rapid.Bool().Draw(t, "turn")
		sheets, over := moldbox.Sheets(pieces, sheet, kerf, turn)
		var names []string
		for _, placed := range sheets {
			for i, p := range placed {
				names = append(names, p.Name)
				x, y := sizeOf(p)
				if p.XMM < 0 || p.YMM < 0 || p.XMM+x > sheet[0]+1e-6 || p.YMM+y > sheet[1]+1e-6 {
					t.Fatalf("%+v leaves the sheet", p)
				}
				if p.Turned && !turn {
					t.Fatalf("%+v was turned", p)
				}
				for _, q := range placed[:i] {
					u, v := sizeOf(q)
					if p.XMM < q.XMM+u+kerf-1e-6 && q.XMM < p.XMM+x+kerf-1e-6 && p.YMM < q.YMM+v+kerf-1e-6 && q.YMM < p.YMM+y+kerf-1e-6 {
						t.Fatalf("%+v and %+v overlap", p, q)
					}
				}
			}
		}
		for _, p := range over {
			names = append(names, p.Name)
			fits := p.LengthMM <= sheet[0] && p.WidthMM <= sheet[1] || turn && p.LengthMM <= sheet[1] && p.WidthMM <= sheet[0]
			if fits {
				t.Fatalf("%+v is said to fit no sheet", p)
			}
		}
		slices.Sort(names)
		if len(names) != len(pieces) || len(slices.Compact(names)) != len(pieces) {
			t.Fatalf("%d pieces became %v", len(pieces), names)
		}
	})
	// Eight halves of a sheet, less the kerf, go on four.
	var halves []moldbox.Piece
	for range 8 {
		halves = append(halves, moldbox.Piece{Name: "half", LengthMM: 598.5, WidthMM: 600})
	}
	if sheets, _ := moldbox.Sheets(halves, [2]float64{1200, 600}, 3, true); len(sheets) != 4 {
		t.Errorf("%d sheets, want 4", len(sheets))
	}
}

func sizeOf(p moldbox.Placed) (x, y float64) {
	if p.Turned {
		return p.WidthMM, p.LengthMM
	}
	return p.LengthMM, p.WidthMM
}
