package mesh_test

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// capsule is a post of radius 10 and height z, with half a ball on either end.
func capsule(z float64, turns int) *mesh.Mesh {
	line := []r2.Vec{{Y: -10}}
	for i := 1; i < 32; i++ {
		a := math.Pi/32*float64(i) - math.Pi/2
		y := 10 * math.Sin(a)
		if i == 16 {
			line = append(line, r2.Vec{X: 10})
		}
		if i >= 16 {
			y += z
		}
		line = append(line, r2.Vec{X: 10 * math.Cos(a), Y: y})
	}
	return meshtest.Lathe(append(line, r2.Vec{Y: z + 10}), turns)
}

// cutOut returns m without the faces whose middle is where gone says.
func cutOut(m *mesh.Mesh, gone func(p r3.Vec) bool) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices}
	for f, t := range m.Faces {
		a, b, c := m.Corners(f)
		if !gone(r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))) {
			out.Faces = append(out.Faces, t)
		}
	}
	return out
}

// filled closes every hole of m with patches, and returns how far the volume is off
// want and its bound, mm³.
func filled(t *testing.T, m *mesh.Mesh, want float64) (off, bar float64) {
	t.Helper()
	got, err := mesh.Mend(context.Background(), m, mesh.MendChoice{CloseAll: true, Without: []string{mesh.MendBase}})
	if err != nil {
		t.Fatal(err)
	}
	return math.Abs(got.Solid.Measure().VolumeMM3 - want), got.ErrorMM3
}

// One large hole: what is lost is known in closed form, by the volume of the
// spherical cap, π·s·(3a² + s²)/6 (Weisstein, "Spherical Cap", MathWorld, from
// memory), or is that of the whole mesh.
func TestOneLargeHoleIsWithinItsBound(t *testing.T) {
	volume := func(m *mesh.Mesh) float64 {
		s, _, err := mesh.NewSolid(m)
		if err != nil {
			t.Fatal(err)
		}
		return s.Measure().VolumeMM3
	}
	ball, post, ring := meshtest.Icosphere(5).Scaled(50), capsule(40, 64), meshtest.TorusMesh(160, 64, 60, 20)
	box := meshtest.Box(60, 40, 100)
	for range 4 {
		box = meshtest.Split(box)
	}
	near := func(at r3.Vec, r float64) func(r3.Vec) bool {
		return func(p r3.Vec) bool { return r3.Norm(r3.Sub(p, at)) < r }
	}
	capOf := func(a, s float64) float64 { return math.Pi * s * (3*a*a + s*s) / 6 }
	for _, c := range []struct {
		name  string
		whole *mesh.Mesh
		gone  func(r3.Vec) bool
		most  float64 // of the bound, mm³
	}{
		{"5 % of a ball", ball, func(p r3.Vec) bool { return p.Z > 45 }, capOf(math.Sqrt(50*50-45*45), 5)},
		{"15 % of a ball", ball, func(p r3.Vec) bool { return p.Z > 35 }, capOf(math.Sqrt(50*50-35*35), 15)},
		{"the round end of a post", post, func(p r3.Vec) bool { return p.Z > 41 }, 2 * capOf(10, 10)},
		{"the round end of a post, and as much of the post", post, func(p r3.Vec) bool { return p.Z > 35 }, 2 * capOf(10, 10)},
		{"the outside of a ring", ring, near(r3.Vec{X: 80}, 30), math.Inf(1)},
		{"most of the way round a ring", ring, near(r3.Vec{X: 70}, 28), math.Inf(1)},
		{"the corner of a block", box, near(r3.Vec{X: 60, Y: 40, Z: 100}, 20), math.Inf(1)},
		{"an edge of a block", box, near(r3.Vec{X: 60, Y: 40, Z: 50}, 15), math.Inf(1)},
	} {
		off, bar := filled(t, cutOut(c.whole, c.gone), volume(c.whole))
		t.Logf("%s: off by %.1f mm³, bound %.1f", c.name, off, bar)
		if off > bar || bar > c.most {
			t.Errorf("%s: off by %g mm³ with a bound of %g; want it within, and the bound at most %g", c.name, off, bar, c.most)
		}
	}
}

// A hole in a flat face leaves nothing in doubt, however large.
func TestAFlatHoleLeavesNoDoubt(t *testing.T) {
	box := meshtest.Box(60, 40, 100)
	for range 4 {
		box = meshtest.Split(box)
	}
	open := cutOut(box, func(p r3.Vec) bool { return p.Z > 99.9 && math.Hypot(p.X-30, p.Y-20) < 17 })
	if off, bar := filled(t, open, 240000); off > 1e-6*240000 || bar > 1e-6*240000 {
		t.Errorf("off by %g mm³ with a bound of %g; want neither over a millionth", off, bar)
	}
}

// A rim too long for the patch of least area, and too crooked to be seen from one
// side, is closed from its middle and made smooth.
func TestALongCrookedRimIsClosed(t *testing.T) {
	ring := meshtest.TorusMesh(600, 240, 60, 20)
	s, _, err := mesh.NewSolid(ring)
	if err != nil {
		t.Fatal(err)
	}
	open := cutOut(ring, func(p r3.Vec) bool {
		a, b := math.Atan2(p.Y, p.X), math.Atan2(p.Z, math.Hypot(p.X, p.Y)-60)
		return math.Hypot(a*60, b*20) < 30+10*math.Sin(9*math.Atan2(b*20, a*60))
	})
	if n := len(open.OpenRims()[0]); n <= 400 {
		t.Fatalf("the rim has only %d edges", n)
	}
	if off, bar := filled(t, open, s.Measure().VolumeMM3); off > bar {
		t.Errorf("off by %g mm³ with a bound of %g", off, bar)
	}
}
