package field

import (
	"context"
	"math"
	"math/rand/v2"
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
// voxels from the surface, and of all. It looks at one voxel in so many.
func (f *Field) misses(stride int, truth func(p r3.Vec) float64) (near, any float64) {
	for i := 0; i < len(f.Distance); i += stride {
		x, y, z := i%f.N[0], i/f.N[0]%f.N[1], i/f.N[0]/f.N[1]
		want := truth(r3.Add(f.Origin, r3.Scale(f.VoxelMM, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)})))
		off := math.Abs(float64(f.Distance[i])-want) / f.VoxelMM
		any = max(any, off)
		if math.Abs(want) <= 2*f.VoxelMM {
			near = max(near, off)
		}
	}
	return near, any
}

// Distances are within 0.1 voxel up to two voxels from the surface, and within
// 0.5 voxel anywhere. The facets of the round ones are within 0.01 voxel of the
// true surface.
func TestDistances(t *testing.T) {
	tilt := mesh.PoseDown(r3.Unit(r3.Vec{X: 1, Y: 2, Z: -3}))
	back := tilt.Inverse()
	tilted := func(truth func(p r3.Vec) float64) func(p r3.Vec) float64 {
		return func(p r3.Vec) float64 { return truth(back.Point(p)) }
	}
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		truth func(p r3.Vec) float64
	}{
		{"sphere", meshtest.Icosphere(6), sphereDistance(1)},
		{"torus", meshtest.TorusMesh(400, 200, 3, 1), torusDistance(3, 1)},
		{"thin torus", meshtest.TorusMesh(400, 200, 3, 0.2), torusDistance(3, 0.2)},
		{"torus, tilted", meshtest.TorusMesh(400, 200, 3, 1).Posed(tilt), tilted(torusDistance(3, 1))},
		{"box", meshtest.Box(2, 3, 4), boxDistance(2, 3, 4)},
		{"box, tilted", meshtest.Box(2, 3, 4).Posed(tilt), tilted(boxDistance(2, 3, 4))},
		{"box of small faces, tilted", meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Box(2, 3, 4))))).Posed(tilt), tilted(boxDistance(2, 3, 4))},
		{"plate thinner than a voxel", meshtest.Box(0.02, 3, 4), boxDistance(0.02, 3, 4)},
		{"plate, tilted", meshtest.Box(0.02, 3, 4).Posed(tilt), tilted(boxDistance(0.02, 3, 4))},
		{"plate of small faces, tilted", meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Box(0.02, 3, 4)))))).Posed(tilt), tilted(boxDistance(0.02, 3, 4))},
	} {
		for _, cells := range []int{32, 64} {
			f := newField(t, c.m, Choice{Cells: cells, MarginVoxels: 8})
			near, any := f.misses(1, c.truth)
			t.Logf("%s, %d cells: %.4f voxels near the surface, %.3f anywhere", c.name, cells, near, any)
			if near > 0.1 || any > 0.5 {
				t.Errorf("%s, %d cells: off by %g voxels near the surface, %g anywhere", c.name, cells, near, any)
			}
		}
	}
}

// Against the search tree, which finds the nearest point of the surface by
// another way: exact in the band, within half a voxel beyond, on scans of open
// data and on a heap of thin faces.
func TestDistancesAgreeWithTree(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	heap := &mesh.Mesh{}
	for i := range int32(200) {
		p := r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()}
		for range 3 {
			heap.Vertices = append(heap.Vertices, r3.Add(p, r3.Vec{X: 0.3 * rng.Float64(), Y: 0.1 * rng.Float64(), Z: 0.01 * rng.Float64()}))
		}
		heap.Faces = append(heap.Faces, [3]int32{3 * i, 3*i + 1, 3*i + 2})
	}
	meshes := map[string]*mesh.Mesh{"heap": heap}
	for _, name := range []string{"gearwheel", "hand", "lion-head"} {
		m, _, err := mesh.Read(context.Background(), "../../testdata/"+name+".stl", nil)
		if err != nil {
			t.Fatal(err)
		}
		meshes[name] = m
	}
	for name, m := range meshes {
		f, tree := newField(t, m, Choice{Cells: 60, MarginVoxels: 8}), mesh.NewTree(m)
		rng := rand.New(rand.NewPCG(7, 8))
		band, far := 0.0, 0.0
		for range 60000 {
			i := rng.IntN(len(f.Distance))
			x, y, z := i%f.N[0], i/f.N[0]%f.N[1], i/f.N[0]/f.N[1]
			hit, _ := tree.Closest(r3.Add(f.Origin, r3.Scale(f.VoxelMM, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)})), math.Inf(1))
			off := math.Abs(math.Abs(float64(f.Distance[i]))-hit.Distance) / f.VoxelMM
			if hit.Distance < (bandVoxels-0.01)*f.VoxelMM {
				band = max(band, off)
			}
			far = max(far, off)
		}
		t.Logf("%s: %.5f voxels in the band, %.3f anywhere", name, band, far)
		if band > 1e-3 || far > 0.5 {
			t.Errorf("%s: off by %g voxels in the band, %g anywhere", name, band, far)
		}
	}
}
