package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Signed distances of the solids in closed form: Quilez, "Distance functions"
// (from memory); the torus and the sphere are exact, the box is exact too.
func sphereDistance(r float64) func(p r3.Vec) float64 {
	return func(p r3.Vec) float64 { return r3.Norm(p) - r }
}

func torusDistance(R, r float64) func(p r3.Vec) float64 {
	return func(p r3.Vec) float64 { return math.Hypot(math.Hypot(p.X, p.Y)-R, p.Z) - r }
}

// boxDistance is about a box with one corner at the origin.
func boxDistance(a, b, c float64) func(p r3.Vec) float64 {
	return func(p r3.Vec) float64 {
		q := r3.Vec{X: math.Abs(p.X-a/2) - a/2, Y: math.Abs(p.Y-b/2) - b/2, Z: math.Abs(p.Z-c/2) - c/2}
		out := r3.Vec{X: max(q.X, 0), Y: max(q.Y, 0), Z: max(q.Z, 0)}
		return r3.Norm(out) + min(0, max(q.X, q.Y, q.Z))
	}
}

// misses returns the largest errors of the distances, voxels: of those up to two
// voxels from the surface, and of all.
func (f *Field) misses(truth func(p r3.Vec) float64) (near, any float64) {
	i := 0
	for z := range f.N[2] {
		for y := range f.N[1] {
			for x := range f.N[0] {
				p := r3.Add(f.Origin, r3.Scale(f.VoxelMM, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}))
				want := truth(p)
				off := math.Abs(float64(f.Distance[i])-want) / f.VoxelMM
				any = max(any, off)
				if math.Abs(want) <= 2*f.VoxelMM {
					near = max(near, off)
				}
				i++
			}
		}
	}
	return near, any
}

func TestDistances(t *testing.T) {
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		truth func(p r3.Vec) float64
	}{
		{"sphere", meshtest.Icosphere(6), sphereDistance(1)},
		{"torus", meshtest.TorusMesh(400, 200, 3, 1), torusDistance(3, 1)},
		{"box", meshtest.Box(2, 3, 4), boxDistance(2, 3, 4)},
		{"plate", meshtest.Box(0.02, 3, 4), boxDistance(0.02, 3, 4)},
	} {
		for _, cells := range []int{32, 64, 128} {
			f := newField(t, c.m, Choice{Cells: cells, MarginVoxels: 10})
			near, any := f.misses(c.truth)
			t.Logf("%s %d: %.4f %.4f", c.name, cells, near, any)
		}
	}
}
