package moldbox_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"pourwright/analysis/moldbox"
	"pourwright/lawtest"
)

// cloud is a pattern of points on a grid of 1/1024 mm, finer than any scan.
func cloud(t *rapid.T) []r3.Vec {
	share := func(of float64, name string) float64 {
		return math.Round(1024*of*rapid.Float64Range(0, 1).Draw(t, name)) / 1024
	}
	n := rapid.IntRange(4, 30).Draw(t, "n")
	long := rapid.Float64Range(5, 400).Draw(t, "long")
	wide := rapid.Float64Range(5, 200).Draw(t, "wide")
	points := []r3.Vec{{}}
	for range n {
		points = append(points, r3.Vec{
			X: share(long, "x"), Y: share(wide, "y"), Z: share(100, "z"),
		})
	}
	return points
}

func cutOf(t *rapid.T, in *moldbox.Input) {
	if rapid.Bool().Draw(t, "cut") {
		s, c := math.Sincos(rapid.Float64Range(0, math.Pi).Draw(t, "cut angle"))
		in.CutNormal = r3.Vec{X: c, Y: s}
		in.CutPoint = r3.Vec{X: rapid.Float64Range(0, 50).Draw(t, "px"), Y: rapid.Float64Range(0, 50).Draw(t, "py")}
	}
}

func fit2(t *rapid.T, points []r3.Vec, in moldbox.Input) moldbox.Result {
	in.Board = board
	r, err := moldbox.Fit(points, in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func volume(r moldbox.Result) float64 { return r.InsideMM[0] * r.InsideMM[1] * r.InsideMM[2] }

// The gap is what was asked or, by rounding up, a little more; the long side
// lies along x; nothing is thin.
func TestLawGapsAsAsked(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		in := moldbox.Input{Inches: rapid.Bool().Draw(t, "inches")}
		cutOf(t, &in)
		r := fit2(t, cloud(t), in)
		step := 1.0
		if in.Inches {
			step = 25.4 / 16
		}
		for _, s := range [][3]float64{
			{r.GapMM.X0, r.AskedMM.X0, step / 2}, {r.GapMM.X1, r.AskedMM.X1, step / 2},
			{r.GapMM.Y0, r.AskedMM.Y0, step / 2}, {r.GapMM.Y1, r.AskedMM.Y1, step / 2},
			{r.GapMM.Cover, r.AskedMM.Cover, step}, {r.FreeboardMM, moldbox.DefaultFreeboardMM, step},
		} {
			if s[0] < s[1]-1e-5 || s[0] > s[1]+s[2]+1e-5 {
				t.Fatalf("gap %v, asked %v", r.GapMM, r.AskedMM)
			}
		}
		if r.InsideMM[0] < r.InsideMM[1] || len(r.Thin) != 0 || r.ThinMore != 0 {
			t.Fatalf("box %+v", r)
		}
	})
}

// More clearance or cover never makes a smaller box, wherever the cut goes.
func TestLawMoreClearanceNeverLessRubber(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		points := cloud(t)
		clearance := rapid.Float64Range(1, 40).Draw(t, "clearance")
		more := clearance + rapid.Float64Range(0, 20).Draw(t, "more")
		in := moldbox.Input{ClearanceMM: &clearance}
		cutOf(t, &in)
		r := fit2(t, points, in)
		in.ClearanceMM = &more
		if r2 := fit2(t, points, in); volume(r2) < volume(r) {
			t.Fatalf("clearance %v: %v, %v: %v", clearance, r.InsideMM, more, r2.InsideMM)
		}
	})
}

