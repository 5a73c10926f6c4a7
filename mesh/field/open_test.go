package field

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// without returns m without the faces that drop names.
func without(m *mesh.Mesh, drop func(f int) bool) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices}
	for f, t := range m.Faces {
		if !drop(f) {
			out.Faces = append(out.Faces, t)
		}
	}
	return out
}

func openCube() *mesh.Mesh {
	return without(meshtest.Box(10, 10, 10), func(f int) bool { return f == 2 || f == 3 })
}

// dome is the half of a sphere of radius 10 above z = 0, without a floor.
func dome(level int) *mesh.Mesh {
	m := meshtest.Icosphere(level).Scaled(10)
	return without(m, func(f int) bool {
		a, b, c := m.Corners(f)
		return a.Z+b.Z+c.Z < 0
	})
}

// flipped returns m with every k-th face wound the other way.
func flipped(m *mesh.Mesh, k int) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices}
	for f, t := range m.Faces {
		if f%k == 0 {
			t[1], t[2] = t[2], t[1]
		}
		out.Faces = append(out.Faces, t)
	}
	return out
}

// Inside is where the winding number, summed over all faces, is 1/2 or more in
// magnitude: the definition in Jacobson, Kavan & Sorkine-Hornung, "Robust
// inside-outside segmentation using generalized winding numbers", ACM TOG 32(4),
// 2013.
func TestSidesOfOpenMeshes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
	}{
		{"cube without a face", openCube()},
		{"dome without a floor", dome(4)},
		{"a fifth of the faces flipped", flipped(meshtest.Icosphere(4), 5)},
		{"torus in pieces", without(meshtest.TorusMesh(60, 30, 3, 1), func(f int) bool { return f%23 == 0 })},
	} {
		f := newField(t, c.m, Choice{Cells: 48})
		wrong, looked := 0, 0
		for range 1500 {
			x, y, z := rng.IntN(f.N[0]), rng.IntN(f.N[1]), rng.IntN(f.N[2])
			p := r3.Add(f.Origin, r3.Scale(f.VoxelMM, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}))
			w := math.Abs(c.m.Winding(p))
			if math.Abs(w-0.5) < 2e-3 {
				continue // the tree's own error
			}
			looked++
			if in := f.Distance[(z*f.N[1]+y)*f.N[0]+x] < 0; in != (w >= 0.5) {
				wrong++
			}
		}
		if wrong > 0 {
			t.Errorf("%s: %d of %d voxels on the wrong side", c.name, wrong, looked)
		}
	}
}
