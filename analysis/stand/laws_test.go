package stand

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// patchy gives a part detail on one of its ends, and air under some of its vertices,
// so that every criterion matters.
func patchy(in *Input, m *mesh.Mesh) {
	for v, p := range m.Vertices {
		if p.Z > 90 {
			in.Detail[v] = float32(0.5 + 0.4*math.Sin(p.X/5))
		}
	}
	in.Air = markedAir
}

// markedAir traps air at marked vertices that are little above the spout or below
// it, and rubber's at those that are far above it.
func markedAir(m *mesh.Mesh, _ []float32, _ bool) AirFinder {
	return func(down r3.Vec, open []int32) (cast, rubber Air) {
		for k := range 4 {
			v := len(m.Vertices) * (k + 1) / 6
			switch rise := r3.Dot(down, r3.Sub(m.Vertices[open[0]], m.Vertices[v])); {
			case rise < 8:
				cast.Count++
				cast.Vents += k % 2
			case rise > 70:
				rubber.Count++
			}
		}
		return cast, rubber
	}
}

// The choice turns and mirrors with the part, and so do its alternatives.
func TestChoiceGoesWithThePart(t *testing.T) {
	m := lopsided()
	want := choose(t, m, func(in *Input) { patchy(in, m) })
	for name, by := range map[string]func(r3.Vec) r3.Vec{"turned": turned, "mirrored": mirrored} {
		got := choose(t, movedMesh(m, by, name == "mirrored"), func(in *Input) { patchy(in, m) })
		if len(got.Ways) != len(want.Ways) {
			t.Fatalf("%s: %d ways, want %d", name, len(got.Ways), len(want.Ways))
		}
		for i, w := range want.Ways {
			down := r3.Sub(by(w.Down), by(r3.Vec{}))
			if off := r3.Norm(r3.Sub(got.Ways[i].Down, down)); off > 1e-6 {
				t.Errorf("%s: way %d has down %v, want %v", name, i, got.Ways[i].Down, down)
			}
			if off := r3.Norm(r3.Sub(got.Ways[i].Spout, by(w.Spout))); off > 0.05 {
				t.Errorf("%s: way %d has its spout %g mm off", name, i, off)
			}
			if math.Abs(got.Ways[i].Score-w.Score) > 1e-3 || got.Ways[i].Pareto != w.Pareto {
				t.Errorf("%s: way %d scores %g, want %g", name, i, got.Ways[i].Score, w.Score)
			}
		}
	}
}

// Twice the part with twice the lengths asked: lengths double, volumes grow eightfold.
func TestChoiceGrowsWithThePart(t *testing.T) {
	m := lopsided()
	down := r3.Vec{Z: -1}
	one := choose(t, m, func(in *Input) { patchy(in, m); in.Down = &down }).Ways[0]
	two := choose(t, m.Scaled(2), func(in *Input) {
		patchy(in, m)
		in.Down, in.LeastSpoutMM, in.ClearanceMM, in.CoverMM = &down, 50, 32, 40
	}).Ways[0]
	for _, c := range []struct {
		what      string
		got, want float64
		tolerance float64
	}{
		{"height", two.HeightMM, 2 * one.HeightMM, 1e-9},
		{"spout", two.SpoutDiameterMM, 2 * one.SpoutDiameterMM, 0.02},
		{"rubber", two.RubberMM3, 8 * one.RubberMM3, 1e-9},
		{"angle of tipping", two.TipDeg, one.TipDeg, 1e-3},
		{"opening", two.Criteria[Spout], one.Criteria[Spout], 0.01},
	} {
		if math.Abs(c.got-c.want) > c.tolerance*c.want {
			t.Errorf("%s: %g, want %g", c.what, c.got, c.want)
		}
	}
}

func TestSameAnswerOnAnyProcessors(t *testing.T) {
	m := lopsided()
	var first Result
	for _, n := range []int{1, 2, 5} {
		before := runtime.GOMAXPROCS(n)
		r := choose(t, m, func(in *Input) { patchy(in, m) })
		runtime.GOMAXPROCS(before)
		for i := range r.Ways {
			r.Ways[i].Criteria[Necks], r.Ways[i].NeckMM = 0, 0 // NaN is not equal to itself
		}
		if n == 1 {
			first = r
		} else if !reflect.DeepEqual(first, r) {
			t.Errorf("on %d processors:\n%+v\non one:\n%+v", n, r, first)
		}
	}
}

// No direction at all, of thousands judged one by one, scores plainly above
// the choice.
func TestChoiceIsTheBestThereIs(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{"lopsided": lopsided(), "spool": spool(), "box": meshtest.Box(90, 60, 40)} {
		solid, in := inputOf(t, m)
		patchy(&in, m)
		r, err := Choose(t.Context(), solid, in)
		if err != nil {
			t.Fatal(err)
		}
		in.Weights = DefaultWeights
		s, err := newSearch(t.Context(), solid, in)
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(5, 6))
		for range 3000 {
			d := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
			if w := s.fine.way(d); w.Score > r.Ways[0].Score+0.01 {
				t.Errorf("%s: down %v scores %.4f, the choice %.4f", name, s.frame.dirOut(d), w.Score, r.Ways[0].Score)
			}
		}
	}
}

