package picture

import (
	"context"
	"image"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// bell is a cup upside down, 80 across and 60 high, on a stem of 20: its hollow,
// radius 30 and 50 high, keeps air when rubber rises. When it is cast, turned
// over, nothing is trapped.
func bell(t testing.TB) (*mesh.Mesh, *analysis.Plan, Pockets) {
	cup := meshtest.Lathe([]r2.Vec{{X: 0, Y: 50}, {X: 30, Y: 50}, {X: 30, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 60}, {X: 0, Y: 60}}, 256)
	m, p := planned(t, cup, job{name: "bell", clearance: 15, stem: 20, spout: 16})
	p.Stand.SpoutMM = [3]float64{35, 0, 20}
	p.RubberTrap = []analysis.Trap{{AtMM: [3]float64{0, 0, 70}, SpillMM: 20, VolumeMM3: math.Pi * 30 * 30 * 50, PersistenceMM: 50}}
	return m, p, Pockets{Rubber: func(q r3.Vec) int {
		if math.Hypot(q.X, q.Y) < 30 && q.Z > 20 && q.Z < 70 {
			return 0
		}
		return -1
	}}
}

func cutawaysOf(t testing.TB, m *mesh.Mesh, p *analysis.Plan, pockets Pockets) [2]*cutaway {
	t.Helper()
	s, err := newScene(m, p, worded())
	if err != nil {
		t.Fatal(err)
	}
	return s.bothPours(pockets)
}

func viewOf(t testing.TB, c *cutaway) *cutView {
	t.Helper()
	v, err := c.view(context.Background(), c.fitted(c.upright(), rect{20, 20, 780, 580}), image.Rect(0, 0, 800, 600))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// area is what a mask covers, mm².
func (v *cutView) area(mask []uint8) float64 {
	sum := 0.0
	for _, c := range mask {
		sum += float64(c) / 255
	}
	return sum / (v.cam.scale * v.cam.scale)
}

// The section of a ball through its middle is πr²; any section is what the mesh
// says, both ways up.
func TestSectionAreas(t *testing.T) {
	ball, p := planned(t, meshtest.Icosphere(6).Scaled(40), job{name: "ball", clearance: 12, spout: 10})
	for i, c := range cutawaysOf(t, ball, p, Pockets{}) {
		v := viewOf(t, c)
		if have, want := v.area(v.part), math.Pi*40*40; math.Abs(have-want) > 0.003*want {
			t.Errorf("pour %d: the ball's section is %.1f mm², want %.1f", i, have, want)
		}
	}
	m, p := planned(t, vase(120, 200, 120), job{name: "vase", clearance: 16, spout: 40, stem: 20})
	for i, c := range cutawaysOf(t, m, p, Pockets{}) {
		v := viewOf(t, c)
		want := mesh.LoopsArea(m.Section(r3.Scale(c.cut.at, c.cut.n), c.cut.n), c.cut.n)
		if have := v.area(v.part); math.Abs(have-want) > 0.003*want {
			t.Errorf("pour %d: the vase's section is %.1f mm², want %.1f", i, have, want)
		}
		if have, want := v.area(v.rods), 40.0*20; math.Abs(have-want) > 0.01*want {
			t.Errorf("pour %d: the stem's section is %.1f mm², want %.1f", i, have, want)
		}
	}
}

// A plane through (5, −3) at 30° meets a box 100 × 60 where its sides are.
func TestPlaneMeetsTheBox(t *testing.T) {
	m, p := planned(t, meshtest.Box(40, 20, 30), job{name: "box", clearance: 20, spout: 10})
	p.Box.InsideMM = [3]float64{100, 60, 50}
	p.Stand.SpoutMM = [3]float64{5, -3, 0}
	sin, cos := math.Sincos(math.Pi / 6)
	p.CastTrap = []analysis.Trap{{AtMM: [3]float64{5 + 12*cos, -3 + 12*sin, 10}, SpillMM: 20, VolumeMM3: 100, PersistenceMM: 5}}
	c := cutawaysOf(t, m, p, Pockets{})[castRises]
	if d := r3.Sub(c.along, r3.Vec{X: cos, Y: sin}); r3.Norm(d) > 1e-12 {
		t.Fatalf("cut along %v", c.along)
	}
	spout := 5*cos - 3*sin
	for _, end := range []struct{ have, off float64 }{{c.inside.hi, 45 / cos}, {c.inside.lo, -27 / sin}} {
		if want := spout + end.off; math.Abs(end.have-want) > 1e-9 {
			t.Errorf("the cut ends at %.6f, want %.6f", end.have, want)
		}
	}
	// Behind the plane, whose normal is (sin, −cos): the corner (−50, 30).
	if want := -50*cos + 30*sin; c.behind.lo > want+1e-9 {
		t.Errorf("behind the cut the box begins at %.3f, want %.3f at the most", c.behind.lo, want)
	}
}

// The air of the bell is its hollow's section, 60 × 50 mm.
func TestAirInTheCut(t *testing.T) {
	m, p, pockets := bell(t)
	v := viewOf(t, cutawaysOf(t, m, p, pockets)[rubberRises])
	sum := 0.0
	for i, l := range v.air {
		if l == 0 {
			sum += 1 - float64(v.part[i])/255
		}
	}
	sum /= v.cam.scale * v.cam.scale
	if want := 60.0 * 50; math.Abs(sum-want) > 0.01*want {
		t.Errorf("the air covers %.1f mm², want %.1f", sum, want)
	}
}

// What a leak thinner than a pixel joins is still told apart, by asking for each
// place.
func TestAirBehindAThinWall(t *testing.T) {
	m, p, pockets := bell(t)
	c := cutawaysOf(t, m, p, pockets)[rubberRises]
	c.loops = nil // as if the wall were too thin to be seen
	v := viewOf(t, c)
	n := 0
	for _, l := range v.air {
		if l == 0 {
			n++
		}
	}
	if have, want := float64(n)/(v.cam.scale*v.cam.scale), 60.0*50; math.Abs(have-want) > 0.02*want {
		t.Errorf("the air covers %.1f mm², want %.1f", have, want)
	}
}

func (v *cutView) colourAt(t *testing.T, q r3.Vec, level float64) tint {
	t.Helper()
	at := v.cam.at(q)
	c, ok := v.colour(int(at.X)-v.x0, int(at.Y)-v.y0, level)
	if !ok {
		t.Fatalf("%v is not in the view", q)
	}
	return c
}

func near(a, b tint) bool {
	return math.Abs(a.R-b.R)+math.Abs(a.G-b.G)+math.Abs(a.B-b.B) < 0.25
}

func TestWhatPixelsShow(t *testing.T) {
	m, p, pockets := bell(t)
	both := cutawaysOf(t, m, p, pockets)
	rubber, cast := viewOf(t, both[rubberRises]), viewOf(t, both[castRises])
	inRubber := func(at r3.Vec) r3.Vec { return rubber.at(at.X, at.Z) }
	for _, c := range []struct {
		what  string
		at    r3.Vec
		level float64
		want  tint
	}{
		{"hollow before it closes", r3.Vec{Z: 45}, 19.9, backWall.mix(oak.times(0.85), shownInAir)},
		{"hollow once it has closed", r3.Vec{Z: 45}, 20, trapped},
		{"hollow in the end", r3.Vec{Z: 45}, 90, trapped},
		{"under its rim", r3.Vec{Z: 10}, 45, rubberIn},
		{"beside, under the level", r3.Vec{X: -50, Z: 40}, 45, rubberIn},
		{"beside, over the level", r3.Vec{X: -50, Z: 50}, 45, backWall},
		{"stem", r3.Vec{X: 35, Z: 10}, 45, lamp.mix(lampLine, 0.5)},
		{"bell", r3.Vec{X: -35, Z: 50}, 45, oak},
	} {
		if have := rubber.colourAt(t, inRubber(c.at), c.level); !near(have, c.want) {
			t.Errorf("%s: have %v, want about %v", c.what, have, c.want)
		}
	}
	for _, c := range []struct {
		what  string
		at    r3.Vec
		level float64
		want  tint
	}{
		{"crown, covered", r3.Vec{X: 5, Z: 75}, 40, poured},
		{"wall, not yet", r3.Vec{X: -35, Z: 30}, 40, hollow.mix(glass.times(0.85), shownInAir)},
		{"spout when full", r3.Vec{X: 35, Z: 10}, 0, poured},
		{"rubber", r3.Vec{X: -50, Z: 40}, 40, cured},
	} {
		if have := cast.colourAt(t, cast.at(c.at.X, c.at.Z), c.level); !near(have, c.want) && c.what != "rubber" ||
			c.what == "rubber" && !near(have, c.want) && !near(have, cured.mix(deep, 0.55)) {
			t.Errorf("%s: have %v, want about %v", c.what, have, c.want)
		}
	}
}

// Casting is seen from the same side as the rubber's pour, upside down.
func TestTurnedOver(t *testing.T) {
	m, p, pockets := bell(t)
	c := cutawaysOf(t, m, p, pockets)[castRises]
	up, over := c.turned(0), c.turned(180)
	for _, q := range []r3.Vec{{X: 3, Y: 4, Z: 5}, {X: -7, Z: 1}} {
		if a, b := up.at(q), over.at(q); a.plus(b).length() > 1e-9 {
			t.Errorf("%v is at %v and %v, not opposite", q, a, b)
		}
	}
	if up.toward != over.toward {
		t.Error("seen from two sides")
	}
}

func TestWorstTrap(t *testing.T) {
	vent := &rod{}
	for _, c := range []struct {
		traps []air
		want  int
	}{
		{nil, -1},
		{[]air{{volume: 5, vent: vent}, {volume: 9, vent: vent}}, 1},
		{[]air{{volume: 5}, {volume: 9, vent: vent}}, 0},
		{[]air{{volume: 9, vent: vent}, {volume: 2}, {volume: 3}}, 2},
	} {
		if have := worst(c.traps); have != c.want {
			t.Errorf("%v: have %d, want %d", c.traps, have, c.want)
		}
	}
}

func TestCutOutsideTheBox(t *testing.T) {
	m, p := planned(t, meshtest.Box(40, 20, 30), job{name: "box", clearance: 20, spout: 10})
	p.Stand.SpoutMM = [3]float64{0, 900, 0}
	p.CastTrap = []analysis.Trap{{AtMM: [3]float64{50, 900, 10}, SpillMM: 20, VolumeMM3: 100, PersistenceMM: 5}}
	for _, c := range cutawaysOf(t, m, p, Pockets{}) {
		if math.Abs(c.inside.long()-80) > 1e-9 || c.cut.at != 0 {
			t.Errorf("cut at %g, inside %v", c.cut.at, c.inside)
		}
	}
}

// A goblet, open on top with a wall of 5 mm and a hollow of 20 × 30, stays empty
// until the rubber beside it stands at its rim.
func TestBowlFillsOverItsRim(t *testing.T) {
	goblet := meshtest.Lathe([]r2.Vec{{X: 0, Y: 0}, {X: 25, Y: 0}, {X: 25, Y: 40}, {X: 20, Y: 40}, {X: 20, Y: 10}, {X: 0, Y: 10}}, 128)
	m, p := planned(t, goblet, job{name: "goblet", clearance: 15, spout: 20})
	pockets := Pockets{RimMM: []float64{40}, Bowl: func(q r3.Vec) int {
		if math.Hypot(q.X, q.Y) < 20 && q.Z > 10 && q.Z < 40 {
			return 0
		}
		return -1
	}}
	v := viewOf(t, cutawaysOf(t, m, p, pockets)[rubberRises])
	for _, c := range []struct {
		t, z, level float64
		wet         bool
	}{{0, 20, 39, false}, {19, 12, 39, false}, {0, 20, 40, true}, {0, 45, 40, false}, {-32, 20, 39, true}} {
		have := v.colourAt(t, v.at(c.t, c.z), c.level)
		if isWet := near(have, rubberIn); isWet != c.wet {
			t.Errorf("at %g, %g with rubber at %g: wet %v", c.t, c.z, c.level, isWet)
		}
	}
}

// What the cut takes away is the smaller part.
func TestMostIsLeftBehind(t *testing.T) {
	for _, y := range []float64{12, -12} {
		m, p := planned(t, meshtest.Box(60, 40, 30), job{name: "box", clearance: 20, spout: 10})
		p.Stand.SpoutMM = [3]float64{0, y, 0}
		p.RubberTrap = []analysis.Trap{{AtMM: [3]float64{20, y, 10}, SpillMM: 5, VolumeMM3: 100, PersistenceMM: 5}}
		c := cutawaysOf(t, m, p, Pockets{})[rubberRises]
		if d := r3.Dot(c.cut.n, r3.Vec{Z: 15}) - c.cut.at; math.Abs(d+12) > 1e-9 {
			t.Errorf("cut at y = %g: the middle is %g before the cut, want 12 behind it", y, d)
		}
	}
}
