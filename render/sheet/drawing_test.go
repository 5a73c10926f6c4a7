package sheet

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

// boxed is a plan with a box and an upright cut at an angle (degrees of its
// line to +x) through (x, y).
func boxed(angle, x, y float64) *analysis.Plan {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	p := &analysis.Plan{}
	p.Box.InsideMM, p.Box.RubberLevelMM = [3]float64{300, 200, 100}, 100
	p.Cut.Normal, p.Cut.PointMM = [3]float64{-sin, cos, 0}, [3]float64{x, y, 40}
	return p
}

// Worked out by hand: the line y = y0 + (x − x0)·tan(angle) against x = ±150
// and y = ±100.
func TestCutEnds(t *testing.T) {
	cases := []struct {
		angle, x, y float64
		want        [2]cutEnd
	}{
		{0, 10, 5, [2]cutEnd{{-150, 5, "x0"}, {150, 5, "x1"}}},
		{90, 10, 5, [2]cutEnd{{10, -100, "y0"}, {10, 100, "y1"}}},
		{45, 0, 0, [2]cutEnd{{-100, -100, "y0"}, {100, 100, "y1"}}},
		{45, 0, 60, [2]cutEnd{{-150, -90, "x0"}, {40, 100, "y1"}}},
		{-45, 0, 0, [2]cutEnd{{-100, 100, "y1"}, {100, -100, "y0"}}},
		{180, 10, 5, [2]cutEnd{{-150, 5, "x0"}, {150, 5, "x1"}}},
	}
	for _, c := range cases {
		have, ok := cutEnds(boxed(c.angle, c.x, c.y))
		if !ok {
			t.Errorf("%g°: no ends", c.angle)
			continue
		}
		for k := range 2 {
			if math.Hypot(have[k].X-c.want[k].X, have[k].Y-c.want[k].Y) > 1e-9 || have[k].Wall != c.want[k].Wall {
				t.Errorf("%g° through (%g, %g): end %d is %v, want %v", c.angle, c.x, c.y, k, have[k], c.want[k])
			}
		}
	}
	if _, ok := cutEnds(boxed(0, 0, 120)); ok {
		t.Error("a cut outside the box has ends")
	}
	if _, ok := cutEnds(&analysis.Plan{}); ok {
		t.Error("a plan without box or cut has ends")
	}
}

func TestRunWords(t *testing.T) {
	cases := []struct {
		angle float64
		want  string
	}{
		{0, "along the block, from the left end to the right end"},
		{180, "along the block, from the left end to the right end"},
		{-3, "along the block, turned by 3°"},
		{12, "along the block, turned by 12°"},
		{45, "slantwise, at 45° to the long walls"},
		{120, "slantwise, at 60° to the long walls"},
		{80, "across the block, turned by 10°"},
		{90, "across the block, from the front to the back"},
		{270, "across the block, from the front to the back"},
	}
	for _, c := range cases {
		if have := runWords(boxed(c.angle, 0, 0).Cut.Normal); !strings.Contains(have, c.want) {
			t.Errorf("%g°: have %q, want %q", c.angle, have, c.want)
		}
	}
}

func TestLeaningCut(t *testing.T) {
	p := boxed(0, 0, 0)
	p.Cut.Normal = [3]float64{0, 1, 1}
	if have := wordCut(p, units{}); !strings.Contains(have.Runs, "leans 45° from upright") || have.Marks != nil {
		t.Errorf("have %+v", have)
	}
}

// The axes of the drawing are a right angle apart, lie in the cut and keep
// lengths, for any normal.
func TestPlaneAxes(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 11))
	for range 500 {
		n := [3]float64{random.NormFloat64(), random.NormFloat64(), random.NormFloat64()}
		size := math.Sqrt(dot3(n, n))
		right, up := planeAxes(n)
		for what, value := range map[string]float64{
			"right in plane": dot3(right, n) / size, "up in plane": dot3(up, n) / size, "right angle": dot3(right, up),
			"length of right": dot3(right, right) - 1, "length of up": dot3(up, up) - 1,
		} {
			if math.Abs(value) > 1e-12 {
				t.Fatalf("%s for %v: off by %g", what, n, value)
			}
		}
		if up[2] < 0 || right[0] < 0 {
			t.Fatalf("%v: up %v or right %v points the wrong way", n, up, right)
		}
	}
}

