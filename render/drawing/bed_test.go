package drawing

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

// Of a mold in two parts there is a bed instead of a base board and a cut, two strips,
// and each wall on its own.
func TestFilesOfTwoParts(t *testing.T) {
	want := "strip-1.svg strip-2.svg strip.pdf bed.svg bed.pdf panel-side-right.svg panel-side-left.svg panel-end-spout-end.svg panel-end-far-end.svg panels.pdf"
	if have := names(Files(buoyBed(false, false), say.Both)); have != want {
		t.Errorf("have %s, want %s", have, want)
	}
	wide := names(Files(buoyBed(true, false), say.Both))
	for _, wall := range []string{"side-spout-end", "side-far-end", "end-right", "end-left"} {
		if !strings.Contains(wide, "panel-"+wall+".svg") {
			t.Errorf("of a wide block no panel is the %s: %s", wall, wide)
		}
	}
	if _, ok := Bed(buoy(), say.Both); ok {
		t.Error("a block has a bed")
	}
}

func TestBeds(t *testing.T) {
	for name, p := range beds() {
		checkTwoPart(t, name, p)
	}
}

func checkTwoPart(t *testing.T, name string, p *analysis.Plan) {
	t.Helper()
	checkBed(t, name, p)
	checkLyingWalls(t, name, p)
	for i := range p.TwoPart.Parts {
		checkPartStrip(t, name, p, i)
	}
}

// sideOfBox finds the edge of a rectangle next to the name of a wall: 0 left, 1 right,
// 2 above, 3 below.
func sideOfBox(t *testing.T, s svgDrawing, inside Rect, words string) int {
	t.Helper()
	for _, e := range s.of("wall-name") {
		if e.text != words {
			continue
		}
		x, y := s.number(e, "x"), s.number(e, "y")
		switch {
		case x < inside.Min.X:
			return 0
		case x > inside.Max.X:
			return 1
		case y < inside.Min.Y:
			return 2
		}
		return 3
	}
	t.Fatalf("no wall is named %s", words)
	return 0
}

// fromSide is how far a point is in from an edge of a rectangle.
func fromSide(r Rect, side int, p Point) float64 {
	return [4]float64{p.X - r.Min.X, r.Max.X - p.X, p.Y - r.Min.Y, r.Max.Y - p.Y}[side]
}

// into is the way in from an edge, on paper.
var into = [4]Point{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}

// checkBed measures the bed back from the SVG, as a maker does with a rule.
func checkBed(t *testing.T, name string, p *analysis.Plan) {
	t.Helper()
	b, s := p.TwoPart, drawn(t, p, say.Both)["bed"]
	if w, h := s.size(s.one("inside")); !near(w, b.InsideMM[0], 1e-3) || !near(h, b.InsideMM[1], 1e-3) {
		t.Errorf("%s: the inside is %g × %g mm, want %v", name, w, h, b.InsideMM)
	}
	inside := bounds(s.points(s.one("inside")))
	spout, right := sideOfBox(t, s, inside, "SPOUT END"), sideOfBox(t, s, inside, "RIGHT")
	checkOutline(t, name, p, s)
	checkLine(t, name, p, s, inside, spout, right)
	keys, numbers := s.of("key"), s.of("key-number")
	if len(keys) != len(b.Keys) || len(numbers) != len(b.Keys) {
		t.Fatalf("%s: %d ovals with %d numbers, want %d", name, len(keys), len(numbers), len(b.Keys))
	}
	for i, k := range b.Keys {
		oval := s.points(keys[i])
		middle, long, wide, axis := ovalOf(oval)
		if have := [4]float64{fromSide(inside, spout, middle), fromSide(inside, right, middle), long, wide}; !allNear(have[:], []float64{k.FromSpoutMM, k.FromRightMM, k.LengthMM, k.WidthMM}, 0.02) {
			t.Errorf("%s: key %d is at and as large as %v, want %v", name, i+1, have, k)
		}
		ahead, left := into[spout], into[right]
		turn := math.Atan2(axis.X*left.X+axis.Y*left.Y, axis.X*ahead.X+axis.Y*ahead.Y) * 180 / math.Pi
		if d := math.Mod(turn-k.TurnDeg+540, 180); min(d, 180-d) > 0.5 {
			t.Errorf("%s: key %d is turned by %g°, want %g°", name, i+1, turn, k.TurnDeg)
		}
		if at := (Point{s.number(numbers[i], "x"), s.number(numbers[i], "y") - 1}); !within(oval, at) {
			t.Errorf("%s: number %s is not in its oval", name, numbers[i].text)
		}
	}
	checkDepths(t, name, b, s)
	mouth := s.one("spout")
	a, c := Point{s.number(mouth, "x1"), s.number(mouth, "y1")}, Point{s.number(mouth, "x2"), s.number(mouth, "y2")}
	mid := Point{(a.X + c.X) / 2, (a.Y + c.Y) / 2}
	at := spoutOf(p)
	at[2] = 0
	_, fromRight, _ := b.Measured(at, 1)
	if d := math.Hypot(c.X-a.X, c.Y-a.Y); !near(d, p.Stand.SpoutDiameterMM, 1e-3) || !near(fromSide(inside, spout, mid), 0, 1e-3) || !near(fromSide(inside, right, mid), fromRight, 1e-3) {
		t.Errorf("%s: the spout is %g across, %g in from its wall and %g from the right, want %g, 0, %g", name, d, fromSide(inside, spout, mid), fromSide(inside, right, mid), p.Stand.SpoutDiameterMM, fromRight)
	}
	if steps := s.of("bed-step"); len(steps) != len(p.Cut.Steps) || len(s.of("bed-step-label")) != len(steps) {
		t.Errorf("%s: %d steps with %d heights, want %d", name, len(steps), len(s.of("bed-step-label")), len(p.Cut.Steps))
	}
	if posts := s.of("post"); len(posts) != len(ventsOf(p)) {
		t.Errorf("%s: %d posts, want %d", name, len(posts), len(ventsOf(p)))
	}
}

