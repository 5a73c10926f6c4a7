package hold_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/analysis/hold"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// float is a light block on a thin stem, which no glue holds.
func float(m *mesh.Mesh, t *testing.T) hold.Input {
	t.Helper()
	in := input(solidOf(t, meshtest.Moved(m, r3.Vec{Z: 20})), 20+m.Bounds().Max.Z+17)
	b := m.Bounds()
	in.StemMM, in.Contact = 20, hold.Disc(r2.Vec{}, 10)
	in.Kinds = kinds()
	in.ViscosityPaS = 20
	in.InsideMM = [2]float64{b.Max.X - b.Min.X + 40, b.Max.Y - b.Min.Y + 26}
	in.Walls = hold.RectangleWalls(in.InsideMM[0], in.InsideMM[1], 12)
	in.Mass = hold.UnknownMass(in.Solid.Measure().VolumeMM3)
	return in
}

func centred(x, y, z float64) *mesh.Mesh {
	return meshtest.Moved(meshtest.Box(x, y, z), r3.Vec{X: -x / 2, Y: -y / 2})
}

func subdivided(m *mesh.Mesh) *mesh.Mesh {
	for range 5 {
		m = meshtest.Split(m)
	}
	return m
}

// onPanel turns a pin's place on its panel back into a place on the inner face.
func onPanel(t *testing.T, in hold.Input, p hold.Pin) (r3.Vec, hold.Wall) {
	t.Helper()
	for _, w := range in.Walls {
		if w.Panel == p.Panel {
			at := r2.Add(w.From, r2.Scale(p.XMM-w.PanelXMM, r2.Unit(r2.Sub(w.To, w.From))))
			return r3.Vec{X: at.X, Y: at.Y, Z: p.ZMM}, w
		}
	}
	t.Fatalf("no panel %q", p.Panel)
	return r3.Vec{}, hold.Wall{}
}

// checkPins: two or more, apart, straight across from their panel, short of
// none of the lift; the first two from opposite walls.
func checkPins(t *testing.T, in hold.Input, r hold.Result) {
	t.Helper()
	if len(r.Pins) < 2 {
		t.Fatalf("%d pins: %+v", len(r.Pins), r.Findings)
	}
	sum := 0.0
	for _, p := range r.Pins {
		from, w := onPanel(t, in, p)
		d := r3.Sub(r3.Vec{X: p.AtMM[0], Y: p.AtMM[1], Z: p.AtMM[2]}, from)
		along := r2.Sub(w.To, w.From)
		if math.Abs(d.X*along.X+d.Y*along.Y) > 1e-6 || math.Abs(d.Z) > 1e-9 || math.Abs(r3.Norm(d)-p.GapMM) > 1e-9 {
			t.Errorf("pin %+v does not lie across its panel", p)
		}
		if p.XMM < w.PanelXMM || p.XMM > w.PanelXMM+r2.Norm(along) || p.ZMM <= 0 || p.ZMM >= in.LevelMM {
			t.Errorf("pin %+v is off its panel", p)
		}
		sum += p.BearsN
	}
	if math.Abs(sum-r.PinsBearN) > 1e-9 {
		t.Errorf("pins bear %v, not %v", sum, r.PinsBearN)
	}
	if r.Bar == nil && r.PinsBearN < r.Uplift.NetN {
		t.Errorf("pins bear %v of %v N", r.PinsBearN, r.Uplift.NetN)
	}
}

func TestPinsFromTheNearerWalls(t *testing.T) {
	in := float(centred(120, 50, 60), t)
	r := ask(t, in)
	if r.Held >= 0 {
		t.Fatalf("held by %+v", r.Need[r.Held])
	}
	checkPins(t, in, r)
	for _, p := range r.Pins[:2] {
		if !strings.HasPrefix(p.Panel, "side") || math.Abs(p.GapMM-13) > 1e-9 {
			t.Errorf("pin %+v, want the sides, 13 mm away", p)
		}
	}
	if r.Pins[0].Panel == r.Pins[1].Panel {
		t.Error("both pins from one wall")
	}
	// The side's panel starts a board's thickness outside.
	if x := r.Pins[0].XMM; math.Abs(x-12-in.InsideMM[0]/2) > 62 {
		t.Errorf("pin at %v mm of the panel", x)
	}
	// A pin bears M/gap with M = strength/safety·π·d³/32.
	near(t, "bears", r.Pins[0].BearsN, 40/3.0*math.Pi*216/32/13, 1e-9)
}

