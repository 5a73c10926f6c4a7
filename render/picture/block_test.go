package picture

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh/meshtest"
)

// inTube makes the box of a plan a tube around its rectangle.
func inTube(p *analysis.Plan) {
	in := p.Box.InsideMM
	r := math.Hypot(in[0], in[1]) / 2
	p.Box.Shape, p.Box.RadiusMM = "tube", &r
	p.Box.InsideMM = [3]float64{2 * r, 2 * r, in[2]}
}

// faceted8 makes it a box of eight facets: the rectangle with a third of its
// shorter side cut off at each corner.
func faceted8(p *analysis.Plan) {
	x, y := p.Box.InsideMM[0]/2, p.Box.InsideMM[1]/2
	c := 2 * math.Min(x, y) / 3
	p.Box.Shape = faceted
	p.Box.OutlineMM = [][2]float64{{c - x, -y}, {x - c, -y}, {x, c - y}, {x, y - c}, {x - c, y}, {c - x, y}, {-x, y - c}, {-x, c - y}}
}

var otherShapes = []struct {
	name string
	make func(*analysis.Plan)
}{{"tube", inTube}, {"faceted", faceted8}}

// The span of a line of sight in a tube and in a faceted box against small steps.
func TestSpanInOtherShapesAgainstSteps(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	const step = 0.05
	for _, shape := range otherShapes {
		p := &analysis.Plan{}
		p.Box.InsideMM = [3]float64{60, 40, 90}
		shape.make(p)
		s, err := newScene(meshtest.Box(1, 1, 1), p, worded())
		if err != nil {
			t.Fatal(err)
		}
		inside := func(q r3.Vec) bool {
			if q.Z < 0 || q.Z > 90 {
				return false
			}
			if r := p.Box.RadiusMM; r != nil {
				return math.Hypot(q.X, q.Y) < *r
			}
			x, y := math.Abs(q.X), math.Abs(q.Y)
			return x < 30 && y < 20 && x+y < 50-40.0/3
		}
		most := 0.0
		for range 200 {
			cam := lookFrom(random.Float64()*80-40, 25)
			from := cam.ray(point{random.Float64()*140 - 70, random.Float64()*140 - 110})
			sp := s.walls.span(from, cam.toward)
			var long float64
			for d := -150.0; d < 150; d += step {
				if inside(r3.Sub(from, r3.Scale(d, cam.toward))) {
					long += step
				}
			}
			got := math.Max(sp.out-sp.in, 0)
			if math.Abs(got-long) > 2*step {
				t.Fatalf("%s: %.2f mm of rubber, steps find %.2f", shape.name, got, long)
			}
			if most = math.Max(most, got); got > s.walls.longest(cam)+1e-9 {
				t.Errorf("%s: %.2f mm is longer than the longest way, %.2f", shape.name, got, s.walls.longest(cam))
			}
		}
		if most < 30 {
			t.Errorf("%s: the longest way found is only %.1f mm", shape.name, most)
		}
	}
}

// The longest way through a block that is high enough is the longest chord of its
// outline over the cosine of the view's height: closed forms of a circle and of a
// rectangle.
func TestLongestWay(t *testing.T) {
	tube := newPrism(circle(r3.Vec{}, 40)[:72], 40, 1e4)
	box := newPrism(rim(r3.Box{Min: r3.Vec{X: -30, Y: -20}, Max: r3.Vec{X: 30, Y: 20}}, 0, 0), 0, 1e4)
	rise, turn := math.Cos(25*math.Pi/180), math.Cos(30*math.Pi/180)
	cam := lookFrom(30, 25)
	if got, want := tube.longest(cam), 80/rise; math.Abs(got-want) > 1e-6 {
		t.Errorf("tube: %g mm, want %g", got, want)
	}
	if got, want := box.longest(cam), 40/turn/rise; math.Abs(got-want) > 1e-6 {
		t.Errorf("box: %g mm, want %g", got, want)
	}
	box.top = 10
	if got, want := box.longest(cam), 10/math.Sin(25*math.Pi/180); math.Abs(got-want) > 1e-6 {
		t.Errorf("low box: %g mm, want %g", got, want)
	}
}

