package mesh_test

import (
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// only returns the mesh of those faces that keep says.
func only(m *mesh.Mesh, keep func(f int) bool) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices}
	for f, t := range m.Faces {
		if keep(f) {
			out.Faces = append(out.Faces, t)
		}
	}
	return out
}

// disc returns a disc of n triangles about the origin, facing up.
func disc(n int, radius float64) *mesh.Mesh {
	m := &mesh.Mesh{Vertices: []r3.Vec{{}}}
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		m.Vertices = append(m.Vertices, r3.Vec{X: radius * cos, Y: radius * sin})
		m.Faces = append(m.Faces, [3]int32{0, int32(1 + i), int32(1 + (i+1)%n)})
	}
	return m
}

// rectangle returns the winding number of a square of side 1 around a point on
// its axis, h below: its solid angle is 4·atan(1/(4h·√(h²+1/2))), closed form.
func rectangle(h float64) float64 {
	return math.Atan(1/(4*h*math.Sqrt(h*h+0.5))) / math.Pi
}

// TestWindingKnown uses solid angles over 4π, in closed form.
func TestWindingKnown(t *testing.T) {
	box := meshtest.Box(1, 1, 1)
	lidless := only(box, func(f int) bool { return f != 2 && f != 3 }) // without the side z = 1
	sphere := meshtest.Icosphere(5)
	hemisphere := only(sphere, func(f int) bool {
		a, b, c := sphere.Corners(f)
		return a.Z+b.Z+c.Z > 0
	})
	octant := &mesh.Mesh{Vertices: []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, Faces: [][3]int32{{0, 1, 2}}}
	discAt := func(h float64) float64 { return (1 - h/math.Sqrt(h*h+1)) / 2 } // radius 1
	middle := r3.Vec{X: 0.5, Y: 0.5}
	above := func(z float64) r3.Vec { return r3.Add(middle, r3.Vec{Z: z}) }
	for _, c := range []struct {
		name   string
		m      *mesh.Mesh
		at     r3.Vec
		want   float64
		within float64
	}{
		{"no face", &mesh.Mesh{}, r3.Vec{}, 0, 0},
		{"box, inside", box, r3.Vec{X: 0.3, Y: 0.4, Z: 0.9}, 1, 1e-14},
		{"box, outside", box, r3.Vec{X: 0.3, Y: 0.4, Z: 1.1}, 0, 1e-14},
		{"box, far outside", box, r3.Vec{X: 1e6, Y: -1e6, Z: 1e6}, 0, 1e-14},
		{"box, middle of a side", box, middle, 0.5, 1e-14},
		{"box, on a side", box, r3.Vec{X: 0.25, Y: 0.625, Z: 1}, 0.5, 1e-14},
		{"box, on an edge", box, r3.Vec{Z: 0.25}, 0.25, 1e-14},
		{"box, on a corner", box, r3.Vec{X: 1, Z: 1}, 0.125, 1e-14},
		{"box twice", meshtest.Together(box, box), above(0.25), 2, 1e-14},
		{"box without lid, centre", lidless, above(0.5), 5. / 6, 1e-14},
		{"box without lid, middle of the lid", lidless, above(1), 0.5, 1e-14},
		{"box without lid, 0.1 below it", lidless, above(0.9), 1 - rectangle(0.1), 1e-14},
		{"box without lid, 1 above it", lidless, above(2), rectangle(1), 1e-14},
		{"box without lid, 0.1 below it, to six places", lidless, above(0.9), 0.588569, 5e-7},
		{"box without lid, 1 above it, to six places", lidless, above(2), 0.064094, 5e-7},
		// The rim is not exactly in the plane of the centre: its faces, some
		// three hundred, are 0.03 high.
		{"hemisphere, centre", hemisphere, r3.Vec{}, 0.5, 0.01},
		{"disc, 1 below", disc(2000, 1), r3.Vec{Z: -1}, discAt(1), 1e-6},
		{"disc, 1 below, to six places", disc(2000, 1), r3.Vec{Z: -1}, 0.146447, 1e-6},
		{"disc, 1 above", disc(2000, 1), r3.Vec{Z: 1}, -discAt(1), 1e-6},
		{"disc, 20 below", disc(2000, 1), r3.Vec{Z: -20}, discAt(20), 1e-8},
		{"disc, in its plane", disc(2000, 1), r3.Vec{X: 0.1, Y: 0.2}, 0, 1e-14},
		{"octant, origin", octant, r3.Vec{}, 0.125, 1e-15},
		{"octant, on a corner", octant, r3.Vec{X: 1}, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.m.Winding(c.at); !(math.Abs(got-c.want) <= c.within) {
				t.Errorf("winding number %.17g, want %.17g within %g", got, c.want, c.within)
			}
			if got := mesh.NewTree(c.m).Winding(c.at); !(math.Abs(got-c.want) <= c.within+quickWithin) {
				t.Errorf("of the tree %.17g, want %.17g within %g", got, c.want, c.within+quickWithin)
			}
		})
	}
}

