package drawing

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/render/say"
)

func TestCutFace(t *testing.T) {
	for name, p := range bells() {
		checkCutFace(t, name, p)
	}
}

// checkCutFace measures the face of the cut back from its SVG.
func checkCutFace(t *testing.T, name string, p *analysis.Plan) {
	t.Helper()
	s, ok := drawn(t, p, say.Metric)["cut-face"]
	if !ok {
		t.Fatalf("%s: no face of the cut", name)
	}
	c := p.Cut
	rim := s.points(s.one("rim"))
	var pattern [][]Point
	around := 0.0
	for _, e := range s.of("pattern") {
		loop := s.points(e)
		pattern = append(pattern, loop)
		around += long(append(slices.Clone(loop), loop[0]))
	}
	// A stepped outline goes straight from one edge of the scan to the next, rolled out it goes
	// along the sheet.
	share := map[bool]float64{true: 0.005, false: 0.015}[c.Surface == "plane"]
	if !near(around, c.OutlineMM, share*c.OutlineMM+0.5) {
		t.Errorf("%s: the outline is %.1f mm, want %.1f", name, around, c.OutlineMM)
	}
	checkCutArea(t, name, p, s, rim, pattern)
	checkLand(t, name, &c, s, pattern)
	checkKeys(t, name, &c, s, rim, pattern)
	checkKnife(t, name, &c, s, rim, pattern)
	checkSlit(t, name, &c, s, rim, pattern)
}

func long(line []Point) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += math.Hypot(line[i].X-line[i-1].X, line[i].Y-line[i-1].Y)
	}
	return sum
}

// shoelace is the area of a polygon.
func shoelace(polygon []Point) float64 {
	sum := 0.0
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		sum += a.X*b.Y - b.X*a.Y
	}
	return math.Abs(sum) / 2
}

// inside counts crossings of a ray to the right.
func inside(polygon []Point, p Point) bool {
	n := 0
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		if (a.Y > p.Y) != (b.Y > p.Y) && a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) > p.X {
			n++
		}
	}
	return n%2 == 1
}

// apartMM is how far a place is from lines, by looking at every piece of them.
func apartMM(lines [][]Point, p Point, closed bool) float64 {
	least := math.Inf(1)
	for _, line := range lines {
		n := len(line)
		if !closed {
			n--
		}
		for i := range n {
			a, b := line[i], line[(i+1)%len(line)]
			d := Point{b.X - a.X, b.Y - a.Y}
			f := 0.0
			if l := d.X*d.X + d.Y*d.Y; l > 0 {
				f = max(0, min(1, ((p.X-a.X)*d.X+(p.Y-a.Y)*d.Y)/l))
			}
			least = min(least, math.Hypot(p.X-a.X-f*d.X, p.Y-a.Y-f*d.Y))
		}
	}
	return least
}

// checkCutArea takes the rubber in the cut from the drawing: rim less part, stem and
// the part's holes.
func checkCutArea(t *testing.T, name string, p *analysis.Plan, s svgDrawing, rim []Point, pattern [][]Point) {
	t.Helper()
	area := shoelace(rim)
	for i, loop := range pattern {
		sign := -1.0
		for k, other := range pattern {
			if k != i && inside(other, loop[0]) {
				sign = -sign
			}
		}
		area += sign * shoelace(loop)
	}
	for _, e := range s.of("spout") {
		if e.tag == "polygon" {
			area -= shoelace(s.points(e))
		}
	}
	area -= ventsCut(p)
	want := p.Cut.AreaMM2
	if want == 0 && len(p.Cut.Steps) == 0 { // the bell: the box's chord, the ball and the stem by hand
		high := 150.0
		lean := math.Hypot(p.Cut.Normal[0], p.Cut.Normal[1])
		across := math.Hypot(p.Cut.Rim[1][0]-p.Cut.Rim[0][0], p.Cut.Rim[1][1]-p.Cut.Rim[0][1])
		want = across*high/lean - math.Pi*40*40 - 30*20/lean
		if lean < 1 { // the stem's section is no rectangle, and the box's edge above comes sooner
			return
		}
	}
	if want > 0 && p.Cut.Surface == "plane" && math.Abs(p.Cut.Normal[2]) < 0.01 && !near(area, want, 0.01*want) {
		t.Errorf("%s: %.0f mm² of rubber are drawn, want %.0f", name, area, want)
	}
}