func allNear(have, want []float64, by float64) bool {
	for i := range want {
		if !near(have[i], want[i], by) {
			return false
		}
	}
	return true
}

// ovalOf measures a polygon that stands for an oval.
func ovalOf(points []Point) (middle Point, long, wide float64, axis Point) {
	n := float64(len(points))
	for _, q := range points {
		middle = middle.plus(q.X/n, q.Y/n)
	}
	wide = math.Inf(1)
	for i, q := range points {
		o := points[(i+len(points)/2)%len(points)]
		d := math.Hypot(o.X-q.X, o.Y-q.Y)
		if d > long {
			long, axis = d, Point{(o.X - q.X) / d, (o.Y - q.Y) / d}
		}
		wide = min(wide, d)
	}
	return middle, long, wide, axis
}

// checkOutline holds the drawn line round the part against the plan's, seen from above.
func checkOutline(t *testing.T, name string, p *analysis.Plan, s svgDrawing) {
	t.Helper()
	n, drawnMM, seenMM := p.Cut.Normal, 0.0, 0.0
	for _, e := range s.of("pattern") {
		points := s.points(e)
		for i, a := range points {
			c := points[(i+1)%len(points)]
			drawnMM += math.Hypot(c.X-a.X, c.Y-a.Y)
		}
	}
	for _, loop := range p.Cut.Outline {
		if len(loop) < 3 {
			continue
		}
		for i, a := range loop {
			c, up, sum := loop[(i+1)%len(loop)], 0.0, 0.0
			for k := range a {
				up += (c[k] - a[k]) * n[k]
				sum += (c[k] - a[k]) * (c[k] - a[k])
			}
			seenMM += math.Sqrt(max(0, sum-up*up))
		}
	}
	if !near(drawnMM, seenMM, 0.002*seenMM) || !uneven(p.TwoPart) && !near(drawnMM, p.Cut.OutlineMM, 0.01*p.Cut.OutlineMM) {
		t.Errorf("%s: the line round the part is drawn %g mm long; from above it is %g, in all %g", name, drawnMM, seenMM, p.Cut.OutlineMM)
	}
}

// checkDepths looks for the depth of every key.
func checkDepths(t *testing.T, name string, b *analysis.TwoPart, s svgDrawing) {
	t.Helper()
	var have, want []string
	for _, e := range s.of("key-depth") {
		have = append(have, e.text)
	}
	for _, k := range b.Keys {
		want = append(want, say.Metric.Length(k.DepthMM), say.Inch.Length(k.DepthMM))
	}
	slices.Sort(have)
	slices.Sort(want)
	if !slices.Equal(have, want) {
		t.Errorf("%s: depths read %q, want %q", name, have, want)
	}
}

// The steps of the made-up bed are 80 and 90 mm from the spout, where the clay is 47 and
// 35 mm high: the back, which is up, is +y, and the bed goes 12 mm to the front.
func TestBedSteps(t *testing.T) {
	for _, wide := range []bool{false, true} {
		s := drawn(t, buoyBed(wide, true), say.Metric)["bed"]
		inside := bounds(s.points(s.one("inside")))
		spout := sideOfBox(t, s, inside, "SPOUT END")
		for i, want := range []float64{80, 90} {
			e := s.of("bed-step")[i]
			for _, end := range []Point{{s.number(e, "x1"), s.number(e, "y1")}, {s.number(e, "x2"), s.number(e, "y2")}} {
				if have := fromSide(inside, spout, end); !near(have, want, 1e-3) {
					t.Errorf("wide %v: step %d is %g mm from the spout end, want %g", wide, i+1, have, want)
				}
			}
			if have, want := s.of("bed-step-label")[i].text, []string{"clay 47 mm", "clay 35 mm"}[i]; have != want {
				t.Errorf("step %d reads %q, want %q", i+1, have, want)
			}
		}
	}
}

