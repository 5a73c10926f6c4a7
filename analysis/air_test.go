package analysis

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/airtrap"
	"pourwright/analysis/finding"
	"pourwright/analysis/moldbox"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// slanted is a round bar of n sides from the board to a height, its axis leaning
// by so many degrees, both ends level.
func slanted(n int, diameter, height, slantDeg float64) *mesh.Mesh {
	tan, cos := math.Tan(slantDeg*math.Pi/180), math.Cos(slantDeg*math.Pi/180)
	m := meshtest.Cylinder(n, diameter/2, height)
	out := &mesh.Mesh{Faces: m.Faces}
	for _, p := range m.Vertices { // a level cut is an ellipse, longer along the lean
		out.Vertices = append(out.Vertices, r3.Vec{X: p.X/cos + p.Z*tan, Y: p.Y, Z: p.Z})
	}
	return out
}

// The volume of a slanted post below any level, against that of its mesh.
func TestSlantedPostBelowALevel(t *testing.T) {
	const n, diameter, height = 512, 5, 80
	for _, slant := range []float64{0, 10, 40} {
		solid, _, err := mesh.NewSolid(slanted(n, diameter, height, slant))
		if err != nil {
			t.Fatal(err)
		}
		profile := mesh.NewProfile(solid, r3.Vec{Z: 1})
		post := rod{height, height / math.Cos(slant*math.Pi/180), diameter}
		polygon := n / (2 * math.Pi) * math.Sin(2*math.Pi/n) // of the circle's area
		for _, level := range []float64{-1, 0, 13, 40, 79, 80, 100} {
			want := profile.Below(level)
			if got := post.below(level) * polygon; math.Abs(got-want) > 1e-9*(1+want) {
				t.Errorf("slanted by %g°: %g mm³ below %g mm, its mesh %g", slant, got, level, want)
			}
		}
	}
}

func TestSidesOfTheBox(t *testing.T) {
	for _, c := range []struct {
		v    r3.Vec
		deg  float64
		want string
	}{
		{r3.Vec{X: 1}, 0, "x1"}, {r3.Vec{X: 1, Y: 1}, 45, "x1 y1"}, {r3.Vec{Y: 2}, 90, "y1"}, {r3.Vec{X: -1, Y: 1}, 135, "y1 x0"},
		{r3.Vec{X: -1}, 180, "x0"}, {r3.Vec{X: -1, Y: -1}, 225, "x0 y0"}, {r3.Vec{Y: -3}, 270, "y0"}, {r3.Vec{X: 1, Y: -1}, 315, "y0 x1"},
		{r3.Vec{X: 1, Y: -0.01}, 359.427, "x1"}, {r3.Vec{X: 1, Y: 0.41421356}, 22.5, "x1 y1"},
	} {
		if got := bearing(c.v); math.Abs(got-c.deg) > 1e-3 || strings.Join(sides(got), " ") != c.want {
			t.Errorf("%v: %g° %v, want %g° %s", c.v, got, sides(got), c.deg, c.want)
		}
	}
}

// ledge stands on a plate that keeps posts from the low end of its overhang,
// which hangs by 3 mm in 40.
func ledge() *mesh.Mesh {
	outline := []r2.Vec{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 5}, {X: 10, Y: 5}, {X: 10, Y: 40}, {X: 50, Y: 37}, {X: 50, Y: 50}, {X: 0, Y: 50}}
	ends := [][3]int32{{0, 1, 2}, {0, 2, 3}, {0, 3, 4}, {0, 4, 7}, {4, 5, 6}, {4, 6, 7}}
	m, n := &mesh.Mesh{}, int32(len(outline))
	for _, y := range []float64{0, 40} {
		for _, p := range outline {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: y, Z: p.Y})
		}
	}
	for i := range n {
		j := (i + 1) % n
		m.Faces = append(m.Faces, [3]int32{i, j, j + n}, [3]int32{i, j + n, i + n})
	}
	for _, t := range ends {
		m.Faces = append(m.Faces, t, [3]int32{t[0] + n, t[2] + n, t[1] + n})
	}
	return m
}