// ventsCut is how much of the cut's plane lies in vents, by chords across them, mm².
func ventsCut(p *analysis.Plan) float64 {
	sum := 0.0
	for _, v := range ventsOf(p) {
		a, b := vec(v.FromMM), vec(v.ToMM)
		const steps = 1000
		for k := range steps {
			q := r3.Add(a, r3.Scale((float64(k)+0.5)/steps, r3.Sub(b, a)))
			off := r3.Dot(vec(p.Cut.Normal), r3.Sub(q, vec(p.Cut.PointMM)))
			if r := v.DiameterMM / 2; math.Abs(off) < r {
				sum += 2 * math.Sqrt(r*r-off*off) * r3.Norm(r3.Sub(b, a)) / steps
			}
		}
	}
	return sum
}

// checkLand measures from places all along the land to every piece of the outline.
func checkLand(t *testing.T, name string, c *analysis.Cut, s svgDrawing, pattern [][]Point) {
	t.Helper()
	if len(s.of("land")) != len(c.Land) {
		t.Errorf("%s: %d lands, want %d", name, len(s.of("land")), len(c.Land))
	}
	if c.Surface != "plane" {
		return
	}
	for _, e := range s.of("land") {
		line := s.points(e)
		for i := 1; i < len(line); i++ {
			mid := Point{(line[i].X + line[i-1].X) / 2, (line[i].Y + line[i-1].Y) / 2}
			if d := apartMM(pattern, line[i], true); !near(d, c.LandMM, 0.2) {
				t.Errorf("%s: the land is %.2f mm from the part at %v, want %g", name, d, line[i], c.LandMM)
			}
			// Where the land turns in sharply, the chord between two of its points is further out.
			if d := apartMM(pattern, mid, true); d < c.LandMM-0.2 || d > c.LandMM+0.5 {
				t.Errorf("%s: the land is %.2f mm from the part at %v, want %g", name, d, mid, c.LandMM)
			}
		}
	}
}

// checkKeys looks for key lines that leave the rubber or come too near, and for each
// wave's depth beside its crest.
func checkKeys(t *testing.T, name string, c *analysis.Cut, s svgDrawing, rim []Point, pattern [][]Point) {
	t.Helper()
	const leastMM = 5 - 0.1
	for _, e := range s.of("key-line") {
		for _, p := range s.points(e) {
			if !inside(rim, p) || apartMM([][]Point{rim}, p, true) < leastMM && c.Surface == "plane" {
				t.Errorf("%s: the key line comes within 5 mm of the outside at %v", name, p)
			}
			if d := apartMM(pattern, p, true); d < leastMM && c.Surface == "plane" {
				t.Errorf("%s: the key line comes within %.2f mm of the part at %v", name, d, p)
			}
		}
	}
	// Toward whoever looks, from the front, the right or above, is +.
	toward := 1.0
	n := c.Normal
	if from := lookedFrom(vec(n)); from.X*n[0]+from.Y*n[1]+from.Z*n[2] < 0 {
		toward = -1
	}
	lines, labels, waves := s.of("key-line"), s.of("wave-label"), 0
	for i, k := range c.KeyLines {
		line := s.points(lines[i])
		for _, w := range k.Waves {
			crest := slices.Index(k.Points, w.AtMM)
			if w.AmplitudeMM == 0 || w.DepthMM == 0 || crest < 0 {
				continue
			}
			waves++
			want := map[bool]string{true: "+", false: "−"}[w.DepthMM*toward > 0] + say.Metric.Length(math.Abs(w.DepthMM))
			if !slices.ContainsFunc(labels, func(e svgElement) bool {
				return e.text == want && math.Hypot(s.number(e, "x")-line[crest].X, s.number(e, "y")-line[crest].Y) < 16
			}) {
				t.Errorf("%s: %s is not written by the crest at %v", name, want, line[crest])
			}
		}
	}
	if len(labels) != waves {
		t.Errorf("%s: %d depths are written, want %d", name, len(labels), waves)
	}
}