// checkLyingWalls measures the walls: both fill lines, the clay, and the spout.
func checkLyingWalls(t *testing.T, name string, p *analysis.Plan) {
	t.Helper()
	b, spouts, count := p.TwoPart, 0, 0
	for file, s := range drawn(t, p, say.Both) {
		if !strings.HasPrefix(file, "panel-") {
			continue
		}
		count++
		r := bounds(s.points(s.one("panel")))
		if up := r.Max.Y - s.number(s.one("fill-line"), "y1"); !near(up, b.Parts[0].LevelMM, 1e-3) {
			t.Errorf("%s: the fill line of %s is %g mm up", name, file, up)
		}
		if down := s.number(s.one("fill-line-2"), "y1") - r.Min.Y; !near(down, b.Parts[1].LevelMM, 1e-3) {
			t.Errorf("%s: the second fill line of %s is %g mm from the upper edge", name, file, down)
		}
		clay := s.of("clay-line")
		if len(clay) == 0 {
			t.Errorf("%s: no clay line on %s", name, file)
		}
		for _, e := range clay {
			for _, q := range clayPoints(s, e) {
				if up := r.Max.Y - q.Y; up < b.LowMM-0.01 || up > b.HighMM+0.01 {
					t.Errorf("%s: the clay line of %s is %g mm up, want %g to %g", name, file, up, b.LowMM, b.HighMM)
				}
			}
		}
		for _, class := range []string{"up", "panel-name", "face", "clay-label", "fill-label", "fill-label-2"} {
			if n := len(s.of(class)); n != 1 {
				t.Errorf("%s: %s has %d of %s", name, file, n, class)
			}
		}
		spouts += len(s.of("spout"))
	}
	if spouts != 1 || count != 4 {
		t.Errorf("%s: %d walls with %d spouts", name, count, spouts)
	}
}

// The made-up spout, at x = 5 and y = −8 of a block 110 mm deep, is 47 mm up. Seen from
// outside the spout end looks along +z with the back up, so +x is on the left: 60 + 5
// from the right of the end, and of the wide block's side 106 + 18 + 5.
func TestSpoutOnItsWall(t *testing.T) {
	for file, c := range map[string]struct {
		wide  bool
		right float64
	}{"panel-end-spout-end": {false, 65}, "panel-side-spout-end": {true, 129}} {
		p := buoyBed(c.wide, false)
		s := drawn(t, p, say.Metric)[file]
		r, spout, later, post := bounds(s.points(s.one("panel"))), s.one("spout"), s.one("spout-2"), s.one("post")
		have := []float64{r.Max.X - s.number(spout, "cx"), r.Max.Y - s.number(spout, "cy"), 2 * s.number(spout, "r"), s.number(spout, "cy") - s.number(later, "cy")}
		if !allNear(have, []float64{c.right, 47, 30, 12}, 1e-3) {
			t.Errorf("%s: the spout is at %v", file, have)
		}
		if x, y := r.Max.X-s.number(post, "cx"), r.Max.Y-s.number(post, "cy"); !near(x, c.right-41, 1e-3) || !near(y, 52, 1e-3) {
			t.Errorf("%s: the post ends at %g, %g", file, x, y)
		}
	}
}

// On the side walls of a stepped bed the clay falls from 47 to 35 mm, 80 to 90 mm from
// the spout end: on the right wall, seen from outside, from its left end.
func TestSteppedClayOnWalls(t *testing.T) {
	files := drawn(t, buoyBed(false, true), say.Metric)
	for file, fromLeft := range map[string]bool{"panel-side-right": true, "panel-side-left": false} {
		s := files[file]
		r := bounds(s.points(s.one("panel")))
		var have [][2]float64
		for _, e := range s.of("clay-line") {
			for _, q := range clayPoints(s, e) {
				x := q.X - r.Min.X - 18
				if !fromLeft {
					x = r.Max.X - 18 - q.X
				}
				have = append(have, [2]float64{x, r.Max.Y - q.Y})
			}
		}
		for _, want := range [][2]float64{{0, 47}, {80, 47}, {90, 35}, {212, 35}} {
			if !slices.ContainsFunc(have, func(q [2]float64) bool { return near(q[0], want[0], 1e-3) && near(q[1], want[1], 1e-3) }) {
				t.Errorf("%s: the clay line passes %v, not %v", file, have, want)
			}
		}
	}
}

