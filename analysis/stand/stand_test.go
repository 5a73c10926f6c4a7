package stand

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func ring(n int, r float64, center r2.Vec) []r2.Vec {
	points := make([]r2.Vec, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points[i] = r2.Vec{X: center.X + r*cos, Y: center.Y + r*sin}
	}
	return points
}

// Closed forms: incircle of a right triangle (a+b−c)/2, of a rectangle half its
// short side, of an annulus half its width.
func TestWidestCircle(t *testing.T) {
	for _, c := range []struct {
		name  string
		rings [][]r2.Vec
		want  float64
	}{
		{"triangle 3-4-5", [][]r2.Vec{{{}, {X: 4}, {Y: 3}}}, 1},
		{"rectangle 100×8", [][]r2.Vec{{{}, {X: 100}, {X: 100, Y: 8}, {Y: 8}}}, 4},
		{"disc of radius 7", [][]r2.Vec{ring(256, 7, r2.Vec{X: 3, Y: -2})}, 7},
		{"annulus 10/4", [][]r2.Vec{ring(256, 10, r2.Vec{}), ring(256, 4, r2.Vec{})}, 3},
		{"two discs, the larger wins", [][]r2.Vec{ring(64, 2, r2.Vec{}), ring(256, 5, r2.Vec{X: 20})}, 5},
		{"a line", [][]r2.Vec{{{}, {X: 4}, {X: 2}}}, 0},
		{"nothing", nil, 0},
	} {
		if _, got := widestCircle(c.rings, nil, 0.01); math.Abs(got-c.want) > 0.015*c.want {
			t.Errorf("%s: radius %g, want %g", c.name, got, c.want)
		}
	}
}

// Sources: cube 45°, cylinder d60 H200 16.6992° and cone r50 H150 53.1301°, all
// closed forms; centroid 1 ft above a 3 ft base 56.31° (a worked example of an
// engineering statics page).
func TestTipAngle(t *testing.T) {
	square := []r2.Vec{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}}
	for _, c := range []struct {
		name    string
		support []r2.Vec
		g       r2.Vec
		height  float64
		want    float64
	}{
		{"cube", square, r2.Vec{}, 1, 45},
		{"cylinder", ring(4096, 30, r2.Vec{}), r2.Vec{}, 100, 16.6992},
		{"cone", ring(4096, 50, r2.Vec{}), r2.Vec{}, 37.5, 53.1301},
		{"centroid 1 ft over a 3 ft base", ring(4096, 1.5, r2.Vec{}), r2.Vec{}, 1, 56.31},
		{"centroid outside", square, r2.Vec{X: 2}, 1, -45},
		{"a tip only", nil, r2.Vec{}, 1, 0},
	} {
		if got := tipAngle(c.support, c.g, c.height); math.Abs(got-c.want) > 1e-3 {
			t.Errorf("%s: %.4f°, want %.4f°", c.name, got, c.want)
		}
	}
}

func noAir(*mesh.Mesh, []float32, bool) AirFinder {
	return func(r3.Vec, []int32) (Air, Air) { return Air{}, Air{} }
}

func choose(t *testing.T, m *mesh.Mesh, change func(*Input)) Result {
	t.Helper()
	s, _, err := mesh.NewSolid(m)
	if err != nil {
		t.Fatal(err)
	}
	in := Input{Measures: s.Measure(), Detail: make([]float32, len(m.Vertices)), LeastSpoutMM: 25, ClearanceMM: 16, CoverMM: 20, Air: noAir}
	if change != nil {
		change(&in)
	}
	r, err := Choose(context.Background(), s, in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// spool is a shaft of radius 15 along z with plain ends of radius 20.
func spool() *mesh.Mesh {
	return meshtest.Lathe([]r2.Vec{{}, {X: 20}, {X: 20, Y: 15}, {X: 15, Y: 20}, {X: 15, Y: 60}, {X: 20, Y: 65}, {X: 20, Y: 80}, {Y: 80}}, 64)
}

func TestChooseKeepsDetailOffTheBoard(t *testing.T) {
	m := spool()
	for _, c := range []struct {
		name   string
		carved func(p r3.Vec) bool
		down   r3.Vec
	}{
		{"carved top", func(p r3.Vec) bool { return p.Z > 50 }, r3.Vec{Z: -1}},
		{"carved bottom", func(p r3.Vec) bool { return p.Z < 30 }, r3.Vec{Z: 1}},
	} {
		r := choose(t, m, func(in *Input) {
			for v, p := range m.Vertices {
				if c.carved(p) {
					in.Detail[v] = 1
				}
			}
		})
		if r.Searched < 500 {
			t.Errorf("%s: only %d directions were tried", c.name, r.Searched)
		}
		w := r.Ways[0]
		if r3.Dot(w.Down, c.down) < math.Cos(1e-6) {
			t.Errorf("%s: down is %v, want %v", c.name, w.Down, c.down)
		}
		if w.StemMM != 0 || math.Abs(w.SpoutDiameterMM-40) > 0.6 {
			t.Errorf("%s: spout %.2f mm with a stem of %g mm, want 40 mm and none", c.name, w.SpoutDiameterMM, w.StemMM)
		}
		if len(r.Ways) != 5 {
			t.Errorf("%s: %d ways, want the choice and four alternatives", c.name, len(r.Ways))
		}
		for i, a := range r.Ways {
			if a.Why == "" || i > 1 && a.Score > r.Ways[i-1].Score {
				t.Errorf("%s: way %d has score %g and reason %q", c.name, i, a.Score, a.Why)
			}
		}
	}
}

func TestGivenDownIsKept(t *testing.T) {
	down := r3.Unit(r3.Vec{X: 1, Y: 0.2, Z: 0.1})
	r := choose(t, spool(), func(in *Input) { in.Down = &down })
	if r.Ways[0].Down != down {
		t.Errorf("down is %v, want %v", r.Ways[0].Down, down)
	}
	if r.Ways[0].StemMM != StemMM {
		t.Errorf("lying on its rim it has a stem of %g mm, want %g", r.Ways[0].StemMM, float64(StemMM))
	}
	for _, a := range r.Ways[1:] {
		if r3.Dot(a.Down, down) > math.Cos(apartDeg*math.Pi/180) {
			t.Errorf("alternative %v is the given way again", a.Down)
		}
	}
}

// A turned and shifted scan gets another way up that is as good, within 2 %.
func TestChoiceTurnsWithTheScan(t *testing.T) {
	m := meshtest.Lathe([]r2.Vec{{}, {X: 18}, {X: 12, Y: 40}, {X: 25, Y: 90}, {Y: 100}}, 48)
	want := choose(t, m, nil).Ways[0].Score
	for _, down := range []r3.Vec{{X: 1, Y: 2, Z: 3}, {X: -3, Y: 1, Z: -1}} {
		pose := mesh.PoseDown(r3.Unit(down))
		pose.T = r3.Vec{X: 300, Y: -200, Z: 900}
		if got := choose(t, m.Posed(pose), nil).Ways[0].Score; math.Abs(got-want) > 0.02*want {
			t.Errorf("turned to %v: score %.4f, want %.4f", down, got, want)
		}
	}
}

func TestChooseStopsOnCancel(t *testing.T) {
	s, _, err := mesh.NewSolid(spool())
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Choose(ctx, s, Input{Measures: s.Measure(), Detail: make([]float32, len(s.Vertices)), LeastSpoutMM: 25, Air: noAir})
	if err != context.Canceled {
		t.Errorf("got %v, want %v", err, context.Canceled)
	}
}