// Air that no post frees is freed by the tilt that the plan states: the end that
// hangs goes down by atan(3/40).
func TestTiltInThePlan(t *testing.T) {
	five := 5.0 // no room for a post to lean past the plate
	p := planOf(t, Choices{Scan: scanOf(t, ledge()), Units: "mm", Down: &[3]float64{0, 0, -1}, ClearanceMM: &five, CutClearanceMM: &five})
	if len(p.CastTrap) != 1 || p.CastTrap[0].Vent != nil {
		t.Fatalf("casting traps %+v, want one without a post", p.CastTrap)
	}
	tilt := p.Air.Tilt.Cast
	if tilt == nil {
		t.Fatal("no tilt of the block")
	}
	critical := math.Atan2(3, 40) * 180 / math.Pi
	if tilt.Deg < critical-1 || tilt.Deg > critical+1 || !slices.Equal(tilt.Frees, []int{0}) || tilt.FreedMM3 < 0.9*tilt.BeforeMM3 {
		t.Errorf("%+v, want about %.1f°, which frees nearly all", tilt, critical)
	}
	if want := 3. * 40 / 2 * 40; math.Abs(tilt.BeforeMM3-want) > 1e-3*want || tilt.BeforeMM3 != tilt.FreedMM3+tilt.LeftMM3 {
		t.Errorf("%+v, want %g mm³ before", tilt, want)
	}
	var toward float64 // along the scan's x
	for row := range 3 {
		toward += p.Stand.Rotation[row][0] * tilt.Toward[row]
	}
	if toward < 0.9 || len(tilt.Side) == 0 || tilt.LiftMM < 2 || len(tilt.PlugOrder) != 0 {
		t.Errorf("%+v goes by %g toward the end that hangs", tilt, toward)
	}
	if !slices.ContainsFunc(p.Findings, func(f finding.Finding) bool {
		return f.Question == "airtrap" && f.Level == finding.Warn && strings.HasPrefix(f.Action, "Tilt the block ")
	}) {
		t.Errorf("no finding tells to tilt: %+v", p.Findings)
	}
	if p.Air.Tilt.Rubber != nil || p.Air.LeastMM3 != 50 || p.Air.LeastDepthMM != 0.5 || !(p.Air.SqueezedShare > 0.001 && p.Air.SqueezedShare < 0.02) {
		t.Errorf("%+v", p.Air)
	}
}

// Under the cap of a mushroom rubber traps a ring of air, ∫2πr·h(r)dr; a tilt of
// the box by the slope of the cap's underside frees it, to whatever side.
func TestTiltOfTheBoxInThePlan(t *testing.T) {
	const inner, outer, depth = 14, 40, 4
	mushroom := meshtest.Lathe([]r2.Vec{{X: 0, Y: 0}, {X: inner, Y: 0}, {X: inner, Y: 30 + depth}, {X: outer, Y: 30}, {X: 45, Y: 30}, {X: 45, Y: 50}, {X: 0, Y: 50}}, 192)
	p := planOf(t, Choices{Scan: scanOf(t, mushroom), Units: "mm", Down: &[3]float64{0, 0, -1}})
	if len(p.RubberTrap) != 1 {
		t.Fatalf("rubber traps %+v, want the ring", p.RubberTrap)
	}
	slope := float64(depth) / (outer - inner)
	ring := func(r float64) float64 { return 2 * math.Pi * slope * (outer*r*r/2 - r*r*r/3) }
	want := ring(outer) - ring(inner)
	trap, tilt := p.RubberTrap[0], p.Air.Tilt.Rubber
	if math.Abs(trap.VolumeMM3-want) > 2e-3*want || trap.Remedy.Way != "tilt" || !strings.HasPrefix(trap.Remedy.Text, "Tilt the box ") {
		t.Errorf("%+v with %+v, want %.0f mm³ that a tilt frees", trap, *trap.Remedy, want)
	}
	if most := math.Atan(slope)*180/math.Pi + 0.5; tilt == nil || tilt.Deg < most/3 || tilt.Deg > most || !slices.Equal(tilt.Side, []string{"x1"}) || tilt.LeftMM3 > 0.1*want {
		t.Errorf("%+v, want the right end down, by no more than %.1f°", tilt, most)
	}
}