// checkPartStrip measures the strip of a part from its lower end.
func checkPartStrip(t *testing.T, name string, p *analysis.Plan, i int) {
	t.Helper()
	part, s := p.TwoPart.Parts[i], drawn(t, p, say.Both)[[2]string{"strip-1", "strip-2"}[i]]
	board := bounds(s.points(s.one("strip"))).Max.Y
	full, below := board-s.number(s.one("full"), "y1"), board-s.number(s.one("below"), "y1")
	low, high := part.LevelMM-part.DepthMM, 0.0
	if b := p.TwoPart; uneven(b) {
		low, high = [2]float64{b.LowMM, b.InsideMM[2] - b.HighMM}[i], [2]float64{b.HighMM, b.InsideMM[2] - b.LowMM}[i]
		if have := board - s.number(s.one("below-high"), "y1"); !near(have, high, 0.01) {
			t.Errorf("%s: below part %d it is %g mm high, want %g", name, i+1, have, high)
		}
	}
	if !near(full, part.LevelMM, 0.01) || !near(below, low, 0.01) {
		t.Errorf("%s: part %d is full at %g over %g, want %g over %g", name, i+1, full, below, part.LevelMM, low)
	}
	var have, want []float64
	for _, class := range []string{"mark", "batch"} {
		for _, e := range s.of(class) {
			have = append(have, board-s.number(e, "y1"))
		}
	}
	for _, m := range part.Marks {
		want = append(want, m.LevelMM)
	}
	for _, b := range part.Batches[:len(part.Batches)-1] {
		want = append(want, b.LevelMM)
	}
	want = slices.DeleteFunc(want, func(l float64) bool { return near(l, part.LevelMM, 0.05) })
	slices.Sort(have)
	slices.Sort(want)
	if len(have) != len(want) || !allNear(have, want, 0.01) {
		t.Errorf("%s: the ticks of part %d are at %v, want %v", name, i+1, have, want)
	}
}

// words are all that is written on the drawings of a plan, in small letters.
func words(t *testing.T, p *analysis.Plan) string {
	t.Helper()
	var all []string
	for _, s := range drawn(t, p, say.Both) {
		for _, e := range s.elements {
			all = append(all, e.text)
		}
	}
	return strings.ToLower(strings.Join(all, "\n"))
}

// What belongs to one style of mold is not said of the other.
func TestWordsOfStyles(t *testing.T) {
	for name, p := range beds() {
		text := words(t, p)
		for _, unwanted := range []string{"block", "slit", "knife", "hinge", "glue", "blade", "front", "half"} {
			if strings.Contains(text, unwanted) {
				t.Errorf("%s says %q", name, unwanted)
			}
		}
	}
	for name, p := range invented() {
		text := words(t, p)
		for _, unwanted := range []string{"clay", "bed", "dimple", "first pour", "second", "spout end of"} {
			if strings.Contains(text, unwanted) {
				t.Errorf("%s says %q", name, unwanted)
			}
		}
	}
}

// Odd figures of a bed break nothing.
func TestOddBeds(t *testing.T) {
	for name, change := range map[string]func(p *analysis.Plan){
		"no keys":      func(p *analysis.Plan) { p.TwoPart.Keys = nil },
		"no rim":       func(p *analysis.Plan) { p.Cut.Rim = nil },
		"no outline":   func(p *analysis.Plan) { p.Cut.Outline = nil },
		"no panels":    func(p *analysis.Plan) { p.Box.Panels = nil },
		"no spout":     func(p *analysis.Plan) { p.Stand = analysis.Stand{} },
		"no size":      func(p *analysis.Plan) { p.TwoPart.InsideMM[0] = math.NaN() },
		"infinite":     func(p *analysis.Plan) { p.TwoPart.InsideMM[1] = math.Inf(1) },
		"odd levels":   func(p *analysis.Plan) { p.TwoPart.Parts[0].LevelMM = math.NaN() },
		"no direction": func(p *analysis.Plan) { p.TwoPart.Rotation = [3][3]float64{} },
	} {
		p := buoyBed(false, true)
		change(p)
		for _, f := range Files(p, say.Both) {
			if text := string(f.Data); strings.HasSuffix(f.Name, ".svg") && (strings.Contains(text, "NaN") || strings.Contains(text, "Inf")) {
				t.Errorf("%s: %s reads NaN or Inf", name, f.Name)
			}
		}
	}
}
