package airtrap

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

var up = r3.Vec{Z: 1}

func find(t *testing.T, m *mesh.Mesh, in Input) []Trap {
	t.Helper()
	if in.PersistenceMM == 0 {
		in.PersistenceMM = DefaultPersistenceMM
	}
	r, err := Find(NewSurface(m), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// nearest returns the vertex nearest to p.
func nearest(m *mesh.Mesh, p r3.Vec) []int32 {
	best := 0
	for v := range m.Vertices {
		if r3.Norm2(r3.Sub(m.Vertices[v], p)) < r3.Norm2(r3.Sub(m.Vertices[best], p)) {
			best = v
		}
	}
	return []int32{int32(best)}
}

func TestBoxes(t *testing.T) {
	m := meshtest.Box(100, 100, 40)
	open := Input{Domain: Inside, Up: up, VolumeMM3: DefaultVolumeMM3, Open: nearest(m, r3.Vec{X: 100, Y: 100, Z: 40})}
	if r := find(t, m, open); len(r) != 0 {
		t.Errorf("open at a top corner: %+v", r)
	}
	open.Open = nil
	if r := find(t, m, open); len(r) != 1 || r[0].VolumeMM3 != 400000 {
		t.Errorf("without an opening: %+v, want all of it", r)
	}
}

// horns is a body of revolution about z lying in nothing but two peaks: a
// height field over a square, peaks 100 and 80 high, saddle between them 50.
func horns(n int) *mesh.Mesh {
	top := func(x, y float64) float64 {
		h := 50 - 20*math.Abs(y)/40
		h = math.Max(h, 100-2.5*math.Hypot(x+40, y))
		return math.Max(h, 80-1.5*math.Hypot(x-40, y))
	}
	m := &mesh.Mesh{}
	at := func(i, j int) int32 { return int32(i*(n+1) + j) }
	under := int32((n + 1) * (n + 1))
	for level := range 2 {
		for i := range n + 1 {
			for j := range n + 1 {
				x, y := -80+160*float64(i)/float64(n), -40+80*float64(j)/float64(n)
				z := 0.0
				if level == 0 {
					z = top(x, y)
				}
				m.Vertices = append(m.Vertices, r3.Vec{X: x, Y: y, Z: z})
			}
		}
	}
	quad := func(a, b, c, d int32) { m.Faces = append(m.Faces, [3]int32{a, b, c}, [3]int32{a, c, d}) }
	for i := range n {
		for j := range n {
			quad(at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1))
			quad(under+at(i, j), under+at(i, j+1), under+at(i+1, j+1), under+at(i+1, j))
		}
		quad(at(i+1, 0), at(i, 0), under+at(i, 0), under+at(i+1, 0))
		quad(at(i, n), at(i+1, n), under+at(i+1, n), under+at(i, n))
		quad(at(0, i), at(0, i+1), under+at(0, i+1), under+at(0, i))
		quad(at(n, i+1), at(n, i), under+at(n, i), under+at(n, i+1))
	}
	return m
}

func TestTwoHorns(t *testing.T) {
	m := horns(80)
	if _, _, err := mesh.NewSolid(m); err != nil {
		t.Fatal(err)
	}
	high, low := nearest(m, r3.Vec{X: -40, Z: 100}), nearest(m, r3.Vec{X: 40, Z: 80})
	for _, c := range []struct {
		name        string
		open        []int32
		persistence []float64
	}{
		{"vent on the high one", high, []float64{30}},
		{"vent on the low one", low, []float64{50}},
		{"vent on both", append(append([]int32{}, high...), low...), nil},
		{"none", nil, []float64{100, 30}},
	} {
		r := find(t, m, Input{Domain: Inside, Up: up, Open: c.open, VolumeMM3: DefaultVolumeMM3})
		if len(r) != len(c.persistence) {
			t.Errorf("%s: got %+v, want %v", c.name, r, c.persistence)
			continue
		}
		for i, want := range c.persistence {
			if math.Abs(r[i].PersistenceMM-want) > 1e-9 {
				t.Errorf("%s: persistence %g, want %g", c.name, r[i].PersistenceMM, want)
			}
		}
	}
}

func TestTiltedCeiling(t *testing.T) {
	sin, cos := math.Sincos(1 * math.Pi / 180)
	tilt := mesh.Pose{Rows: [3]r3.Vec{{X: cos, Z: -sin}, {Y: 1}, {X: sin, Z: cos}}}
	m := meshtest.Box(100, 100, 40).Posed(tilt)
	in := Input{Domain: Inside, Up: up, Open: nearest(m, tilt.Point(r3.Vec{X: 100, Y: 50, Z: 40})), VolumeMM3: DefaultVolumeMM3}
	r := find(t, m, in)
	if len(r) != 0 {
		t.Errorf("got traps %+v, want none", r)
	}
	if s := NearlyLevel(NewSurface(m), in); s == nil || math.Abs(s.AreaMM2-10000) > 1 {
		t.Errorf("got nearly level ceiling %+v, want 10000 mm²", s)
	}
	ball := meshtest.Icosphere(5).Scaled(5)
	if s := NearlyLevel(NewSurface(ball), Input{Domain: Inside, Up: up}); s != nil {
		t.Errorf("a small ball has %g mm² of level ceiling, too little to matter", s.AreaMM2)
	}
}

// cup is a cup of revolution, open to +z, hollow of radius 30 and depth 50.
func cup(n int) *mesh.Mesh {
	return meshtest.Lathe([]r2.Vec{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 60}, {X: 30, Y: 60}, {X: 30, Y: 10}, {X: 0, Y: 10}}, n)
}

