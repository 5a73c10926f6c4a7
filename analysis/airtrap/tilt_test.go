package airtrap

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func noLimit(r3.Vec) float64 { return math.Inf(1) }

// prism is an outline in x, z, counter-clockwise seen from −y, drawn out from
// y = 0 to y = length.
func prism(outline []r2.Vec, length float64) *mesh.Mesh {
	m, n := &mesh.Mesh{}, int32(len(outline))
	for _, y := range []float64{0, length} {
		for _, p := range outline {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: y, Z: p.Y})
		}
	}
	for i := range n {
		j := (i + 1) % n
		m.Faces = append(m.Faces, [3]int32{i, j + n, j}, [3]int32{i, i + n, j + n})
	}
	for i := int32(1); i+1 < n; i++ { // convex towards the first corner
		m.Faces = append(m.Faces, [3]int32{0, i, i + 1}, [3]int32{n, n + i + 1, n + i})
	}
	return m
}

func leastTilt(t testing.TB, m *mesh.Mesh, in Tilting) (Tilt, []Trap) {
	t.Helper()
	s := NewSurface(m)
	traps, err := Find(s, in.Input)
	if err != nil {
		t.Fatal(err)
	}
	tilt, err := LeastTilt(context.Background(), s, in, traps)
	if err != nil {
		t.Fatal(err)
	}
	return tilt, traps
}

// airAt finds the air from scratch, on the mesh turned so that a tilted up is
// +z.
func airAt(t testing.TB, m *mesh.Mesh, in Input, up r3.Vec) float64 {
	t.Helper()
	in.Up = r3.Vec{Z: 1}
	r, err := Find(NewSurface(turned(m, up, 0)), in)
	if err != nil {
		t.Fatal(err)
	}
	return Air(r)
}

// A ceiling that rises by 10 mm in 60 towards a blind end is freed by a tilt of
// atan(10/60), the blind end down; on the other side of the board the same.
func TestTiltOfARamp(t *testing.T) {
	m := prism([]r2.Vec{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 20}, {X: 0, Y: 30}}, 40)
	if _, _, err := mesh.NewSolid(m); err != nil {
		t.Fatal(err)
	}
	critical := math.Atan2(10, 60) * 180 / math.Pi
	for _, c := range []struct {
		m      *mesh.Mesh
		up     r3.Vec
		toward r3.Vec
	}{
		{m, up, r3.Vec{X: -1}},
		{turned(m, r3.Vec{Z: -1}, 0), r3.Vec{Z: -1}, r3.Vec{}},
	} {
		in := Tilting{Input: Input{Domain: Inside, Up: c.up, PersistenceMM: 0.1, VolumeMM3: 1}, Limit: noLimit}
		open := nearest(m, r3.Vec{X: 60, Z: 20})
		in.Open = append(open, nearest(m, r3.Vec{X: 60, Y: 40, Z: 20})...)
		got, traps := leastTilt(t, c.m, in)
		if want := 60. * 10 / 2 * 40; len(traps) != 1 || math.Abs(got.BeforeMM3-want) > 1e-6*want {
			t.Fatalf("level: %+v, want one trap of %g mm³", traps, want)
		}
		if got.Deg < critical-0.75 || got.Deg > critical+0.5 || got.LeftMM3 > 0.05*got.BeforeMM3 || !got.Frees[0] && got.LeftMM3 == 0 {
			t.Errorf("up %v: %+v, want about %.2f°", c.up, got, critical)
		}
		if c.toward != (r3.Vec{}) && r3.Norm(r3.Sub(got.Toward, c.toward)) > 1e-9 {
			t.Errorf("tilted toward %v, want %v", got.Toward, c.toward)
		}
		if again := airAt(t, c.m, in.Input, got.Up); math.Abs(again-got.LeftMM3) > 1e-6*got.BeforeMM3 {
			t.Errorf("up %v: %g mm³ left, from scratch %g", c.up, got.LeftMM3, again)
		}
	}
}