// A cut along the length runs between the two sides and leaves their pins
// alone; one across is crossed by none either.
func TestPinsKeepOffTheCut(t *testing.T) {
	for _, across := range []r3.Vec{{X: 1}, {Y: 1}, {X: 0.6, Y: 0.8}} {
		in := float(centred(120, 50, 60), t)
		in.CutAcross = across
		r := ask(t, in)
		checkPins(t, in, r)
		for _, p := range r.Pins {
			from, _ := onPanel(t, in, p)
			at := r3.Vec{X: p.AtMM[0], Y: p.AtMM[1], Z: p.AtMM[2]}
			if a, b := r3.Dot(across, from), r3.Dot(across, at); p.CrossesCut || a*b <= 0 || min(math.Abs(a), math.Abs(b)) < 8-1e-9 {
				t.Errorf("cut across %v: pin %+v", across, p)
			}
		}
	}
}

// Pins end on plain surface as long as the plain place is not much farther.
func TestPinsKeepOffDetail(t *testing.T) {
	in := float(subdivided(centred(120, 50, 60)), t)
	in.Detail = make([]float32, len(in.Solid.Vertices))
	for v, p := range in.Solid.Vertices {
		if p.X < 30 {
			in.Detail[v] = 1
		}
	}
	r := ask(t, in)
	checkPins(t, in, r)
	for _, p := range r.Pins[:2] {
		if p.Detail != 0 || p.AtMM[0] < 30 {
			t.Errorf("pin %+v ends on detail", p)
		}
	}
}

// No pin passes through another part of the pattern: here a plate screens
// the inner body from the wall at +y.
func TestPinsPassTheRestOfThePattern(t *testing.T) {
	body := subdivided(meshtest.Moved(meshtest.Box(80, 30, 60), r3.Vec{X: -40, Y: -30}))
	plate := subdivided(meshtest.Moved(meshtest.Box(80, 4, 60), r3.Vec{X: -40, Y: 10}))
	in := float(meshtest.Together(body, plate), t)
	r := ask(t, in)
	checkPins(t, in, r)
	for _, p := range r.Pins {
		if p.AtMM[1] > -1 && p.AtMM[1] < 10 {
			t.Errorf("pin %+v goes through the plate", p)
		}
	}
}

// A large float wants more than pins can bear: a bar, on top, with the lift
// times the safety.
func TestBarWherePinsDoNotDo(t *testing.T) {
	in := float(centred(400, 300, 200), t)
	r := ask(t, in)
	checkPins(t, in, r)
	if r.Bar == nil {
		t.Fatalf("pins bear %v of %v N and there is no bar", r.PinsBearN, r.Uplift.NetN)
	}
	near(t, "height", r.Bar.AtMM[2], 220, 1e-9)
	near(t, "push", r.Bar.PushN, 3*r.Uplift.NetN, 1e-9)
	near(t, "weight", r.Bar.WeightG, r.Bar.PushN/hold.Gravity*1000, 1e-9)
	if math.Hypot(r.Bar.AtMM[0], r.Bar.AtMM[1]) > 10 {
		t.Errorf("bar at %v", r.Bar.AtMM)
	}
}

