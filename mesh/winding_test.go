package mesh_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func TestQuickWinding(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{"sphere": meshtest.Icosphere(4), "torus": meshtest.TorusMesh(200, 100, 3, 1), "box": meshtest.Box(1, 2, 3), "soup": soupOf(3000, 1)} {
		tree := mesh.NewTree(m)
		rng := rand.New(rand.NewPCG(1, 1))
		b := m.Bounds()
		size := r3.Sub(b.Max, b.Min)
		worst, sum := 0.0, 0.0
		for range 2000 {
			p := r3.Add(b.Min, r3.Vec{X: size.X * (2*rng.Float64() - .5), Y: size.Y * (2*rng.Float64() - .5), Z: size.Z * (2*rng.Float64() - .5)})
			e := math.Abs(tree.Winding(p) - m.Winding(p))
			worst = max(worst, e)
			sum += e
		}
		t.Logf("%s: worst %.2g mean %.2g", name, worst, sum/2000)
	}
}

func soupOf(n int, seed uint64) *mesh.Mesh {
	rng := rand.New(rand.NewPCG(seed, 1))
	m := &mesh.Mesh{}
	for i := range n {
		c := r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()}
		for range 3 {
			m.Vertices = append(m.Vertices, r3.Add(c, r3.Scale(.1, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})))
		}
		m.Faces = append(m.Faces, [3]int32{int32(3 * i), int32(3*i + 1), int32(3*i + 2)})
	}
	return m
}
