package stand

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// arch is a bridge of length 120 along x: two feet 20 wide at its ends, and
// a passage 10 high between.
func arch() *mesh.Mesh {
	outline := []r2.Vec{{}, {X: 20}, {X: 20, Y: 10}, {X: 100, Y: 10}, {X: 100}, {X: 120}, {X: 120, Y: 50}, {Y: 50}}
	return prism(outline, [][3]int{{0, 1, 2}, {0, 2, 7}, {2, 3, 7}, {3, 6, 7}, {3, 4, 5}, {3, 5, 6}}, 30)
}

// prism raises an outline in x and z, cut into triangles, along y.
func prism(outline []r2.Vec, triangles [][3]int, width float64) *mesh.Mesh {
	m, n := &mesh.Mesh{}, int32(len(outline))
	for _, y := range []float64{0, width} {
		for _, p := range outline {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: y, Z: p.Y})
		}
	}
	for _, t := range triangles {
		a, b, c := int32(t[0]), int32(t[1]), int32(t[2])
		m.Faces = append(m.Faces, [3]int32{a, b, c}, [3]int32{a + n, c + n, b + n})
	}
	for i := range n {
		k := (i + 1) % n
		m.Faces = append(m.Faces, [3]int32{i, i + n, k + n}, [3]int32{i, k + n, k})
	}
	return m
}

func TestWishedSpout(t *testing.T) {
	box := meshtest.Box(90, 60, 40)
	for _, c := range []struct {
		name                     string
		m                        *mesh.Mesh
		spout                    r3.Vec
		stem                     float64
		down                     r3.Vec
		at                       r3.Vec
		within, diameter, stemMM float64
	}{
		{"middle of a side", box, r3.Vec{X: 45, Y: 30, Z: 40}, 0, r3.Vec{Z: 1}, r3.Vec{X: 45, Y: 30, Z: 40}, 15, 60, 0},
		{"a little off the surface", box, r3.Vec{X: 92, Y: 30, Z: 20}, 0, r3.Vec{X: 1}, r3.Vec{X: 90, Y: 30, Z: 20}, 15, 40, 0},
		{"with a stem", box, r3.Vec{X: 45, Y: 30, Z: 40}, 30, r3.Vec{Z: 1}, r3.Vec{X: 45, Y: 30, Z: 40}, 15, 60, 30},
		{"under an arch, between its feet", arch(), r3.Vec{X: 60, Y: 15, Z: 10}, 0, r3.Vec{Z: -1}, r3.Vec{X: 60, Y: 15, Z: 10}, 1e-6, 30, StemMM},
	} {
		w := choose(t, c.m, func(in *Input) { in.Spout, in.StemMM = &c.spout, c.stem }).Ways[0]
		if r3.Dot(w.Down, c.down) < math.Cos(1e-3) {
			t.Errorf("%s: down is %v, want %v", c.name, w.Down, c.down)
		}
		if r3.Norm(r3.Sub(w.Spout, c.at)) > c.within {
			t.Errorf("%s: the spout is at %v, want it near %v", c.name, w.Spout, c.at)
		}
		if math.Abs(w.SpoutDiameterMM-c.diameter) > 0.04*c.diameter || w.StemMM != c.stemMM {
			t.Errorf("%s: %g mm wide with a stem of %g, want %g and %g", c.name, w.SpoutDiameterMM, w.StemMM, c.diameter, c.stemMM)
		}
	}
}

func TestWishesThatCannotBeMet(t *testing.T) {
	// A cup whose floor is far inside.
	cup := meshtest.Lathe([]r2.Vec{{}, {X: 40}, {X: 40, Y: 100}, {X: 30, Y: 100}, {X: 30, Y: 10}, {Y: 10}}, 64)
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		spout r3.Vec
		down  *r3.Vec
		words string
	}{
		{"far away", meshtest.Box(90, 60, 40), r3.Vec{X: 45, Y: 30, Z: 140}, nil, "100 mm away"},
		{"on the far side of down", meshtest.Box(90, 60, 40), r3.Vec{X: 45, Y: 30, Z: 40}, &r3.Vec{Z: -1}, "do not go together"},
		{"deep in a cup", cup, r3.Vec{Z: 10}, nil, "no way up"},
	} {
		solid, in := inputOf(t, c.m)
		in.Spout, in.Down = &c.spout, c.down
		_, err := Choose(t.Context(), solid, in)
		var refused *Refused
		if !errors.As(err, &refused) || refused.Hint() == "" || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%s: got %v, want %q", c.name, err, c.words)
		}
	}
	// With a stem that is long enough, the cup's floor can be reached.
	w := choose(t, cup, func(in *Input) { in.Spout, in.StemMM = &r3.Vec{Z: 10}, 120 }).Ways[0]
	if w.Down.Z < 0.99 || w.StemMM != 120 {
		t.Errorf("down is %v with a stem of %g mm", w.Down, w.StemMM)
	}
}

// Given both, and in agreement, the direction is kept to the last bit.
func TestWishWithDown(t *testing.T) {
	spout, down := r3.Vec{X: 45, Y: 30}, r3.Unit(r3.Vec{X: 0.02, Z: -1})
	w := choose(t, meshtest.Box(90, 60, 40), func(in *Input) { in.Spout, in.Down = &spout, &down }).Ways[0]
	if w.Down != down {
		t.Errorf("down is %v, want %v", w.Down, down)
	}
	if w.StemMM == 0 || r3.Norm(r3.Sub(w.Spout, spout)) > 1 {
		t.Errorf("the spout is at %v by a stem of %g mm; an edge is on the board", w.Spout, w.StemMM)
	}
}

func TestStemIsAskedFor(t *testing.T) {
	r := choose(t, spool(), func(in *Input) { in.StemMM = 35 })
	for i, w := range r.Ways {
		if w.StemMM != 35 {
			t.Errorf("way %d has a stem of %g mm, want 35", i, w.StemMM)
		}
	}
	if w := choose(t, spool(), nil).Ways[0]; w.StemMM != 0 {
		t.Errorf("a wide foot has a stem of %g mm", w.StemMM)
	}
}
