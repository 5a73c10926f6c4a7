package rod

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// TestFieldDoubt: the field is nowhere off by more than the search allows for,
// on shapes with edges, thin walls and ridges, and on a scan; and looks at the
// surface tell the side and the distance, or that it is far.
func TestFieldDoubt(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 2))
	for name, m := range map[string]*mesh.Mesh{
		"box": meshtest.Box(200, 100, 60), "L": lPlate(200, 30).Posed(randomPose(rng)), "ring": meshtest.TorusMesh(90, 40, 60, 12),
		"trumpet": sample(t, "speaking-trumpet").Mesh, "pin": sample(t, "belaying-pin").Mesh,
	} {
		r := newRoom(asked(t, m, 40_000, 6, 8))
		b := m.Bounds()
		size, worst := r3.Sub(b.Max, b.Min), 0.0
		for range 4000 {
			p := r3.Add(b.Min, r3.Vec{X: size.X * rng.Float64(), Y: size.Y * rng.Float64(), Z: size.Z * rng.Float64()})
			hit, _ := r.in.Tree.Closest(p, math.Inf(1))
			want := hit.Distance
			if r.in.Tree.Winding(p) < 0.5 {
				want = -want
			}
			worst = max(worst, math.Abs(r.depth(p)-want)/r.voxelMM)
			const upTo = 9
			c := r.touch(p, upTo)
			switch {
			case !c.far && math.Abs(c.deep-want) > 1e-4:
				t.Fatalf("%s: %g mm deep, not %g", name, c.deep, want)
			case c.far && (c.deep > 0) != (want > 0):
				t.Fatalf("%s: %g mm is taken for %g", name, want, c.deep)
			case c.far && c.deep > 0 && (c.deep > want || c.deep < upTo):
				t.Fatalf("%s: at least %g mm deep is said of %g", name, c.deep, want)
			}
		}
		t.Logf("%s: at worst %.2f voxels off", name, worst)
		if worst > fieldDoubt {
			t.Errorf("%s: the field is %.2f voxels off", name, worst)
		}
	}
}
