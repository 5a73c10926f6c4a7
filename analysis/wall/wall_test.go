package wall_test

import (
	"context"
	"errors"
	"math"
	"math/rand"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/analysis/wall"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// A block of 60×40×30 mm in a box of 100×70, rubber to 50: 20 mm at the ends,
// 15 at the sides, 20 above. Under 17 mm there are the sides and strips 2 mm
// wide along them on the ends and on top: 3600 + 240 + 240 mm².
func TestBoxInBox(t *testing.T) {
	in := wall.Input{Side: wall.Rectangle(100, 70), LevelMM: 50, ClearanceMM: 34, FloppyMM: 17, WastedMM: 19.5}
	r := measure(t, solid(t, block(60, 40, 30)), in)
	near(t, "least", r.Wall.MM, 15, 1e-9)
	near(t, "its place", math.Abs(r.Wall.At.Y), 20, 1e-9)
	near(t, "surface", r.AreaMM2, 2400+3600+2400, 5)
	near(t, "thin", r.ThinMM2, 4080, 40)
	near(t, "floppy", r.FloppyMM2, 4080, 40)
	// Over 19.5: ends and top but for strips 4.5 mm wide along the sides.
	near(t, "wasted", r.WastedMM2, (40-9)*30*2+60*(40-9), 60)
	sum := 0.0
	for k, b := range r.Histogram {
		if sum += b.AreaMM2; b.ToMM < b.FromMM || k > 0 && b.FromMM != r.Histogram[k-1].ToMM {
			t.Errorf("bin %+v", b)
		}
	}
	near(t, "histogram", sum, r.AreaMM2, 1e-6)
	if r.Web != nil || r.Floor != nil || len(r.Webs) != 0 {
		t.Errorf("web %v, floor %v, webs %v", r.Web, r.Floor, r.Webs)
	}
}

// Areas of zones and caps of a sphere are 2·π·R·height.
func TestSphereInBoxAndTube(t *testing.T) {
	ball := func(r, z float64) *mesh.Mesh {
		return solid(t, meshtest.Moved(meshtest.Icosphere(6).Scaled(r), r3.Vec{Z: z}))
	}
	in := wall.Input{Side: wall.Rectangle(120, 110), LevelMM: 130, ClearanceMM: 40}
	r := measure(t, ball(40, 60), in)
	near(t, "least in the box", r.Wall.MM, 15, 0.01)
	near(t, "under 20 mm in the box", r.ThinMM2, 2*2*math.Pi*40*5, 0.02*2513)
	in = wall.Input{Side: wall.Tube(100), LevelMM: 120, ClearanceMM: 50}
	r = measure(t, ball(30, 50), in)
	near(t, "least in the tube", r.Wall.MM, 20, 0.01)
	near(t, "over the board", r.Floor.MM, 20, 0.1)
	near(t, "under 25 mm in the tube", r.ThinMM2, 2*math.Pi*30*(2*math.Sqrt(900-625)+5), 0.02*7195)
}

// A ball on the board: the rubber under it runs out, which counts from the
// floppy thickness on beside the contact; at distance d from the axis its
// underside is R − √(R² − d²) up.
func TestFloorUnderAnOverhang(t *testing.T) {
	m := solid(t, meshtest.Moved(meshtest.Icosphere(6).Scaled(50), r3.Vec{Z: 50}))
	r := measure(t, m, input())
	d := math.Sqrt(50*50-49.5*49.5) + 10
	near(t, "floor", r.Floor.MM, 50-math.Sqrt(2500-d*d), 0.15)
	dry := 0
	for v, p := range m.Vertices {
		if at := r.Vertex[v]; math.IsNaN(float64(at)) {
			if dry++; p.Z > 0.5 {
				t.Errorf("no rubber at %v", p)
			}
		}
	}
	if dry == 0 {
		t.Error("nothing touches the board")
	}
	// On a stem the board is that much farther.
	in := input()
	in.Stem = &wall.Stem{DiameterMM: 14, LengthMM: 20}
	up := measure(t, meshtest.Moved(m, r3.Vec{Z: 20}), in)
	d = 7 + 10
	near(t, "floor under a stem", up.Floor.MM, 20+50-math.Sqrt(2500-d*d), 0.15)
}

func TestParallelPlates(t *testing.T) {
	plate := func(y float64) *mesh.Mesh { return meshtest.Moved(block(60, 5, 50), r3.Vec{Y: y}) }
	m := solid(t, meshtest.Together(plate(-5.5), plate(5.5)))
	r := measure(t, m, input())
	near(t, "gap", r.Web.MM, 6, 1e-6)
	near(t, "its middle", r.Web.At.Y, 0, 1e-6)
	if len(r.Webs) != 1 || r.WebsMore != 0 {
		t.Fatalf("webs %+v", r.Webs)
	}
	w := r.Webs[0]
	near(t, "sheet", w.SheetMM2, 3000, 30)
	// It hangs on the rubber above and at both ends: no bit is more than half of
	// its length from there.
	near(t, "depth", *w.DepthMM, 30, 1.5)
	near(t, "strain", *w.Strain, math.Pi*6/2 / *w.DepthMM, 1e-9)
	for v, p := range m.Vertices {
		if at := float64(r.Vertex[v]); math.Abs(p.Y) < 4 && p.Z > 1 && at > 6.001 {
			t.Errorf("%v mm at %v", at, p)
		}
	}
}

func TestChannel(t *testing.T) {
	r := measure(t, solid(t, channel(8, 25)), input())
	near(t, "gap", r.Web.MM, 8, 1e-6)
	if len(r.Webs) != 1 {
		t.Fatalf("webs %+v", r.Webs)
	}
	near(t, "sheet", r.Webs[0].SheetMM2, 60*25, 20)
	near(t, "depth", *r.Webs[0].DepthMM, 25, 1)
	if wide := measure(t, solid(t, channel(12, 25)), input()); len(wide.Webs) != 0 {
		t.Errorf("a slot of 12 mm with 20 mm asked: %+v", wide.Webs)
	}
}

// A V is a web as long as it opens by less than 60°, a corner or a fillet
// never is.
func TestCornersAreNoWebs(t *testing.T) {
	if r := measure(t, solid(t, groove(40, 25)), input()); len(r.Webs) != 1 {
		t.Errorf("V of 40°: %+v", r.Webs)
	}
	// A turned stand whose shaft runs into its foot over a fillet of 3 mm.
	profile := []r2.Vec{{}, {X: 40}, {X: 40, Y: 10}}
	for k := range 19 {
		sin, cos := math.Sincos(math.Pi / 36 * float64(k))
		profile = append(profile, r2.Vec{X: 13 - 3*sin, Y: 13 - 3*cos})
	}
	profile = append(profile, r2.Vec{X: 10, Y: 60}, r2.Vec{Y: 60})
	for name, m := range map[string]*mesh.Mesh{
		"V of 80°": groove(80, 25), "fillet": meshtest.Lathe(profile, 90),
		"corner":    meshtest.Lathe([]r2.Vec{{}, {X: 40}, {X: 40, Y: 10}, {X: 10, Y: 10}, {X: 10, Y: 60}, {Y: 60}}, 90),
		"round dip": meshtest.Lathe(dip(), 90),
	} {
		if r := measure(t, solid(t, m), input()); len(r.Webs) != 0 {
			t.Errorf("%s: %+v", name, r.Webs)
		}
	}
}

// dip is a drum with a shallow round hollow in its top, of radius 20.
func dip() []r2.Vec {
	profile := []r2.Vec{{}, {X: 30}, {X: 30, Y: 30}}
	for k := range 31 {
		sin, cos := math.Sincos(math.Pi / 4 * float64(30-k) / 30)
		profile = append(profile, r2.Vec{X: 20 * sin, Y: 30 + 20*math.Cos(math.Pi/4) - 20*cos})
	}
	return profile
}

func TestThinCast(t *testing.T) {
	in := input()
	in.CastLeastMM = 1.5
	m := solid(t, meshtest.Moved(block(60, 40, 1.2), r3.Vec{Z: 30}))
	c := measure(t, m, in).Cast
	near(t, "thinnest", c.Least.MM, 1.2, 1e-6)
	near(t, "area", c.ThinMM2, 4800, 30)
	if len(c.Places) != 1 {
		t.Fatalf("places %+v", c.Places)
	}
	near(t, "sheet", c.Places[0].SheetMM2, 2400, 15)
	near(t, "middle", c.Places[0].At.Z, 30.6, 1e-6)
	// So it is when it lies on the board.
	if c := measure(t, solid(t, block(60, 40, 1.2)), in).Cast; len(c.Places) != 1 || math.Abs(c.ThinMM2-4800) > 30 {
		t.Errorf("on the board: %+v", c)
	}
	in.CastLeastMM = 1
	if c := measure(t, m, in).Cast; len(c.Places) != 0 || c.ThinMM2 != 0 || c.Least != nil {
		t.Errorf("least 1 mm: %+v", c)
	}
	// A cone is thin at its tip only: where the ball in it is.
	in.CastLeastMM = 6
	tip := measure(t, solid(t, meshtest.Cone(64, 6, 80)), in).Cast
	if len(tip.Places) != 1 || tip.Places[0].At.Z < 40 {
		t.Errorf("cone: %+v", tip.Places)
	}
}

// At random vertices the distance is that to the nearest of many points on
// the walls.
func TestWallsBruteForce(t *testing.T) {
	rng := rand.New(rand.NewSource(5))
	m := solid(t, meshtest.Moved(meshtest.TorusMesh(60, 30, 35, 12), r3.Vec{X: 4, Y: -7, Z: 140}))
	in := wall.Input{Side: wall.Tube(130), LevelMM: 162, ClearanceMM: 10}
	r := measure(t, m, in)
	for range 300 {
		v := rng.Intn(len(m.Vertices))
		p := m.Vertices[v]
		least := 162 - p.Z
		for k := range 20000 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 20000)
			least = math.Min(least, math.Hypot(65*cos-p.X, 65*sin-p.Y))
		}
		if got := float64(r.Vertex[v]); math.Abs(got-least) > 1e-4 {
			t.Fatalf("at %v: %v, brute force %v", p, got, least)
		}
	}
}