// dome is a disc with a hollow of a sphere's cap on its underside, half angle 20°
// at a radius of 80 mm, its rim at z.
func dome(z float64) *mesh.Mesh {
	const r, half, n = 80, 20 * math.Pi / 180, 24
	rim := r * math.Sin(half)
	var profile []r2.Vec
	for k := range n + 1 {
		a := half * float64(k) / n
		profile = append(profile, r2.Vec{X: r * math.Sin(a), Y: z + r*(math.Cos(a)-math.Cos(half))})
	}
	profile[0].X = 0
	return meshtest.Lathe(append(profile, r2.Vec{X: rim + 5, Y: z}, r2.Vec{X: rim + 5, Y: z + 20}, r2.Vec{X: 0, Y: z + 20}), 192)
}

func domeTilting() Tilting {
	return Tilting{Input: Input{Domain: Outside, Up: up, PersistenceMM: DefaultPersistenceMM, VolumeMM3: DefaultVolumeMM3}, Limit: noLimit}
}

// Under a dome of half angle θ a tilt by α leaves a cap of half angle θ − α,
// πh²(3r−h)/3 high h = r(1−cos(θ−α)); all ways to tilt are alike, and the first
// is taken.
func TestTiltOfADome(t *testing.T) {
	for _, c := range []struct{ deg, want float64 }{{0, 20}, {5, 15}, {12, 8}} {
		l := lean{deg: c.deg}
		h := 80 * (1 - math.Cos(c.want*math.Pi/180))
		want := math.Pi * h * h * (240 - h) / 3
		if got := airAt(t, dome(30), domeTilting().Input, l.up(up)); math.Abs(got-want) > 0.01*want {
			t.Errorf("tilted by %g°: %g mm³, want %g", c.deg, got, want)
		}
	}
	got, _ := leastTilt(t, dome(30), domeTilting())
	if r3.Norm(r3.Sub(got.Toward, r3.Vec{X: 1})) > 1e-12 || got.Deg < 8 || got.Deg > 20 || got.LeftMM3 > 0.06*got.BeforeMM3 {
		t.Errorf("got %+v, want the right end down by half the dome's angle", got)
	}
	if again := airAt(t, dome(30), domeTilting().Input, got.Up); math.Abs(again-got.LeftMM3) > 1e-6*got.BeforeMM3 {
		t.Errorf("%g mm³ left, from scratch %g", got.LeftMM3, again)
	}
}

// The box may be tilted only until rubber that covers the hollow would run over
// the low corner of the walls.
func TestTiltIsLimitedByTheWalls(t *testing.T) {
	m := dome(30)
	walls := func(height float64) Tilting {
		in := domeTilting()
		in.Limit = func(up r3.Vec) float64 { return up.Z*height - math.Abs(up.X)*50 - math.Abs(up.Y)*50 }
		return in
	}
	// Rubber has to rise to where the rest of the air closes, at the raised rim:
	// z cos + r sin, and the low corner of the walls is at height·cos − 50 sin.
	for _, most := range []float64{5, 10, 12.5} {
		height := 30 + (80*math.Sin(20*math.Pi/180)+50)*math.Tan(most*math.Pi/180)
		h := 80 * (1 - math.Cos((20-most)*math.Pi/180))
		least := math.Pi * h * h * (240 - h) / 3
		got, _ := leastTilt(t, m, walls(height+0.1))
		if got.Deg == 0 || got.Deg > most || got.LeftMM3 < 0.98*least || got.LeftMM3 > 1.02*least+asGoodShare*got.BeforeMM3 {
			t.Errorf("walls %.1f mm high allow %g°: %+v, want %.0f mm³ left", height, most, got, least)
		}
	}
	if got, _ := leastTilt(t, m, walls(30.1)); got.Deg != 0 || got.LeftMM3 != got.BeforeMM3 || got.Frees[0] {
		t.Errorf("walls as high as the rim: %+v, want no tilt", got)
	}
}

// A hollow whose rim stands on the board is shut, however the box is tilted.
func TestNoTiltUnderARimOnTheBoard(t *testing.T) {
	if got, _ := leastTilt(t, dome(0), domeTilting()); got.Deg != 0 || got.LeftMM3 != got.BeforeMM3 {
		t.Errorf("got %+v, want none", got)
	}
}

