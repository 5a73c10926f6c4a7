package mesh_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func boxVolume(b mesh.OrientedBox) float64 { return b.Size[0] * b.Size[1] * b.Size[2] }

// checkBox fails unless b is a proper box, longest side first, that holds all
// points and touches one with every side.
func checkBox(t *testing.T, points []r3.Vec, b mesh.OrientedBox) {
	t.Helper()
	tol := 1e-12 * (1 + b.Size[0] + r3.Norm(b.Center))
	if b.Size[0] < b.Size[1] || b.Size[1] < b.Size[2] {
		t.Errorf("sizes %v not longest first", b.Size)
	}
	for i, a := range b.Axes {
		nearVec(t, "axis", r3.Cross(b.Axes[(i+1)%3], b.Axes[(i+2)%3]), a, 1e-12)
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, p := range points {
			d := r3.Dot(a, r3.Sub(p, b.Center))
			lo, hi = min(lo, d), max(hi, d)
		}
		if math.Abs(lo+b.Size[i]/2) > tol || math.Abs(hi-b.Size[i]/2) > tol {
			t.Errorf("side %d is %g long, points reach from %g to %g", i, b.Size[i], lo, hi)
		}
	}
}

// TestTightestBoxKnown checks boxes of any pose. A tetrahedron of edge √2 fits
// the unit cube and cannot do better (O'Rourke, "Finding minimal enclosing
// boxes", 1985); that box, like a stick's and a cube's, is exact. The other
// regular solids: best of many random starts of a general minimizer; φ³ is the
// icosahedron in its usual coordinates. An ellipsoid's is that of its axes.
func TestTightestBoxKnown(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 52))
	for _, c := range []struct {
		name        string
		m           *mesh.Mesh
		volume, tol float64
	}{
		{"cube", meshtest.Box(1, 1, 1), 1, 1e-12},
		{"cube with dense faces", meshtest.Split(meshtest.Split(meshtest.Split(meshtest.Box(1, 1, 1)))), 1, 1e-10},
		{"box", meshtest.Box(2, 3, 4), 24, 1e-12},
		{"thin plate", meshtest.Box(300, 200, 0.1), 6000, 1e-9},
		{"prism of 64 sides", meshtest.Cylinder(64, 1, 300), 1200 * math.Pow(math.Cos(math.Pi/64), 2), 1e-9},
		{"tetrahedron", meshtest.Tetrahedron(), 1 / (2 * math.Sqrt2), 1e-6},
		{"octahedron", meshtest.Octahedron(), 0.838052, 2e-6},
		{"icosahedron", meshtest.Icosahedron(), math.Pow(math.Phi, 3), 1e-9},
		{"dodecahedron", meshtest.Dodecahedron(), 16.049845, 1e-7},
		{"ball", meshtest.Icosphere(4), 8, 0.01},
		{"ellipsoid", stretched(meshtest.Icosphere(4), 3, 2, 1), 48, 0.01},
		// Of so many points the hull is not made, unless it has few corners.
		{"ball of many", meshtest.Icosphere(6), 8, 0.001},
		{"ellipsoid of many", stretched(meshtest.Icosphere(6), 3, 2, 1), 48, 0.001},
		{"ring of many", meshtest.TorusMesh(200, 100, 30, 10), 80 * 80 * 20, 0.002},
		{"turned post of many", meshtest.Cylinder(6000, 1, 30), 120, 0.001},
		{"box of many", &mesh.Mesh{Vertices: spreadOver(meshtest.Box(2, 3, 4), 12000)}, 24, 1e-9},
		{"prism of many", &mesh.Mesh{Vertices: spreadOver(meshtest.Cylinder(32, 1, 300), 12000)}, 1200 * math.Pow(math.Cos(math.Pi/32), 2), 1e-6},
	} {
		t.Run(c.name, func(t *testing.T) {
			for range 5 {
				points := c.m.Posed(anyPose(rng, 10)).Vertices
				got := mesh.TightestBox(points)
				checkBox(t, points, got)
				near(t, "volume", boxVolume(got)/c.volume, 1, c.tol)
			}
		})
	}
}

// leastOfMany is the least of the boxes that have one axis along a direction of
// an even spiral, the other two by calipers.
func leastOfMany(points []r3.Vec, n int) float64 {
	least := math.Inf(1)
	flat := make([]r2.Vec, len(points))
	for k := range n {
		z := (float64(k) + 0.5) / float64(n) // half of all directions
		sin, cos := math.Sincos(math.Pi * (3 - math.Sqrt(5)) * float64(k))
		r := math.Sqrt(1 - z*z)
		up := r3.Vec{X: r * cos, Y: r * sin, Z: z}
		x, y := mesh.Frame(up)
		lo, hi := math.Inf(1), math.Inf(-1)
		for i, p := range points {
			flat[i] = r2.Vec{X: r3.Dot(x, p), Y: r3.Dot(y, p)}
			lo, hi = min(lo, r3.Dot(up, p)), max(hi, r3.Dot(up, p))
		}
		size := mesh.MinAreaRect(flat).Size
		least = min(least, size[0]*size[1]*(hi-lo))
	}
	return least
}

// sword is a long flat blade with a guard askew to it.
func sword(turn float64) []r3.Vec {
	points := meshtest.Box(300, 3, 0.4).Vertices
	sin, cos := math.Sincos(turn)
	for _, p := range meshtest.Box(4, 24, 5).Vertices {
		p = r3.Sub(p, r3.Vec{X: 2, Y: 12, Z: 2.5})
		points = append(points, r3.Vec{X: 120 + p.X, Y: 1.5 + cos*p.Y - sin*p.Z, Z: 0.2 + sin*p.Y + cos*p.Z})
	}
	return points
}