// A box of corners is the rectangle it draws; in a hexagon of in-radius 50 the
// middle is that far from all walls, and a corner is off by nothing.
func TestOutline(t *testing.T) {
	rng := rand.New(rand.NewSource(2))
	square := wall.Outline([]r2.Vec{{X: -60, Y: -40}, {X: 60, Y: -40}, {X: 60, Y: 40}, {X: -60, Y: 40}})
	rect := wall.Rectangle(120, 80)
	for range 200 {
		p := r3.Vec{X: 119 * (rng.Float64() - 0.5), Y: 79 * (rng.Float64() - 0.5), Z: rng.Float64()}
		near(t, "square", square(p), rect(p), 1e-9)
	}
	near(t, "outside", square(r3.Vec{X: 63, Y: 44}), -5, 1e-9)
	var corners []r2.Vec
	for k := range 6 {
		sin, cos := math.Sincos(math.Pi / 3 * float64(k))
		corners = append(corners, r2.Vec{X: 50 / math.Cos(math.Pi/6) * cos, Y: 50 / math.Cos(math.Pi/6) * sin})
	}
	hexagon := wall.Outline(corners)
	near(t, "middle", hexagon(r3.Vec{}), 50, 1e-9)
	near(t, "off the middle", hexagon(r3.Vec{Y: 30}), 20, 1e-9)
}