// A pot whose rim stands on the board: rubber never gets in.
func TestHollowOnTheBoard(t *testing.T) {
	pot := meshtest.Lathe([]r2.Vec{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 60}, {X: 30, Y: 60}, {X: 30, Y: 10}, {X: 0, Y: 10}}, 96)
	p := planOf(t, Choices{Scan: scanOf(t, pot), Units: "mm", Down: &[3]float64{0, 0, 1}})
	if len(p.RubberTrap) != 1 || p.RubberTrap[0].Remedy.Way != "seal" || p.Air.Tilt.Rubber == nil || p.Air.Tilt.Rubber.Deg != 0 {
		t.Errorf("%+v and tilt %+v, want one to be sealed", p.RubberTrap, p.Air.Tilt.Rubber)
	}
}

// In a tilted block the holes that end below the lowest place of the spout's rim
// are plugged from the lowest up.
func TestPlugOrder(t *testing.T) {
	j := &job{plan: &Plan{}, pose: mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}}}
	j.plan.Stand.SpoutDiameterMM = 20
	for i, x := range []float64{-40, 30, 8, 60, 12} {
		j.vents = append(j.vents, &airtrap.Vent{To: r3.Vec{X: x}})
		j.plan.CastTrap = append(j.plan.CastTrap, Trap{Vent: &Vent{Post: i + 1}})
	}
	j.vents = append(j.vents, nil, j.vents[3]) // no post, and one that is shared
	j.plan.CastTrap = append(j.plan.CastTrap, Trap{}, Trap{Vent: &Vent{Post: 4}})
	sin, cos := math.Sincos(10 * math.Pi / 180)
	up := r3.Vec{X: -sin, Z: -cos} // the x1 side is down
	if got := j.plugOrder(up); !slices.Equal(got, []int{4, 2, 5}) {
		t.Errorf("plug %v, want 4, 2, 5: the others end above the rim, which is 10 mm down the slope", got)
	}
	if got := j.plugOrder(r3.Vec{Z: -1}); len(got) != 0 {
		t.Errorf("plug %v in a level block", got)
	}
	if want := "Plug the vents in the order 4, 2, 5 as material shows in them."; !strings.HasSuffix((&Tilt{Deg: 10, Side: []string{"x1"}, PlugOrder: []int{4, 2, 5}}).words("the block", "casting"), want) {
		t.Error("the order is not told")
	}
}

// Rubber runs out over the lowest corner of the walls.
func TestWallRim(t *testing.T) {
	j := &job{floor: moldbox.RectangleFloor(100, 60), plan: &Plan{Box: Box{WallHeightMM: 90}}}
	sin, cos := math.Sincos(20 * math.Pi / 180)
	for _, c := range []struct {
		up   r3.Vec
		want float64
	}{{r3.Vec{Z: 1}, 90}, {r3.Vec{X: -sin, Z: cos}, 90*cos - 50*sin}, {r3.Vec{Y: sin, Z: cos}, 90*cos - 30*sin},
		{r3.Vec{X: sin * math.Sqrt2 / 2, Y: -sin * math.Sqrt2 / 2, Z: cos}, 90*cos - 80*sin*math.Sqrt2/2}} {
		if got := j.wallRim(c.up); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("up %v: %g, want %g", c.up, got, c.want)
		}
	}
}

func TestLeastAirIsChecked(t *testing.T) {
	for _, c := range []struct{ mm3, depth float64 }{{-1, 1}, {math.NaN(), 1}, {1e9, 1}, {1, 0}, {1, -2}, {1, math.NaN()}, {1, 1000}} {
		if _, _, err := (Choices{LeastAirMM3: &c.mm3, LeastAirDepthMM: &c.depth}).leastAir(); err == nil {
			t.Errorf("%g mm³ and %g mm pass", c.mm3, c.depth)
		}
	}
	if mm3, depth, err := (Choices{}).leastAir(); mm3 != 50 || depth != 0.5 || err != nil {
		t.Errorf("by default %g mm³ and %g mm, %v", mm3, depth, err)
	}
}