// checkKnife measures how deep the knife is drawn to go.
func checkKnife(t *testing.T, name string, c *analysis.Cut, s svgDrawing, rim []Point, pattern [][]Point) {
	t.Helper()
	depths, labels := s.of("knife-depth"), s.of("knife-label")
	least := len(c.Knife) * 7 / 10
	if c.Surface != "plane" { // marks so close that their figures would cover each other
		least = min(1, len(c.Knife))
	}
	if len(depths) != len(labels) || len(depths) < least {
		t.Errorf("%s: %d depths, %d figures, %d marks", name, len(depths), len(labels), len(c.Knife))
		return
	}
	for i, e := range depths {
		a, b := Point{s.number(e, "x1"), s.number(e, "y1")}, Point{s.number(e, "x2"), s.number(e, "y2")}
		d := math.Hypot(b.X-a.X, b.Y-a.Y)
		if !slices.ContainsFunc(c.Knife, func(k analysis.KnifeMark) bool { return near(k.ToLandMM, d, 0.001) }) {
			t.Errorf("%s: no mark has the depth %.2f", name, d)
		}
		if apartMM([][]Point{rim}, a, true) > 0.01 {
			t.Errorf("%s: a depth of the knife begins %v, off the edge", name, a)
		}
		if off := apartMM(pattern, b, true); c.Surface == "plane" && (off < c.LandMM-0.2 || off > c.LandMM+2) {
			t.Errorf("%s: the knife ends %.2f mm from the part, want %g", name, off, c.LandMM)
		}
		if want := fmt.Sprintf("%.0f mm", math.Floor(d+1e-4)); labels[i].text != want {
			t.Errorf("%s: %q is written beside %.2f mm", name, labels[i].text, d)
		}
	}
}

// checkSlit measures slit and hinge, and that only rubber left whole is hatched.
func checkSlit(t *testing.T, name string, c *analysis.Cut, s svgDrawing, rim []Point, pattern [][]Point) {
	t.Helper()
	path := func(class string) []Point {
		if len(s.of(class)) == 0 {
			return nil
		}
		return s.points(s.one(class))
	}
	slit, hinge := path("slit"), path("hinge")
	round := 0.0
	for _, e := range s.of("slit-round") {
		loop := s.points(e)
		round += long(append(loop, loop[0]))
	}
	if want := map[bool]float64{true: c.OutlineMM}[c.Slit.Full]; !near(round, want, 0.005*want+1) {
		t.Errorf("%s: %.1f mm are cut all round, want %.1f", name, round, want)
	}
	if !c.Slit.Full && c.SlitMM > 0 && !near(long(slit), c.SlitMM, 0.005*c.SlitMM+1.5) {
		t.Errorf("%s: the slit is %.1f mm, want %.1f", name, long(slit), c.SlitMM)
	}
	if c.Hinge == nil {
		if len(hinge) > 0 || len(s.of("hinge-hatch")) > 0 || len(s.of("stop")) > 0 {
			t.Errorf("%s: a hinge is drawn", name)
		}
		return
	}
	if !near(long(hinge), c.Hinge.LengthMM, 0.005*c.Hinge.LengthMM+1.5) {
		t.Errorf("%s: the hinge is %.1f mm, want %.1f", name, long(hinge), c.Hinge.LengthMM)
	}
	if c.Hinge.Stop == nil || len(slit) == 0 {
		return
	}
	hatch := s.of("hinge-hatch")
	if len(hatch) < 5 || len(s.of("stop-label")) != 1 {
		t.Errorf("%s: %d lines of hatching, %d stops", name, len(hatch), len(s.of("stop-label")))
	}
	// Hatching never lies in the part; where a place of it can be seen straight from the
	// outline, it is the hinge that is seen.
	for _, e := range hatch {
		mid := Point{(s.number(e, "x1") + s.number(e, "x2")) / 2, (s.number(e, "y1") + s.number(e, "y2")) / 2}
		in := false
		for _, loop := range pattern {
			in = in != inside(loop, mid)
		}
		if in || !inside(rim, mid) {
			t.Errorf("%s: hatching at %v, where no rubber is", name, mid)
		}
		if near := apartMM([][]Point{slit}, mid, false); near < 3 && apartMM([][]Point{hinge}, mid, false) > near+3 {
			t.Errorf("%s: hatching at %v, along the slit", name, mid)
		}
	}
}