// quickWithin is how far the tree may be off the plain sum.
const quickWithin = 1e-3

func TestTreeWindingIsThePlainSum(t *testing.T) {
	sphere := meshtest.Icosphere(5)
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
	}{
		{"box", meshtest.Box(1, 2, 3)},
		{"sphere", sphere},
		{"sphere with a hole, off the origin", moved(only(sphere, func(f int) bool { return f > 900 }), r3.Vec{X: 1e4, Y: -2e4, Z: 3e3})},
		{"sphere, very small", meshtest.Icosphere(3).Scaled(1e-12)},
		{"sphere, small", meshtest.Icosphere(3).Scaled(1e-6)},
		{"sphere, very large", meshtest.Icosphere(3).Scaled(1e40)},
		{"sphere, large", meshtest.Icosphere(3).Scaled(1e9)},
		{"noisy sphere", shaken(sphere, 0.01)},
		{"torus", meshtest.TorusMesh(150, 80, 3, 1)},
		{"soup", looseFaces(3000, 0.1, 5)},
		{"one face", looseFaces(1, 1, 6)},
	} {
		t.Run(c.name, func(t *testing.T) {
			tree, rng := mesh.NewTree(c.m), rand.New(rand.NewPCG(1, 1))
			worst, sum := 0.0, 0.0
			const points = 400
			for i := range points {
				p := pointAround(rng, c.m, i)
				off := math.Abs(tree.Winding(p) - c.m.Winding(p))
				worst, sum = max(worst, off), sum+off
				if !(off <= quickWithin) {
					t.Errorf("at %v %g off", p, off)
				}
			}
			t.Logf("off by %.2g on average, %.2g at worst", sum/points, worst)
		})
	}
}

// pointAround returns a random point: near the surface, within the bounds or in
// a box ten times as large, in turn.
func pointAround(rng *rand.Rand, m *mesh.Mesh, i int) r3.Vec {
	b := m.Bounds()
	size := r3.Sub(b.Max, b.Min)
	in := func(times float64) r3.Vec {
		at := func() float64 { return times * (rng.Float64() - 0.5) }
		return r3.Vec{X: size.X * at(), Y: size.Y * at(), Z: size.Z * at()}
	}
	middle := r3.Scale(0.5, r3.Add(b.Min, b.Max))
	switch i % 4 {
	case 0:
		return r3.Add(middle, in(10))
	case 1:
		return r3.Add(middle, in(1))
	}
	f := rng.IntN(len(m.Faces))
	a, _, _ := m.Corners(f)
	return r3.Add(a, in(0.05))
}

// looseFaces returns n random triangles about that long in the unit cube.
func looseFaces(n int, size float64, seed uint64) *mesh.Mesh {
	rng := rand.New(rand.NewPCG(seed, 1))
	m := &mesh.Mesh{}
	for i := range n {
		at := r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()}
		for range 3 {
			m.Vertices = append(m.Vertices, r3.Add(at, r3.Scale(size, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})))
		}
		m.Faces = append(m.Faces, [3]int32{int32(3 * i), int32(3*i + 1), int32(3*i + 2)})
	}
	return m
}

// TestTreeWindingAtOnce asks from many goroutines, the first call among them.
func TestTreeWindingAtOnce(t *testing.T) {
	tree := mesh.NewTree(meshtest.TorusMesh(60, 40, 3, 1))
	var got [8]float64
	var wg sync.WaitGroup
	for i := range got {
		wg.Go(func() { got[i] = tree.Winding(r3.Vec{X: 3, Z: 0.2}) })
	}
	wg.Wait()
	for _, w := range got {
		if w != got[0] || math.Abs(w-1) > quickWithin {
			t.Errorf("winding numbers %v, want 1 each, the same to the digit", got)
		}
	}
}