// The plane's polygon in a tube, as wide as the chord, and in a faceted box.
func TestPlaneAcrossOtherShapes(t *testing.T) {
	for _, c := range []struct {
		make   func(*analysis.Plan)
		normal [3]float64
		at     float64
		area   float64 // closed form
	}{
		{inTube, [3]float64{0, 1, 0}, 0, 100 * 90},
		{inTube, [3]float64{1, 1, 0}, 30, 80 * 90},
		{inTube, [3]float64{1, 0, 0}, 51, 0},
		{faceted8, [3]float64{0, 1, 0}, 0, 80 * 90},
		{faceted8, [3]float64{0, 1, 0}, 30, (80 - 2*20) * 90},
	} {
		p := &analysis.Plan{}
		p.Box.InsideMM = [3]float64{80, 60, 90} // the tube around it is 100 wide
		c.make(p)
		s, err := newScene(meshtest.Box(1, 1, 1), p, worded())
		if err != nil {
			t.Fatal(err)
		}
		n := r3.Unit(vec(c.normal))
		at := r3.Scale(c.at-1e-9, n)
		s.setCut(analysis.Cut{Normal: c.normal, PointMM: [3]float64{at.X, at.Y, at.Z}})
		var twice r3.Vec
		poly := s.acrossBlock()
		for i, q := range poly {
			twice = r3.Add(twice, r3.Cross(q, poly[(i+1)%len(poly)]))
		}
		// 72 sides reach within a thousandth of the circle.
		if got := math.Abs(r3.Dot(twice, s.cut.n)) / 2; math.Abs(got-c.area) > 0.002*c.area+1e-6 {
			t.Errorf("%s, normal %v at %g: %g mm², want %g", p.Box.Shape, c.normal, c.at, got, c.area)
		}
	}
}

// A filler takes the place of rubber: the rubber before a place is less by the way
// through the filler, and its faces are seen.
func TestFillersTakeRubberAway(t *testing.T) {
	s := boxed(t, meshtest.Box(1, 1, 1), 60, 60, 60)
	s.setFillers([]analysis.Filler{{Kind: "block", HeightMM: 70, FootMM: [][2]float64{{-30, -30}, {30, -30}, {30, -20}, {-30, -20}}}})
	cam := lookFrom(0, 30)
	r := s.rubber(cam)
	from := cam.ray(cam.at(r3.Vec{Z: 20}))
	sp := r.span(from)
	veils, inside := r.throughFillers(nil, from, sp.in, sp.out)
	if got, want := inside.between(sp.in, sp.out), 10/math.Cos(30*math.Pi/180); math.Abs(got-want) > 1e-9 {
		t.Errorf("%g mm through the filler, want %g", got, want)
	}
	if len(veils) != 2 || math.Abs(veils[0].depth-sp.in) > 1e-9 {
		t.Errorf("faces of the filler: %+v", veils)
	}
	with := r.over(from, chalk, sp.out-1e-6)
	r.fillers = nil
	if without := r.over(from, chalk, sp.out-1e-6); with.R <= without.R {
		t.Errorf("no warmer with wood in the place of rubber: %v, %v", with, without)
	}
}