// A stepped sheet is rolled out by a closed form: 3-4-5 triangles on the way.
func TestUnroll(t *testing.T) {
	along := [3]float64{1, 0, 0}
	c := analysis.Cut{Normal: [3]float64{0, -1, 0}, Rim: make([][3]float64, 3), StepsAlong: &along,
		Steps: []analysis.CutStep{{AtMM: -40, OffsetMM: 0}, {AtMM: 0, OffsetMM: 30}, {AtMM: 20, OffsetMM: 30}, {AtMM: 60, OffsetMM: 0}}}
	un, ok := newUnroller(&c)
	if !ok {
		t.Fatal("no cut")
	}
	for at, want := range map[float64]float64{0: 0, -40: -50, -50: -60, -20: -25, 20: 20, 40: 45, 60: 70, 90: 100} {
		if have := un.flat([3]float64{at, 7, 33}); !near(have.X, want, 1e-9) || !near(have.Y, 33, 1e-9) {
			t.Errorf("%g comes to lie at %v, want %g, 33", at, have, want)
		}
	}
}

// Whoever looks stands in front, at the right or above, and sees the cut upright.
func TestUnrollerLooks(t *testing.T) {
	for _, n := range [][3]float64{{0, 1, 0}, {0, -1, 0}, {1, 0, 0}, {-1, 0, 0}, {0.8, 0.6, 0}, {0, 0.6, 0.8}, {0, 0, -1}, {0.6, 0, -0.8}, {math.Sqrt(0.5), math.Sqrt(0.5), 0}} {
		un, _ := newUnroller(&analysis.Cut{Normal: n, Rim: make([][3]float64, 3)})
		if d := r3.Dot(un.toward, lookedFrom(un.toward)); d < 0.5 {
			t.Errorf("%v is looked at from %v", n, un.toward)
		}
		if r3.Norm(r3.Sub(r3.Cross(un.right, un.up), un.toward)) > 1e-9 || un.up.Z < -1e-9 || r3.Norm(r3.Sub(un.toward, r3.Scale(un.sign, vec(n)))) > 1e-9 {
			t.Errorf("%v: right %v, up %v, toward %v, sign %g", n, un.right, un.up, un.toward, un.sign)
		}
	}
}

func TestNoCutFace(t *testing.T) {
	for name, change := range map[string]func(p *analysis.Plan){
		"no rim":      func(p *analysis.Plan) { p.Cut.Rim = nil },
		"no normal":   func(p *analysis.Plan) { p.Cut.Normal = [3]float64{} },
		"normal NaN":  func(p *analysis.Plan) { p.Cut.Normal[1] = math.NaN() },
		"no level":    func(p *analysis.Plan) { p.Box.RubberLevelMM = 0 },
		"rim nowhere": func(p *analysis.Plan) { p.Cut.Rim[0][0] = math.NaN() },
	} {
		p := bell([3]float64{0, 1, 0}, nil, true)
		change(p)
		if have := names(Files(p, say.Both)); strings.Contains(have, "cut") || strings.Contains(have, "block") {
			t.Errorf("%s: %s", name, have)
		}
	}
}