// Turning and moving the pattern on the board leaves the floor rectangle as
// large (unless a cut that would meet a corner turns it) and all figures
// that do not hang on the floor exactly alike.
func TestLawTurnOnBoard(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		points := cloud(t)
		in := moldbox.Input{LongestMM: 200}
		cutOf(t, &in)
		s, c := math.Sincos(rapid.Float64Range(-4, 4).Draw(t, "turn"))
		shift := r3.Vec{X: rapid.Float64Range(-500, 500).Draw(t, "dx"), Y: rapid.Float64Range(-500, 500).Draw(t, "dy")}
		turn := func(p r3.Vec) r3.Vec { return r3.Vec{X: c*p.X - s*p.Y, Y: s*p.X + c*p.Y, Z: p.Z} }
		moved := make([]r3.Vec, len(points))
		for i, p := range points {
			moved[i] = r3.Add(turn(p), shift)
		}
		other := in
		other.CutNormal, other.CutPoint = turn(in.CutNormal), r3.Add(turn(in.CutPoint), shift)
		r, r2 := fit2(t, points, in), fit2(t, moved, other)
		a, a2 := areaAlong(points, -r.AngleRad), areaAlong(moved, -r2.AngleRad)
		if in.CutNormal == (r3.Vec{}) && math.Abs(a-a2) > 1e-9*(a+a2)+1e-6 {
			t.Fatalf("floor rectangle %v mm², turned %v mm²", a, a2)
		}
		if r.RubberLevelMM != r2.RubberLevelMM || r.WallHeightMM != r2.WallHeightMM || r.AskedMM.Cover != r2.AskedMM.Cover {
			t.Fatalf("box %+v, turned %+v", r, r2)
		}
	})
}

// The floor rectangle is within a hundredth of the least one over 3600 turns; one
// that a cut has turned is no larger than the one square to the cut.
func TestLawLeastRectangle(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		points := cloud(t)
		in := moldbox.Input{}
		cutOf(t, &in)
		r := fit2(t, points, in)
		got := areaAlong(points, -r.AngleRad)
		least := math.Inf(1)
		for i := range 900 {
			least = math.Min(least, areaAlong(points, float64(i)*math.Pi/1800))
		}
		if n := in.CutNormal; n != (r3.Vec{}) {
			least = math.Max(least, areaAlong(points, math.Atan2(n.Y, n.X)))
		}
		if got > least*1.01+1e-9 {
			t.Fatalf("rectangle of %v mm², least %v mm²", got, least)
		}
	})
}

// areaAlong is the floor rectangle with one side along angle.
func areaAlong(points []r3.Vec, angle float64) float64 {
	s, c := math.Sincos(angle)
	lowU, highU, lowV, highV := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range points {
		u, v := c*p.X+s*p.Y, c*p.Y-s*p.X
		lowU, highU, lowV, highV = math.Min(lowU, u), math.Max(highU, u), math.Min(lowV, v), math.Max(highV, v)
	}
	return (highU - lowU) * (highV - lowV)
}

// A cut comes to the walls away from the corners, where any turn allows it.
func TestCutKeepsOffCorners(t *testing.T) {
	// A square whose cut runs along its diagonal, as a lantern's handles do.
	points := []r3.Vec{{X: -45, Y: -45}, {X: 45, Y: -45}, {X: 45, Y: 45, Z: 200}, {X: -45, Y: 45}}
	in := moldbox.Input{CutNormal: r3.Unit(r3.Vec{X: 1, Y: -1}), Board: board}
	r, err := moldbox.Fit(points, in)
	if err != nil {
		t.Fatal(err)
	}
	pose := r.Pose()
	p, n := pose.Point(r3.Vec{}), pose.Dir(in.CutNormal)
	for _, x := range []float64{-0.5, 0.5} {
		for _, y := range []float64{-0.5, 0.5} {
			corner := r3.Vec{X: x * r.InsideMM[0], Y: y * r.InsideMM[1]}
			if d := math.Abs(r3.Dot(n, r3.Sub(corner, p))); d < 7 {
				t.Errorf("the cut passes %.1f mm from the corner %v", d, corner)
			}
		}
	}
	if got, square := areaAlong(points, -r.AngleRad), 90*math.Sqrt2*90*math.Sqrt2; got > 0.8*square {
		t.Errorf("rectangle of %.0f mm², hardly less than %.0f square to the cut", got, square)
	}
}
