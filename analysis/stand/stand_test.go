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