// The walls go once round the box, counter-clockwise: seen from outside, From
// is on the left.
func TestWallsCloseTheBox(t *testing.T) {
	corners := []r2.Vec{{X: -50, Y: -30}, {X: 60, Y: -30}, {X: 70, Y: 20}, {Y: 55}}
	for name, walls := range map[string][]hold.Wall{
		"boards": hold.RectangleWalls(300, 160, 18), "wrap": hold.WrapWalls("wrap", corners),
	} {
		x := 0.0
		for i, w := range walls {
			next := walls[(i+1)%len(walls)]
			if w.To != next.From {
				t.Errorf("%s: %s ends at %v, the next begins at %v", name, w.Panel, w.To, next.From)
			}
			if turn := r2.Cross(r2.Sub(w.To, w.From), r2.Sub(next.To, next.From)); turn <= 0 {
				t.Errorf("%s turns right after %s", name, w.Panel)
			}
			if name == "wrap" && math.Abs(w.PanelXMM-x) > 1e-9 {
				t.Errorf("facet %d begins at %v of the strip, not %v", i+1, w.PanelXMM, x)
			}
			x += r2.Norm(r2.Sub(w.To, w.From))
		}
	}
	for _, w := range hold.RectangleWalls(300, 160, 18) {
		if want := map[byte]float64{'s': 18, 'e': 0}[w.Panel[0]]; w.PanelXMM != want {
			t.Errorf("%s: its inside begins at %v mm", w.Panel, w.PanelXMM)
		}
	}
}

// In a box of facets a pin comes square through its facet, at its place on the
// strip.
func TestPinsThroughAWrap(t *testing.T) {
	in := float(meshtest.Cylinder(48, 40, 60), t)
	var corners []r2.Vec
	for k := range 8 {
		sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / 8)
		corners = append(corners, r2.Vec{X: 62 * cos, Y: 62 * sin})
	}
	in.Walls = hold.WrapWalls("wrap", corners)
	r := ask(t, in)
	if len(r.Pins) < 2 {
		t.Fatalf("%d pins", len(r.Pins))
	}
	for _, p := range r.Pins {
		i := 0
		for i+1 < len(in.Walls) && in.Walls[i+1].PanelXMM <= p.XMM {
			i++
		}
		w := in.Walls[i]
		along := r2.Unit(r2.Sub(w.To, w.From))
		from := r2.Add(w.From, r2.Scale(p.XMM-w.PanelXMM, along))
		at := r2.Vec{X: p.AtMM[0], Y: p.AtMM[1]}
		if d := r2.Sub(at, from); math.Abs(r2.Dot(d, along)) > 1e-9 || math.Abs(r2.Norm(d)-p.GapMM) > 1e-9 {
			t.Errorf("pin %+v does not come square through facet %d", p, i+1)
		}
	}
	a, b := r.Pins[0].AtMM, r.Pins[1].AtMM
	if a[0]*b[0]+a[1]*b[1] > -0.9*40*39 {
		t.Errorf("pins at %v and %v do not clamp the pattern", a, b)
	}
}

// The gentlest kind that holds is taken, whatever the order, and says how many where it is screws.
func TestGentlestKindThatHolds(t *testing.T) {
	in := input(solidOf(t, meshtest.Moved(meshtest.Box(60, 60, 100), r3.Vec{X: -30, Y: -30})), 120)
	in.Kinds, in.Walls = kinds(), hold.RectangleWalls(400, 400, 12)
	in.ViscosityPaS = 20
	if r := ask(t, in); r.Held != 0 || len(r.Need) != 3 || r.Pins != nil || !r.Need[0].Holds {
		t.Errorf("on 60 mm: held %d by %+v", r.Held, r.Need)
	}
	in.Contact = hold.Disc(r2.Vec{}, 15)
	if r := ask(t, in); r.Held != 1 || r.Need[0].Holds || !strings.Contains(r.Findings[1].Action, "strong paste") {
		t.Errorf("on a disc of 15 mm: held %d by %+v; %+v", r.Held, r.Need, r.Findings)
	}
	slices.Reverse(in.Kinds)
	if r := ask(t, in); r.Held != 1 || !strings.Contains(r.Findings[1].Text, "weak paste") || strings.Contains(r.Findings[1].Text, "screws") {
		t.Errorf("backwards: held %d by %+v; %+v", r.Held, r.Need, r.Findings)
	}
	in.Kinds, in.Contact = in.Kinds[:1], hold.Disc(r2.Vec{}, 30)
	r := ask(t, in)
	if n := r.Need[0]; r.Held != 0 || n.AreaMM2 != nil || n.Pieces < 2 || float64(n.Pieces)*144 > r.PatchMM2 {
		t.Errorf("screws: %+v", r.Need)
	}
}