// The choice is beaten by none of the finalists, and each way of the result
// that says so is not either.
func TestParetoSet(t *testing.T) {
	m := lopsided()
	r := choose(t, m, func(in *Input) { patchy(in, m) })
	if !r.Ways[0].Pareto || r.Pareto < 1 || r.Pareto > r.Judged || r.Judged < len(r.Ways) {
		t.Errorf("choice %v, %d of %d finalists are beaten by none", r.Ways[0].Pareto, r.Pareto, r.Judged)
	}
	for i, a := range r.Ways {
		for k, b := range r.Ways {
			if a.Pareto && b.Criteria.dominates(a.Criteria, r.Weights) {
				t.Errorf("way %d is to be beaten by none, but is by %d", i, k)
			}
		}
		for _, c := range a.BestAt {
			for k, b := range r.Ways {
				if k != i && b.Criteria[c] >= a.Criteria[c] {
					t.Errorf("way %d is best at %s with %g, but way %d has %g", i, c, a.Criteria[c], k, b.Criteria[c])
				}
			}
		}
	}
}

// Really different: no two ways are within apartDeg, or images of each other.
func TestAlternativesDiffer(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{"lopsided": lopsided(), "spool": spool(), "box": meshtest.Box(90, 60, 40), "cube": meshtest.Box(50, 50, 50)} {
		r := choose(t, m, nil)
		if len(r.Ways) < 3 {
			t.Errorf("%s: only %d ways", name, len(r.Ways))
		}
		for i, a := range r.Ways {
			for k, b := range r.Ways[:i] {
				if r3.Dot(a.Down, b.Down) > math.Cos(apartDeg*math.Pi/180) {
					t.Errorf("%s: ways %d and %d are close: %v and %v", name, i, k, a.Down, b.Down)
				}
				if a.StemMM == 0 && b.StemMM == 0 && math.Abs(a.HeightMM-b.HeightMM) < 1e-6 && math.Abs(a.SpoutDiameterMM-b.SpoutDiameterMM) < 1e-6 {
					t.Errorf("%s: ways %d and %d are images: %v and %v", name, i, k, a.Down, b.Down)
				}
			}
		}
	}
	// Every side of a ball is the same.
	if r := choose(t, meshtest.Icosphere(4).Scaled(40), nil); len(r.Ways) != 1 {
		t.Errorf("a ball has %d ways up, want one: %+v", len(r.Ways), r.Ways)
	}
}

// Of two equal ends, the one the scan stands on is taken, however the part is
// turned about.
func TestEvenEndsAreSettledByTheScansOwnFoot(t *testing.T) {
	m := spool() // the ends differ only in which one is down
	for _, pose := range []mesh.Pose{mesh.PoseDown(r3.Vec{Z: -1}), mesh.PoseDown(r3.Unit(r3.Vec{X: 0.3, Y: -0.2, Z: -1}))} {
		r := choose(t, m.Posed(pose), nil)
		if down := r.Ways[0].Down; down.Z > -0.9 {
			t.Errorf("stands with %v down", down)
		}
	}
}

func TestPreferenceChangesTheChoice(t *testing.T) {
	m := spool()
	carve := func(in *Input) {
		for v, p := range m.Vertices {
			if p.Z < 30 || p.Z > 50 {
				in.Detail[v] = 1
			}
		}
	}
	with := func(prefer map[string]float64) Way {
		return choose(t, m, func(in *Input) {
			carve(in)
			in.Weights, _ = DefaultWeights.Preferring(prefer)
		}).Ways[0]
	}
	if w := with(map[string]float64{"detail": 0}); w.StemMM != 0 || math.Abs(w.HeightMM-80) > 1e-9 {
		t.Errorf("with no care for detail it stands %g mm high, want 80 on an end", w.HeightMM)
	}
	if w := with(map[string]float64{"height": 100}); math.Abs(w.HeightMM-40) > 0.5 {
		t.Errorf("height above all: it is %g mm high, want 40 on its side", w.HeightMM)
	}
}

// A cancelled search says so, and gives no answer.
func TestCancelledLater(t *testing.T) {
	s, in := inputOf(t, lopsided())
	ctx, cancel := context.WithCancel(t.Context())
	in.Progress = func(done, total int64) {
		if done > total/2 {
			cancel()
		}
	}
	if r, err := Choose(ctx, s, in); !errors.Is(err, context.Canceled) || len(r.Ways) > 0 {
		t.Errorf("got %d ways and %v", len(r.Ways), err)
	}
}

// Necks are asked for with the spout in the frame of the scan, and count; where they
// are not known, they are left out.
func TestNecksCount(t *testing.T) {
	m := spool() // its ends are alike but for the neck
	narrow := func(spout r3.Vec, diameter float64) (float64, float64) {
		if spout.Z < 40 {
			return 4, 50_000
		}
		return math.Inf(1), 0
	}
	r := choose(t, m, func(in *Input) { in.Passage = narrow })
	if w := r.Ways[0]; w.Spout.Z < 79.9 || w.Criteria[Necks] != 1 {
		t.Errorf("the spout is at %v with necks %g; a neck is behind the other end", w.Spout, w.Criteria[Necks])
	}
	unknown := choose(t, m, func(in *Input) {
		in.Passage = func(r3.Vec, float64) (float64, float64) { return nan, nan }
	})
	if w := unknown.Ways[0]; !math.IsNaN(w.Criteria[Necks]) || !(w.Score > 0.5) {
		t.Errorf("not known: necks %g, score %g", w.Criteria[Necks], w.Score)
	}
}