// Labels keep clear in boxes of every shape, with pins, fillers and straps.
func TestOtherShapesKeepClear(t *testing.T) {
	for _, shape := range otherShapes {
		for _, of := range shapes {
			m, p := shaped(t, of.mesh, 0.1, 1)
			p.CastTrap = nil
			shape.make(p)
			p.Bow.Bracing = &analysis.BraceTrial{Name: "strap: two, pulled tight", HeightsMM: []float64{0.3 * p.Box.InsideMM[2], 0.6 * p.Box.InsideMM[2]}}
			s, err := newScene(m, p, worded())
			if err != nil {
				t.Fatal(err)
			}
			c := newCanvas()
			l := s.layout(c.letters, s.chooseView())
			c.drawTitle(s)
			c.drawColumn(s)
			c.drawBraces(s, l)
			c.drawDimensions(l, &opaque{})
			labelsAreClear(t, &drawing{canvas: c, layout: l})
			if l.cam.scale*s.size < 380 {
				t.Errorf("%s, %s: the block is only %.0f px from corner to corner", shape.name, of.name, l.cam.scale*s.size)
			}
			if len(l.braces) != 2 || l.braces[0].box == (rect{}) || l.braces[1].box == (rect{}) {
				t.Errorf("%s, %s: straps without a height", shape.name, of.name)
			}
		}
	}
}

// A tube has one dimension across, which is as long as it is wide; a faceted box
// has its over-all sizes.
func TestDimensionsOfOtherShapes(t *testing.T) {
	for _, shape := range otherShapes {
		m, p := planned(t, vase(120, 200, 48), job{name: "vase", clearance: 16, spout: 40})
		shape.make(p)
		d := drawn(t, m, p, worded())
		labelsAreClear(t, d)
		want := map[string]r3.Vec{"inside diameter": {X: p.Box.InsideMM[0]}}
		if shape.name == "faceted" {
			want = map[string]r3.Vec{"inside length over all": {X: p.Box.InsideMM[0]}, "inside width over all": {Y: p.Box.InsideMM[1]}}
		}
		across := 0
		for _, dim := range d.layout.dimensions {
			if dim.level {
				continue
			}
			across++
			cam := d.layout.cam
			if px := cam.at(want[dim.name]).minus(cam.at(r3.Vec{})).length(); math.Abs(dim.to.minus(dim.from).length()-px) > 0.2 {
				t.Errorf("%s: %s is %.1f px long, want %.1f", shape.name, dim.name, dim.to.minus(dim.from).length(), px)
			}
		}
		if across != len(want) {
			t.Errorf("%s: %d dimensions across, want %d", shape.name, across, len(want))
		}
	}
}

func TestCaptionNamesTheShape(t *testing.T) {
	for _, c := range []struct {
		make  func(*analysis.Plan)
		owned bool
		begin string
	}{
		{func(*analysis.Plan) {}, false, "Box inside "}, {func(*analysis.Plan) {}, true, "Your own box inside "},
		{inTube, false, "Tube "}, {faceted8, false, "Box of 8 facets, "},
	} {
		m, p := planned(t, vase(120, 200, 48), job{name: "vase", clearance: 16})
		c.make(p)
		p.Box.Owned = c.owned
		s, err := newScene(m, p, worded())
		if err != nil {
			t.Fatal(err)
		}
		if have := s.caption()[1]; !strings.HasPrefix(have, c.begin) || !strings.Contains(have, "filled to") {
			t.Errorf("caption %q, want one that begins %q", have, c.begin)
		}
	}
}