func TestBadInputAndStop(t *testing.T) {
	m := solid(t, block(10, 10, 10))
	for name, spoil := range map[string]func(*wall.Input){
		"no walls":     func(in *wall.Input) { in.Side = nil },
		"no clearance": func(in *wall.Input) { in.ClearanceMM = 0 },
		"NaN level":    func(in *wall.Input) { in.LevelMM = math.NaN() },
		"cast":         func(in *wall.Input) { in.CastLeastMM = -1 },
	} {
		in := input()
		spoil(&in)
		_, err := wall.Thickness(context.Background(), m, in)
		var bad *wall.InputError
		if !errors.As(err, &bad) || bad.Hint() == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := wall.Thickness(context.Background(), &mesh.Mesh{}, input()); err == nil {
		t.Error("no pattern, no error")
	}
	ctx, stop := context.WithCancel(context.Background())
	in := input()
	in.Progress = func(done, _ int64) { stop() }
	if _, err := wall.Thickness(ctx, m, in); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

func TestFindings(t *testing.T) {
	in := input()
	in.CastLeastMM = 6
	plate := func(y float64) *mesh.Mesh { return meshtest.Moved(block(60, 5, 50), r3.Vec{X: 118, Y: y}) }
	r := measure(t, solid(t, meshtest.Together(plate(-5.5), plate(5.5))), in)
	var text strings.Builder
	for _, f := range r.Findings {
		text.WriteString(f.Text)
		if f.Question != "wall" || f.Action == "" || strings.Contains(f.Text, "%!") || f.Level == finding.Stop {
			t.Errorf("%+v", f)
		}
	}
	for _, want := range []string{"2.0 mm thick here, under half", "web only 6.0 mm thick", "pattern is 5.0 mm thick"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("no %q in %s", want, text.String())
		}
	}
	in.Side = wall.Rectangle(290, 300)
	if r := measure(t, plate(0), in); r.Findings[0].Level != finding.Stop {
		t.Errorf("pattern through the wall: %+v", r.Findings)
	}
}