// knobbed is a long rod with knobs at random places: many boxes around it are
// least among their neighbours.
func knobbed(rng *rand.Rand) (points []r3.Vec) {
	for i := range 206 {
		thick := 1.0
		if i < 6 {
			thick = 6
		}
		p := r3.Scale(thick, anyDirection(rng))
		points = append(points, r3.Vec{X: 300 * rng.Float64(), Y: p.Y, Z: p.Z})
	}
	return points
}

// TestTightestBoxAgainstSearch holds boxes of odd shapes against a plain search.
func TestTightestBoxAgainstSearch(t *testing.T) {
	rng := rand.New(rand.NewPCG(53, 54))
	random := func(n int, stretch r3.Vec) (points []r3.Vec) {
		for range n {
			p := anyDirection(rng)
			points = append(points, r3.Vec{X: stretch.X * p.X, Y: stretch.Y * p.Y, Z: stretch.Z * p.Z})
		}
		return points
	}
	shapes := map[string][]r3.Vec{
		"corner": meshtest.Tetra().Vertices,
		"cone":   meshtest.Cone(40, 20, 50).Vertices,
		"torus":  meshtest.TorusMesh(30, 15, 30, 10).Vertices,
		"bent":   append(meshtest.Box(200, 10, 10).Vertices, meshtest.Box(15, 60, 5).Vertices...),
		"sword":  sword(0.5),
	}
	for i := range 30 {
		shapes[fmt.Sprint("knobbed rod ", i)] = knobbed(rng)
	}
	for i := range 12 {
		n := 4 + i*i/2
		shapes[fmt.Sprintf("%d points", n)] = random(n, r3.Vec{X: 1, Y: 1, Z: 1})
		shapes[fmt.Sprintf("%d points, drawn out", n)] = random(n, r3.Vec{X: 10, Y: 2, Z: 1})
	}
	for name, points := range shapes {
		m := (&mesh.Mesh{Vertices: points}).Posed(mesh.PoseDown(r3.Unit(r3.Vec{X: 1, Y: 2, Z: 3})))
		got := mesh.TightestBox(m.Vertices)
		checkBox(t, m.Vertices, got)
		corners := m.Vertices
		if hull, err := mesh.Hull(corners); err == nil {
			corners = hull.Vertices
		}
		if least := leastOfMany(corners, 3000); boxVolume(got) > least*1.005 {
			t.Errorf("%s: box %g, a search finds %g", name, boxVolume(got), least)
		}
	}
}

// TestTightestBoxOfLittle checks points without a hull.
func TestTightestBoxOfLittle(t *testing.T) {
	p := r3.Vec{X: 1, Y: 2, Z: 3}
	u := r3.Unit(r3.Vec{X: 2, Y: -1, Z: 2})
	x, y := mesh.Frame(u)
	for _, c := range []struct {
		name   string
		points []r3.Vec
		size   [3]float64
	}{
		{"a point", []r3.Vec{p}, [3]float64{}},
		{"one point four times", []r3.Vec{p, p, p, p}, [3]float64{}},
		{"two points", []r3.Vec{p, r3.Add(p, r3.Scale(5, u))}, [3]float64{5, 0, 0}},
		{"a line", []r3.Vec{p, r3.Add(p, r3.Scale(5, u)), r3.Add(p, r3.Scale(2, u)), r3.Add(p, r3.Scale(-4, u))}, [3]float64{9, 0, 0}},
		{"a rectangle", []r3.Vec{p, r3.Add(p, r3.Scale(5, x)), r3.Add(p, r3.Scale(2, y)), r3.Add(p, r3.Add(r3.Scale(5, x), r3.Scale(2, y)))}, [3]float64{5, 2, 0}},
	} {
		got := mesh.TightestBox(c.points)
		checkBox(t, c.points, got)
		for i, s := range got.Size {
			near(t, c.name, s, c.size[i], 1e-12)
		}
	}
	if got := mesh.TightestBox(nil); got != (mesh.OrientedBox{}) {
		t.Errorf("box of nothing: %+v", got)
	}
}

// TestTightestBoxLaws checks that pose and order change the volume by no more
// than 1 %, that scale does what it must, and that the same points give the
// same digits on any number of processors.
func TestTightestBoxLaws(t *testing.T) {
	rng := rand.New(rand.NewPCG(55, 56))
	for _, m := range []*mesh.Mesh{shaken(meshtest.TorusMesh(80, 40, 30, 10), 0.5), shaken(meshtest.TorusMesh(400, 200, 30, 10), 0.5)} {
		want := mesh.TightestBox(m.Vertices)
		for range 5 {
			turned := m.Posed(anyPose(rng, 100)).Scaled(25.4).Vertices
			rng.Shuffle(len(turned), func(i, j int) { turned[i], turned[j] = turned[j], turned[i] })
			got := mesh.TightestBox(turned)
			checkBox(t, turned, got)
			near(t, "volume", boxVolume(got)/(boxVolume(want)*math.Pow(25.4, 3)), 1, 0.01)
		}
		for _, n := range []int{1, 3} {
			processors := runtime.GOMAXPROCS(n)
			got := mesh.TightestBox(m.Vertices)
			runtime.GOMAXPROCS(processors)
			if got != want {
				t.Errorf("on %d processors %v, else %v", n, got, want)
			}
		}
	}
}