// A pin goes from the pattern square through the wall that it is said to be from.
func TestPinsReachTheirWall(t *testing.T) {
	m := meshtest.Box(20, 20, 40)
	s := boxed(t, m, 100, 60, 80)
	s.setHold(analysis.Hold{
		Pins: []analysis.Pin{{AtMM: [3]float64{-10, 3, 20}, GapMM: 40}, {AtMM: [3]float64{4, 10, 30}, GapMM: 20}},
		Bar:  &analysis.Bar{AtMM: [3]float64{2, 1, 40}},
	})
	for i, want := range []r3.Vec{{X: -1}, {Y: 1}} {
		p := s.pins[i]
		d := r3.Sub(p.foot, p.top)
		if r3.Norm(r3.Sub(r3.Unit(d), want)) > 1e-12 {
			t.Errorf("pin %d goes to %v, want %v", i, d, want)
		}
		if past := r3.Norm(d) - []float64{40, 20}[i]; past < 0.5 || past > 10 {
			t.Errorf("pin %d ends %.1f mm outside the wall", i, past)
		}
	}
	if len(s.bar) != 2 || s.bar[0].foot.Z != 40 || s.bar[0].top.Z != 80 || s.bar[1].foot.Y > -30 || s.bar[1].top.Y < 30 {
		t.Errorf("bar and prop: %+v", s.bar)
	}
	cam := lookFrom(30, 25)
	cam.scale, cam.origin = 5, point{700, 700}
	o, err := s.rasterise(context.Background(), cam)
	if err != nil {
		t.Fatal(err)
	}
	if at := cam.at(s.pins[0].foot); math.IsInf(o.near(at.plus(point{3, 0})), 1) {
		t.Error("the pin through the left wall is not drawn")
	}
	names := ""
	for _, e := range s.legend() {
		names += e.name + "\n"
	}
	if !strings.Contains(names, "2 pins through the walls") || !strings.Contains(names, "bar with a prop") {
		t.Errorf("legend: %s", names)
	}
}

// Corners of a prism moved outwards are as far from each wall as they are moved.
func TestWallsMovedOutwards(t *testing.T) {
	p := &analysis.Plan{}
	p.Box.InsideMM = [3]float64{80, 60, 90}
	faceted8(p)
	s, err := newScene(meshtest.Box(1, 1, 1), p, worded())
	if err != nil {
		t.Fatal(err)
	}
	for i, q := range s.walls.around(5, 4) {
		for _, side := range []int{i, (i + 7) % 8} {
			if off := r3.Dot(s.walls.sides[side].n, q) - s.walls.sides[side].at; math.Abs(off-4) > 1e-9 {
				t.Errorf("corner %d is %.3f mm off wall %d, want 4", i, off, side)
			}
		}
	}
	// Walls are counter-clockwise: their normals point away from the middle.
	for i, w := range s.walls.sides {
		if w.at <= 0 {
			t.Errorf("wall %d faces inwards", i)
		}
	}
}

// Labels keep clear of pins and of a bar, which reach out of the block, and the view
// has room for them.
func TestHoldersAreGivenRoom(t *testing.T) {
	m, p := planned(t, vase(120, 200, 48), job{name: "vase", clearance: 16, spout: 40})
	p.Hold.Pins = []analysis.Pin{{AtMM: [3]float64{-60, 0, 90}, GapMM: 16}, {AtMM: [3]float64{60, 0, 90}, GapMM: 16}}
	p.Hold.Bar = &analysis.Bar{AtMM: [3]float64{0, 0, 200}}
	inTube(p)
	p.Bow.Bracing = &analysis.BraceTrial{Name: "batten: three rows all round, under straps", HeightsMM: []float64{40, 90, 160}}
	d := drawn(t, m, p, worded())
	labelsAreClear(t, d)
	s, err := newScene(m, p, worded())
	if err != nil {
		t.Fatal(err)
	}
	held := s.holderShapes(d.layout.cam)
	if len(held) != 4 {
		t.Fatalf("%d shapes, want two pins, a prop and a bar", len(held))
	}
	low, high := s.blockOnPicture(d.layout.cam)
	drawnIn := rect{float64(low.X), float64(low.Y), float64(high.X), float64(high.Y)}
	for _, shape := range held {
		if !viewRoom.grown(1).holds(boundsOf(shape)) || !drawnIn.holds(boundsOf(shape)) {
			t.Errorf("%.0f is out of the view or of what is drawn", boundsOf(shape))
		}
		for _, r := range d.layout.taken.rects {
			if !disjoint(shape, r.corners()) {
				t.Errorf("label %.0f lies on a pin or the bar", r)
			}
		}
	}
	if name := s.bracesName(); name != "3 rows of battens" {
		t.Errorf("legend %q", name)
	}
}