// Every doubt has an action, the words fit the numbers, and a heavy pattern
// that stands well gets none of them.
func TestFindings(t *testing.T) {
	heavy := input(solidOf(t, meshtest.Moved(meshtest.Box(60, 60, 40), r3.Vec{X: -30, Y: -30})), 60)
	heavy.Mass, heavy.Kinds, heavy.ViscosityPaS = hold.Weighed(900), kinds(), 20
	r := ask(t, heavy)
	if len(r.Findings) != 1 || r.Findings[0].Level != finding.Note || r.Held != 0 || r.Pins != nil || r.Bar != nil {
		t.Errorf("heavy block: %+v", r)
	}
	in := float(centred(120, 50, 60), t)
	in.RubberMM3, in.BoxG = 20e6, 3000
	r = ask(t, in)
	seen := map[finding.Level]int{}
	for _, f := range r.Findings {
		seen[f.Level]++
		if f.Question != "hold" || f.Action == "" || !strings.HasSuffix(f.Text, ".") || strings.Contains(f.Text, "NaN") || strings.Contains(f.Text, "%!") {
			t.Errorf("finding %+v", f)
		}
	}
	if seen[finding.Stop] != 0 || seen[finding.Warn] < 3 {
		t.Errorf("findings %+v", r.Findings)
	}
	// On an octahedron without walls around it, neither pins nor a prop find a
	// place: it faces up by less than they need.
	in.Walls = nil
	in.Solid = solidOf(t, meshtest.Moved(meshtest.Octahedron().Scaled(90), r3.Vec{Z: 90}))
	if last := ask(t, in).Findings; !slices.ContainsFunc(last, func(f finding.Finding) bool { return f.Level == finding.Stop }) {
		t.Errorf("nothing holds it, and yet %+v", last)
	}
	near(t, "block", r.Weights.BlockG.Likely, 22600, 1e-6)
	near(t, "tray", r.Weights.SpillTrayMM3, 22e6, 1e-3)
	if !r.Weights.Aid || !r.Weights.WithBox || r.Weights.FilledBoxG.Low < 25600 {
		t.Errorf("weights %+v", r.Weights)
	}
}

// What may harm an original says so wherever it is advised: pins press on the
// pattern, screws and epoxy are its owner's choice; what comes off needs no word.
func TestCareForOriginals(t *testing.T) {
	action := func(in hold.Input, text string) string {
		t.Helper()
		for _, f := range ask(t, in).Findings {
			if strings.Contains(f.Text, text) {
				return f.Action
			}
		}
		t.Fatalf("nothing says %q, but %+v", text, ask(t, in).Findings)
		return ""
	}
	in := float(centred(120, 50, 60), t)
	pins := action(in, "pins of hardwood dowel")
	if !strings.HasPrefix(pins, "Press the rounded end of each pin on the pattern") || !strings.Contains(pins, "drill, screw or glue into it only where its owner allows a hole.") || strings.Contains(pins, "Drill a") {
		t.Errorf("pins: %q", pins)
	}
	on := input(solidOf(t, meshtest.Moved(meshtest.Box(60, 60, 100), r3.Vec{X: -30, Y: -30})), 120)
	on.ViscosityPaS, on.Contact = 20, hold.Disc(r2.Vec{}, 15)
	for _, name := range []string{"epoxy", "strong paste"} {
		on.Kinds = kinds()[:2]
		on.Kinds[1].Name = name
		got := action(on, "too weak")
		if warned := strings.Contains(got, "epoxy has to come off again"); !strings.HasPrefix(got, "Use "+name) || warned != (name == "epoxy") {
			t.Errorf("%s: %q", name, got)
		}
	}
	feeble := hold.Range{Low: 1e3, Likely: 2e3, High: 3e3}
	on.Contact = hold.Disc(r2.Vec{}, 20)
	on.Kinds = []hold.Kind{{Name: "paste", TensilePa: feeble, ShearPa: feeble}, {Name: "screws", EachN: hold.Range{Low: 1500, Likely: 2000, High: 3000}}}
	if got := action(on, "too weak"); !strings.Contains(got, "Use screws, ") || !strings.Contains(got, "whose owner allows holes") {
		t.Errorf("screws: %q", got)
	}
}
