package detail

import (
	"context"
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Inside the balls it is as the maker says, elsewhere as before; kept clear goes
// before plain.
func TestBallsDecide(t *testing.T) {
	m := ribbedShaft(20_000)
	before := scoreAt(t, m, 0)
	keep := []Ball{{v(20, 0, 50), 8}, {v(0, 20, 150), 5}}
	plain := []Ball{{v(20, 0, 150), 10}, {v(0, 20, 150), 12}}
	got, err := Score(context.Background(), m, Input{KeepClear: keep, Plain: plain})
	if err != nil {
		t.Fatal(err)
	}
	in := func(p r3.Vec, balls []Ball) bool {
		for _, b := range balls {
			if r3.Norm(r3.Sub(p, b.Centre)) <= b.RadiusMM {
				return true
			}
		}
		return false
	}
	var kept, made int
	for i, p := range m.Vertices {
		want := before[i]
		switch {
		case in(p, keep):
			want = 1
			kept++
		case in(p, plain):
			want = 0
			made++
		}
		if got.Vertex[i] != want {
			t.Fatalf("vertex %d at %v scores %g, want %g", i, p, got.Vertex[i], want)
		}
	}
	if kept < 50 || made < 50 {
		t.Errorf("only %d and %d vertices in the balls", kept, made)
	}
}

// A ball within a large face decides for its corners; one that no surface touches,
// inside or out, is an error with the nearest place.
func TestBallsBetweenVertices(t *testing.T) {
	box := meshtest.Box(60, 80, 100)
	got, err := Score(context.Background(), box, Input{KeepClear: []Ball{{v(40, 20, 101), 3}}})
	if err != nil {
		t.Fatal(err)
	}
	ones := 0
	for i, p := range box.Vertices {
		if got.Vertex[i] == 1 {
			ones++
			if p.Z != 100 {
				t.Errorf("the corner %v is kept clear", p)
			}
		}
	}
	if ones != 3 {
		t.Errorf("%d corners are kept clear, want those of one face", ones)
	}
	for _, c := range []struct {
		ball    Ball
		nearest r3.Vec
		away    float64
	}{
		{Ball{v(20, 40, 50), 19}, v(0, 40, 50), 20},
		{Ball{v(63, 84, 112), 12.9}, v(60, 80, 100), 13},
	} {
		for _, keep := range []bool{true, false} {
			in := Input{Plain: []Ball{c.ball}}
			if keep {
				in = Input{KeepClear: []Ball{c.ball}}
			}
			_, err := Score(context.Background(), box, in)
			var apart *Untouched
			if !errors.As(err, &apart) || apart.KeepClear != keep || apart.Ball != c.ball ||
				r3.Norm(r3.Sub(apart.Nearest, c.nearest)) > 1e-9 || math.Abs(apart.AwayMM-c.away) > 1e-9 {
				t.Errorf("ball %v: error %+v", c.ball, err)
			}
		}
	}
}

// The nearest point of a face is that of the search tree.
func TestNearestOnFaces(t *testing.T) {
	m := meshtest.TorusMesh(24, 12, 20, 6)
	tree := mesh.NewTree(m)
	for i := range 200 {
		p := v(40*math.Sin(float64(i)), 40*math.Sin(1.7*float64(i)), 15*math.Sin(2.3*float64(i)))
		hit, _ := tree.Closest(p, math.Inf(1))
		at, cut := nearest(m, Ball{p, hit.Distance * 1.0001})
		if math.Abs(r3.Norm(r3.Sub(at, p))-hit.Distance) > 1e-9 || len(cut) == 0 {
			t.Errorf("point %v: nearest %v with %d faces, by the tree %v", p, at, len(cut), hit.Point)
		}
	}
}
