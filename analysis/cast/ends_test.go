package cast

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/field"
	"pourwright/mesh/meshtest"
)

// limb is a rod with round ends.
type limb struct {
	from, to r3.Vec
	radius   float64
}

// distance from its surface, negative inside.
func (l limb) distance(p r3.Vec) float64 {
	d, q := r3.Sub(l.to, l.from), r3.Sub(p, l.from)
	t := min(max(r3.Dot(d, q)/r3.Norm2(d), 0), 1)
	return r3.Norm(r3.Sub(q, r3.Scale(t, d))) - l.radius
}

// limbs are the passages of rods that run together, on a field of that voxel.
func limbs(t testing.TB, voxel float64, all ...limb) *Passages {
	t.Helper()
	lo, hi := all[0].from, all[0].from
	for _, l := range all {
		for _, p := range []r3.Vec{l.from, l.to} {
			reach := l.radius + 3*voxel
			lo = r3.Vec{X: min(lo.X, p.X-reach), Y: min(lo.Y, p.Y-reach), Z: min(lo.Z, p.Z-reach)}
			hi = r3.Vec{X: max(hi.X, p.X+reach), Y: max(hi.Y, p.Y+reach), Z: max(hi.Z, p.Z+reach)}
		}
	}
	f := &field.Field{Origin: lo, VoxelMM: voxel, N: [3]int{int((hi.X-lo.X)/voxel) + 1, int((hi.Y-lo.Y)/voxel) + 1, int((hi.Z-lo.Z)/voxel) + 1}}
	for z := range f.N[2] {
		for y := range f.N[1] {
			for x := range f.N[0] {
				p, d := r3.Add(lo, r3.Scale(voxel, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)})), math.Inf(1)
				for _, l := range all {
					d = min(d, l.distance(p))
				}
				f.Distance = append(f.Distance, float32(d))
			}
		}
	}
	p, err := NewPassages(context.Background(), f)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// wantEnd finds the one end near a place.
func wantEnd(t *testing.T, ends []End, at r3.Vec, within float64) End {
	t.Helper()
	var found []End
	for _, e := range ends {
		if r3.Norm(r3.Sub(e.At, at)) <= within {
			found = append(found, e)
		}
	}
	if len(found) != 1 {
		t.Fatalf("%d ends near %v among %+v", len(found), at, ends)
	}
	return found[0]
}

// A Y with arms of different lengths has their two ends, wherever it lies: the way
// to each, and how far it sticks out, are lengths along the middle, to the error of
// the chamfer distance.
func TestEndsOfY(t *testing.T) {
	for _, turn := range [][3]float64{{0, 0, 0}, {30, 40, 50}, {-80, 10, 170}} {
		to := pose(turn[0], turn[1], turn[2], r3.Vec{X: 7, Y: -3, Z: 11}).Point
		fork, long, short := r3.Vec{Z: 60}, r3.Vec{X: 80, Z: 120}, r3.Vec{X: -30, Z: 100}
		p := limbs(t, 1, limb{to(r3.Vec{}), to(fork), 7}, limb{to(fork), to(long), 6}, limb{to(fork), to(short), 6})
		ends := p.Ends(to(r3.Vec{Z: -7}), 14)
		if len(ends) != 2 {
			t.Fatalf("turned %v: %+v", turn, ends)
		}
		tip := func(end r3.Vec) r3.Vec { return to(r3.Add(end, r3.Scale(6, r3.Unit(r3.Sub(end, fork))))) }
		a, b := wantEnd(t, ends, tip(long), 3), wantEnd(t, ends, tip(short), 3)
		near(t, "way to the long arm", a.FarMM, 60+100+6, 0.1)
		near(t, "it sticks out from the spout", a.OutMM, a.FarMM, 1e-9)
		near(t, "the short arm", b.OutMM, 50, 0.2)
		near(t, "its width", b.WidthMM, 12, 0.15)
		if way := r3.Unit(r3.Sub(to(short), to(fork))); r3.Dot(b.Out, way) < 0.9 {
			t.Errorf("out %v, want %v", b.Out, way)
		}
	}
}

// Plain shapes have one end, opposite to the spout.
func TestEndsOfPlainShapes(t *testing.T) {
	for name, c := range map[string]struct {
		p         *Passages
		spout, at r3.Vec
	}{
		"rod":      {passagesOf(t, meshtest.Cylinder(48, 8, 150), 80), r3.Vec{}, r3.Vec{Z: 150}},
		"disc":     {passagesOf(t, meshtest.Cylinder(48, 30, 90), 80), r3.Vec{Z: 90}, r3.Vec{}},
		"ball":     {passagesOf(t, meshtest.Icosphere(4).Scaled(30), 60), r3.Vec{Z: -30}, r3.Vec{Z: 30}},
		"dumbbell": {passagesOf(t, dumbbell(20, 5, 70), 80), r3.Vec{Z: -20}, r3.Vec{Z: 90}},
	} {
		ends := c.p.Ends(c.spout, 10)
		if len(ends) != 1 || r3.Norm(r3.Sub(ends[0].At, c.at)) > 5 {
			t.Errorf("%s: %+v, want one at %v", name, ends, c.at)
		}
	}
}

// A ring has one end, half way round; a mirrored solid has the mirrored ends; and
// where surface is between two bodies nothing is beyond it.
func TestEndsLaws(t *testing.T) {
	ring := passagesOf(t, meshtest.TorusMesh(96, 48, 40, 10), 80)
	wantEnd(t, ring.Ends(r3.Vec{X: 50}, 10), r3.Vec{X: -48}, 6)
	flip := func(p r3.Vec) r3.Vec { return r3.Vec{X: -p.X, Y: p.Y, Z: p.Z} }
	arms := []limb{{r3.Vec{}, r3.Vec{Z: 60}, 8}, {r3.Vec{Z: 60}, r3.Vec{X: 50, Y: 20, Z: 90}, 5}, {r3.Vec{Z: 40}, r3.Vec{X: -50, Y: 10, Z: 20}, 5}}
	mirrored := make([]limb, len(arms))
	for i, l := range arms {
		mirrored[i] = limb{flip(l.from), flip(l.to), l.radius}
	}
	a, b := limbs(t, 1, arms...).Ends(r3.Vec{Z: -8}, 16), limbs(t, 1, mirrored...).Ends(r3.Vec{Z: -8}, 16)
	if len(a) != 2 || len(b) != 2 {
		t.Fatalf("%+v, mirrored %+v", a, b)
	}
	for i := range a {
		near(t, "mirrored way", b[i].FarMM, a[i].FarMM, 0.03)
		if d := r3.Norm(r3.Sub(flip(b[i].At), a[i].At)); d > 3 {
			t.Errorf("end %d is %g mm off when mirrored", i, d)
		}
	}
	near(t, "width at the foot", limbs(t, 1, arms...).WidthAt(r3.Vec{Z: -8}, 16), 16, 0.1)
	if ends := limbs(t, 1, arms...).Ends(r3.Vec{X: 900}, 5); ends != nil {
		t.Errorf("from nowhere: %+v", ends)
	}
}