// A square hole in a square, drawn at a known scale.
func TestCutFace(t *testing.T) {
	p := boxed(0, 0, 0)
	p.Stand.Rotation = [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	p.Stand.SpoutDiameterMM, p.Stand.StemMM = 30, 20
	square := func(r float64) (loop [][3]float64) {
		for _, c := range [][2]float64{{-r, -r}, {r, -r}, {r, r}, {-r, r}} {
			loop = append(loop, [3]float64{c[0], 0, 60 + c[1]})
		}
		return loop
	}
	p.Cut.Outline = [][][3]float64{square(30), square(10)}
	face := drawCut(p, say.Metric)
	if face == nil {
		t.Fatal("no drawing")
	}
	perMM := float64(faceWide-2*faceRoom) / 300
	if have, want := face.Block.W, px(300*perMM); math.Abs(float64(have-want)) > 1e-9 {
		t.Errorf("block is %s wide, want %s", have, want)
	}
	if have, want := face.Spout.X2-face.Spout.X1, px(30*perMM); math.Abs(float64(have-want)) > 1e-9 {
		t.Errorf("spout is %s wide, want %s", have, want)
	}
	if have, want := face.Stem.H, px(20*perMM); math.Abs(float64(have-want)) > 1e-9 {
		t.Errorf("stem is %s high, want %s", have, want)
	}
	if strings.Count(face.Part, "M") != 2 || strings.Count(face.Part, "Z") != 2 || strings.Count(face.Part, "L") != 6 {
		t.Errorf("path %s is not two squares", face.Part)
	}
	if face.Walls[0].Text != "Left end" || face.Walls[1].Text != "Right end" || face.Bar.Label != "100 mm" {
		t.Errorf("labels %q, %q", face.Walls, face.Bar.Label)
	}
	if drawCut(&analysis.Plan{}, say.Both) != nil {
		t.Error("a plan without a cut has a drawing of it")
	}
}

// Points closer than can be seen are left out, so a fine scan stays small.
func TestOutlineIsThinned(t *testing.T) {
	p := boxed(0, 0, 0)
	var loop [][3]float64
	for i := range 100_000 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 100_000)
		loop = append(loop, [3]float64{40 * cos, 0, 50 + 40*sin})
	}
	p.Cut.Outline = [][][3]float64{loop}
	face := drawCut(p, say.Metric)
	if points := strings.Count(face.Part, "L"); points < 100 || points > 1000 {
		t.Errorf("%d points drawn", points)
	}
	for _, xy := range strings.FieldsFunc(face.Part, func(r rune) bool { return strings.ContainsRune("MLZ ", r) }) {
		if v, err := strconv.ParseFloat(xy, 64); err != nil || v < 0 || v > faceWide {
			t.Fatalf("coordinate %q is off the drawing", xy)
		}
	}
}

func TestSpread(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 17))
	for range 300 {
		var at []float64
		y := 0.0
		for range 10 {
			y += random.Float64() * 20
			at = append(at, math.Min(y, 200))
		}
		moved := spread(at, 15, 0, 200)
		for i := range moved {
			if moved[i] < -1e-9 || moved[i] > 200+1e-9 || i > 0 && moved[i]-moved[i-1] < 15-1e-9 {
				t.Fatalf("labels %v of %v overlap or leave the drawing", moved, at)
			}
		}
	}
	if have := spread([]float64{10, 100}, 15, 0, 200); have[0] != 10 || have[1] != 100 {
		t.Errorf("labels with room moved to %v", have)
	}
}

func TestStripOrder(t *testing.T) {
	p := gull()
	p.Rubber.Marks[0], p.Rubber.Marks[3] = p.Rubber.Marks[3], p.Rubber.Marks[0]
	d := drawStrip(p, units{say.Metric})
	if d.Marks[0].Label != "234\u00a0mm" || !d.Marks[0].Full || d.Marks[5].Label != "40\u00a0mm" || d.Marks[5].Full {
		t.Errorf("marks from the top down: %+v", d.Marks)
	}
	share := float64(d.Board-d.Marks[5].Y) / float64(d.Tall)
	if math.Abs(share-40.0/246) > 1e-9 {
		t.Errorf("40 mm mark stands at %g of the wall, want %g", share, 40.0/246)
	}
}

func TestDirection(t *testing.T) {
	for want, d := range map[string][3]float64{
		"the scan's −z side":                           {0, 0.01, -2},
		"the scan's +x side":                           {1, 0, 0},
		"the scan's side towards x 0, y 0.71, z −0.71": {0, 1, -1},
		say.Unknown: {},
	} {
		if have := direction(d); have != want {
			t.Errorf("direction(%v): have %q, want %q", d, have, want)
		}
	}
}
