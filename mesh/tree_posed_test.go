package mesh_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// A moved tree answers as one that is built of the moved mesh.
func TestPosedTreeIsTheTreeOfThePosedMesh(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for _, m := range []*mesh.Mesh{meshtest.TorusMesh(60, 30, 30, 12), meshtest.Box(20, 30, 40), meshtest.Icosphere(3)} {
		for range 4 {
			x, y, z := rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()
			pose := mesh.PoseDown(r3.Unit(r3.Vec{X: x, Y: y, Z: z}))
			pose.T = r3.Vec{X: 100 * rng.NormFloat64(), Y: 100 * rng.NormFloat64(), Z: 100 * rng.NormFloat64()}
			moved := m.Posed(pose)
			got, want := mesh.NewTree(m).Posed(pose), mesh.NewTree(moved)
			size := r3.Norm(r3.Sub(moved.Bounds().Max, moved.Bounds().Min))
			for range 200 {
				p := r3.Add(moved.Bounds().Min, r3.Scale(size, r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()}))
				a, _ := got.Closest(p, math.Inf(1))
				b, _ := want.Closest(p, math.Inf(1))
				if math.Abs(a.Distance-b.Distance) > 1e-9*size {
					t.Fatalf("closest to %v: %v, want %v", p, a, b)
				}
				d := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
				if a, b := got.Hits(p, d), want.Hits(p, d); len(a) != len(b) {
					t.Fatalf("%d hits from %v along %v, want %d", len(a), p, d, len(b))
				}
				if a, b := got.Winding(p), want.Winding(p); math.Abs(a-b) > 2e-3 {
					t.Fatalf("winding %v, want %v", a, b)
				}
			}
		}
	}
	if _, found := mesh.NewTree(&mesh.Mesh{}).Posed(mesh.PoseDown(r3.Vec{X: 1})).Closest(r3.Vec{}, 1); found {
		t.Error("a moved tree of nothing finds something")
	}
}

func BenchmarkTreePosed(b *testing.B) {
	m := meshtest.TorusMesh(1000, 500, 100, 30)
	t := mesh.NewTree(m)
	pose := mesh.PoseDown(r3.Unit(r3.Vec{X: 1, Y: 2, Z: 3}))
	b.Run("built", func(b *testing.B) {
		moved := m.Posed(pose)
		for b.Loop() {
			mesh.NewTree(moved)
		}
	})
	b.Run("moved", func(b *testing.B) {
		for b.Loop() {
			t.Posed(pose)
		}
	})
}