// No tilt up to 30° frees a deep cup upside down.
func TestTiltThatDoesNotHelp(t *testing.T) {
	in := domeTilting()
	in.Up = r3.Vec{Z: -1}
	m := meshtest.Lathe([]r2.Vec{{X: 0, Y: -5}, {X: 20, Y: -5}, {X: 20, Y: 400}, {X: 10, Y: 400}, {X: 10, Y: 0}, {X: 0, Y: 0}}, 96)
	got, _ := leastTilt(t, m, in)
	if got.Deg != 0 || got.Toward != (r3.Vec{}) || got.LeftMM3 != got.BeforeMM3 || got.BeforeMM3 == 0 {
		t.Errorf("got %+v, want none", got)
	}
}

// On a sample, searched on a coarse mesh: the answer is what the mesh itself
// says, and it is nearly as good as the best of many tilts tried on it.
func TestTiltOfASample(t *testing.T) {
	m, in := trumpet(t)
	got, traps := leastTilt(t, m, in)
	if len(traps) == 0 || got.Deg == 0 {
		t.Fatalf("%d traps, %+v", len(traps), got)
	}
	if again := airAt(t, m, in.Input, got.Up); math.Abs(again-got.LeftMM3) > 1e-6*got.BeforeMM3 {
		t.Errorf("%g mm³ left, from scratch %g", got.LeftMM3, again)
	}
	best := math.Inf(1)
	for order := range 8 {
		for _, deg := range []float64{10, 20, 30} {
			l := lean{order: order, deg: deg}
			best = min(best, airAt(t, m, in.Input, l.up(in.Up)))
		}
	}
	t.Logf("%.1f° toward %v: of %.0f mm³ %.0f left; best of 24 others %.0f", got.Deg, got.Toward, got.BeforeMM3, got.LeftMM3, best)
	if got.LeftMM3 > best+0.1*got.BeforeMM3 {
		t.Errorf("%g mm³ left, another tilt leaves %g of %g", got.LeftMM3, best, got.BeforeMM3)
	}
}

// trumpet is the speaking trumpet lying on its side, spout in its middle.
func trumpet(t testing.TB) (*mesh.Mesh, Tilting) {
	m := readSample(t, "speaking-trumpet.stl")
	box := mesh.TightestBox(m.Vertices)
	m = turned(m, box.Axes[2], 0)
	low := 0
	for v, p := range m.Vertices {
		if p.Z < m.Vertices[low].Z {
			low = v
		}
	}
	in := Tilting{Input: Input{Domain: Inside, Up: r3.Vec{Z: -1}, Open: []int32{int32(low)},
		PersistenceMM: DefaultPersistenceMM, VolumeMM3: DefaultVolumeMM3}, Limit: noLimit}
	return m, in
}

func TestTiltStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	s := NewSurface(dome(30))
	traps, err := Find(s, domeTilting().Input)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := LeastTilt(ctx, s, domeTilting(), traps); err == nil {
		t.Error("a stopped search answers")
	}
}

// Boyle's law; 0.3 m of resin of 1.1 g/cm³: 3.10 %; 3 bar more: to 25.2 % of it.
func TestSqueezed(t *testing.T) {
	if got := Squeezed(1.1, 300); math.Abs(got-0.0310) > 5e-5 {
		t.Errorf("0.3 m of resin takes off %.4f, want 0.0310", got)
	}
	head := 3e5 / 9.80665 // mm of water
	if got := 1 - Squeezed(1, head); math.Abs(got-0.252) > 1e-3 {
		t.Errorf("3 bar leave %.4f, want 0.252", got)
	}
	if Squeezed(1.1, 0) != 0 {
		t.Error("nothing above takes something off")
	}
}

func BenchmarkLeastTilt(b *testing.B) {
	m, in := trumpet(b)
	s := NewSurface(m)
	traps, err := Find(s, in.Input)
	if err != nil {
		b.Fatal(err)
	}
	b.Run("find", func(b *testing.B) {
		for b.Loop() {
			if _, err := Find(s, in.Input); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("tilt", func(b *testing.B) {
		for b.Loop() {
			if _, err := LeastTilt(context.Background(), s, in, traps); err != nil {
				b.Fatal(err)
			}
		}
	})
}