func TestRubberAroundCup(t *testing.T) {
	m := cup(96)
	if r := find(t, m, Input{Domain: Outside, Up: up, VolumeMM3: DefaultVolumeMM3}); len(r) != 0 {
		t.Errorf("upright cup: got %+v, want no trap", r)
	}
	// The polygon's area stands in for the circle's: n/2·r²·sin(2π/n).
	want := 96. / 2 * 30 * 30 * math.Sin(2*math.Pi/96) * 50
	r := find(t, m, Input{Domain: Outside, Up: r3.Vec{Z: -1}, VolumeMM3: DefaultVolumeMM3})
	if len(r) != 1 || math.Abs(r[0].VolumeMM3-want) > 1e-6*want {
		t.Fatalf("cup upside down: got %+v, want one trap of %.1f mm³", r, want)
	}
	if at := r[0].At; math.Hypot(at.X, at.Y) > 31 || math.Abs(at.Z-10) > 1e-9 {
		t.Errorf("its top is at %v, want the floor of the cup", at)
	}
}

// A quick look sees the same where nothing hangs over a top of the pattern.
func TestScreenSeesTheSame(t *testing.T) {
	for _, up := range []r3.Vec{{Z: 1}, {Z: -1}, {X: 0.6, Z: -0.8}} {
		for _, d := range []Domain{Inside, Outside} {
			in := Input{Domain: d, Up: up, Open: []int32{0}, VolumeMM3: DefaultVolumeMM3}
			full := find(t, cup(96), in)
			in.Screen = true
			quick := find(t, cup(96), in)
			if len(full) != len(quick) {
				t.Errorf("domain %d up %v: %d traps, quick look %d", d, up, len(full), len(quick))
			}
		}
	}
}

// A spike of the floor that stands up into a pocket is not air.
func TestHumpUnderCeiling(t *testing.T) {
	// A closed can whose floor rises in a cone to z = 30; ceiling at z = 40 and
	// an opening on the rim at z = 20.
	m := meshtest.Lathe([]r2.Vec{{X: 0, Y: 30}, {X: 10, Y: 0}, {X: 50, Y: 0}, {X: 50, Y: 20}, {X: 50, Y: 40}, {X: 0, Y: 40}}, 96)
	r := find(t, m, Input{Domain: Inside, Up: up, Open: nearest(m, r3.Vec{X: 50, Z: 20}), VolumeMM3: DefaultVolumeMM3})
	if len(r) != 1 {
		t.Fatalf("got %+v, want one trap", r)
	}
	disc := 96. / 2 * math.Sin(2*math.Pi/96)
	tip := 10. / 3 // radius of the cone at z = 20
	want := disc*50*50*20 - disc*tip*tip*10/3
	if got := r[0].VolumeMM3; math.Abs(got-want) > 1e-6*want {
		t.Errorf("got %.2f mm³, want %.2f: the can above z = 20 less the tip of its floor", got, want)
	}
}

// Scan noise must not make traps.
func TestNoisyBall(t *testing.T) {
	m := meshtest.Icosphere(6).Scaled(50)
	rng := rand.New(rand.NewPCG(1, 2))
	for i, v := range m.Vertices {
		m.Vertices[i] = r3.Scale(1+0.03*rng.NormFloat64()/50, v)
	}
	for _, d := range []Domain{Inside, Outside} {
		r := find(t, m, Input{Domain: d, Up: up, Open: nearest(m, r3.Vec{Z: 50}), VolumeMM3: DefaultVolumeMM3})
		if len(r) != 0 {
			t.Errorf("domain %d: got %d traps, want none", d, len(r))
		}
	}
}

func joined(a, b *mesh.Mesh) *mesh.Mesh {
	m := &mesh.Mesh{Vertices: append(append([]r3.Vec{}, a.Vertices...), b.Vertices...), Faces: append([][3]int32{}, a.Faces...)}
	for _, f := range b.Faces {
		n := int32(len(a.Vertices))
		m.Faces = append(m.Faces, [3]int32{f[0] + n, f[1] + n, f[2] + n})
	}
	return m
}
