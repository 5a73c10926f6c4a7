package mesh_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

func TestSectionKnownAreas(t *testing.T) {
	diagonal := r3.Unit(r3.Vec{X: 1, Y: 1, Z: 1})
	const n, m = 48, 24
	for _, c := range []struct {
		name          string
		mesh          *mesh.Mesh
		point, normal r3.Vec
		loops         int
		area, length  float64
	}{
		// Plane geometry.
		{"box", meshtest.Box(2, 3, 4), r3.Vec{Z: 1}, r3.Vec{Z: 1}, 1, 6, 10},
		{"box from below", meshtest.Box(2, 3, 4), r3.Vec{Z: 1}, r3.Vec{Z: -1}, 1, 6, 10},
		{"box along its top face", meshtest.Box(2, 3, 4), r3.Vec{Z: 4}, r3.Vec{Z: 1}, 1, 6, 10},
		{"box along its bottom face", meshtest.Box(2, 3, 4), r3.Vec{}, r3.Vec{Z: 1}, 0, 0, 0},
		{"box through four edges", meshtest.Box(3, 2, 4), r3.Vec{}, r3.Vec{X: -0.8, Z: 0.6}, 1, 10, 14},
		{"above the box", meshtest.Box(2, 3, 4), r3.Vec{Z: 5}, r3.Vec{Z: 1}, 0, 0, 0},
		{"cube through six edges' middles", meshtest.Box(1, 1, 1), r3.Vec{X: 0.5, Y: 0.5, Z: 0.5}, diagonal, 1, 3 * math.Sqrt(3) / 4, 3 * math.Sqrt2},
		{"cube through three corners", meshtest.Box(1, 1, 1), r3.Vec{Z: 1}, r3.Vec{X: 1, Y: 1, Z: 1}, 1, math.Sqrt(3) / 2, 3 * math.Sqrt2},
		{"octahedron through its square", meshtest.Octahedron(), r3.Vec{}, r3.Vec{Z: 1}, 1, 1, 4},
		{"cone at half its height", meshtest.Cone(30, 5, 12), r3.Vec{Z: 6}, r3.Vec{Z: 1}, 1, polygonArea(30, 2.5), 150 * math.Sin(math.Pi/30)},
		// A ring between two polygons: the hole counts negative.
		{"torus along its tube", meshtest.TorusMesh(n, m, 3, 1), r3.Vec{}, r3.Vec{Z: 1}, 2,
			polygonArea(n, 4) - polygonArea(n, 2), 2 * n * math.Sin(math.Pi/n) * 6},
		{"torus across its tube", meshtest.TorusMesh(n, m, 3, 1), r3.Vec{}, r3.Vec{Y: 1}, 2,
			2 * polygonArea(m, 1), 4 * m * math.Sin(math.Pi/m)},
	} {
		size := r3.Norm(c.normal)
		normal := r3.Scale(1/size, c.normal)
		loops := c.mesh.Section(c.point, normal)
		if len(loops) != c.loops {
			t.Errorf("%s: %d loops, want %d", c.name, len(loops), c.loops)
		}
		near(t, c.name+" area", mesh.LoopsArea(loops, normal), c.area, 1e-12)
		length := 0.0
		for _, l := range loops {
			length += l.Length()
		}
		near(t, c.name+" length", length, c.length, 1e-12)
	}
}

// The flat side of a ball's cap of height 3: r² = 51.
func TestSectionOfBall(t *testing.T) {
	area := func(level int) float64 {
		normal := r3.Vec{X: 0.6, Z: 0.8}
		return mesh.LoopsArea(meshtest.Icosphere(level).Scaled(10).Section(r3.Scale(7, normal), normal), normal)
	}
	near(t, "area", (4*area(6)-area(5))/3, 51*math.Pi, 3e-4)
}

// Outer loops run counter-clockwise and holes clockwise, seen from the side the
// normal points to.
func TestSectionTurnsHolesRound(t *testing.T) {
	for _, up := range []r3.Vec{{Z: 1}, {Z: -1}} {
		loops := meshtest.TorusMesh(48, 24, 3, 1).Section(r3.Vec{Z: 0.1}, up)
		for _, l := range loops {
			hole := r3.Norm(l.Points[0]) < 3
			if area := mesh.LoopsArea([]mesh.Loop{l}, up); (area < 0) != hole {
				t.Errorf("seen along %v: hole %v, area %g", up, hole, area)
			}
		}
	}
}

// shadowBelow is minus the shadow of the surface under the plane, which is the
// area of the cut, since the shadow of a closed surface is nothing.
func shadowBelow(m *mesh.Mesh, point, normal r3.Vec) float64 {
	sum := 0.0
	height := func(p r3.Vec) float64 { return r3.Dot(normal, r3.Sub(p, point)) }
	for f := range m.Faces {
		a, b, c := m.Corners(f)
		cut := cutBelow([3]r3.Vec{a, b, c}, height)
		for k := 1; k+1 < len(cut); k++ {
			sum -= r3.Dot(normal, r3.Cross(r3.Sub(cut[k], cut[0]), r3.Sub(cut[k+1], cut[0]))) / 2
		}
	}
	return sum
}

// checkLoops fails unless each loop is closed over faces that share its edges,
// each edge is crossed once, and points, edges and places along them agree.
func checkLoops(t *testing.T, what string, m *mesh.Mesh, loops []mesh.Loop, point, normal r3.Vec) {
	t.Helper()
	faceOf := make(map[[4]int32]bool) // edges in and out of one face
	for _, f := range m.Faces {
		for i := range 3 {
			for j := range 3 {
				a, b := edgeOf(f, i), edgeOf(f, j)
				faceOf[[4]int32{a[0], a[1], b[0], b[1]}] = true
			}
		}
	}
	seen := make(map[[2]int32]bool)
	for _, l := range loops {
		if len(l.Points) < 3 || len(l.Edges) != len(l.Points) || len(l.T) != len(l.Points) {
			t.Fatalf("%s: loop of %d points, %d edges, %d places", what, len(l.Points), len(l.Edges), len(l.T))
		}
		for i, e := range l.Edges {
			next := l.Edges[(i+1)%len(l.Edges)]
			a, b := m.Vertices[e[0]], m.Vertices[e[1]]
			on := r3.Add(a, r3.Scale(l.T[i], r3.Sub(b, a)))
			switch p := l.Points[i]; {
			case seen[e]:
				t.Fatalf("%s: edge %v is crossed twice", what, e)
			case !faceOf[[4]int32{e[0], e[1], next[0], next[1]}]:
				t.Fatalf("%s: no face from %v to %v", what, e, next)
			case !(l.T[i] >= 0 && l.T[i] <= 1) || r3.Norm(r3.Sub(on, p)) > 1e-12*r3.Norm(p):
				t.Fatalf("%s: %v is not at %g of its edge", what, p, l.T[i])
			case math.Abs(r3.Dot(normal, r3.Sub(p, point))) > 1e-11:
				t.Fatalf("%s: %v is not in the plane", what, p)
			}
			seen[e] = true
		}
	}
}

func edgeOf(f [3]int32, i int) [2]int32 {
	a, b := f[i], f[(i+1)%3]
	return [2]int32{min(a, b), max(a, b)}
}

// crossedEdges is how many edges have one end in or above the plane and one
// below.
func crossedEdges(m *mesh.Mesh, point, normal r3.Vec) int {
	seen := make(map[[2]int32]bool)
	level := r3.Dot(normal, point)
	above := func(v int32) bool { return r3.Dot(normal, m.Vertices[v])-level >= 0 }
	for _, f := range m.Faces {
		for i := range 3 {
			if e := edgeOf(f, i); above(e[0]) != above(e[1]) {
				seen[e] = true
			}
		}
	}
	return len(seen)
}

func TestSectionLoopsClose(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 42))
	for name, m := range shapesForCuts() {
		solid := solidOf(t, m)
		b := m.Bounds()
		size := r3.Norm(r3.Sub(b.Max, b.Min))
		check := func(kind string, point, normal r3.Vec) {
			what := fmt.Sprintf("%s, %s, at %v across %v", name, kind, point, normal)
			loops := solid.Section(point, normal)
			checkLoops(t, what, m, loops, point, normal)
			points := 0
			for _, l := range loops {
				points += len(l.Points)
			}
			if want := crossedEdges(m, point, normal); points != want {
				t.Fatalf("%s: %d edges crossed of %d", what, points, want)
			}
			if kind == "anywhere" {
				near(t, what, mesh.LoopsArea(loops, normal), shadowBelow(m, point, normal), 1e-12*size)
			}
		}
		for range 15 {
			point := r3.Add(b.Min, r3.Vec{X: rng.Float64() * (b.Max.X - b.Min.X), Y: rng.Float64() * (b.Max.Y - b.Min.Y), Z: rng.Float64() * (b.Max.Z - b.Min.Z)})
			check("anywhere", point, anyDirection(rng))
			f := rng.IntN(len(m.Faces))
			p, q, r := m.Corners(f)
			check("through a vertex", p, anyDirection(rng))
			check("through a vertex", p, r3.Vec{X: 1})
			check("through an edge", p, r3.Unit(r3.Cross(r3.Sub(q, p), anyDirection(rng))))
			check("along a face", p, r3.Unit(r3.Cross(r3.Sub(q, p), r3.Sub(r, p))))
		}
	}
}

// Meshes with rims and edges of many faces give the loops that do close, and
// never fail.
func TestSectionOfBrokenMeshes(t *testing.T) {
	rng := rand.New(rand.NewPCG(43, 44))
	for name, m := range shapesForCuts() {
		coarse, _ := m.Clustered(r3.Norm(r3.Sub(m.Bounds().Max, m.Bounds().Min)) / 9)
		holed := &mesh.Mesh{Vertices: m.Vertices, Faces: m.Faces[:len(m.Faces)*2/3]}
		twice := &mesh.Mesh{Vertices: m.Vertices, Faces: append(m.Faces[:len(m.Faces):len(m.Faces)], m.Faces...)}
		for _, broken := range []*mesh.Mesh{coarse, holed, twice} {
			for range 30 {
				point := broken.Vertices[rng.IntN(len(broken.Vertices))]
				normal := anyDirection(rng)
				checkLoops(t, name, broken, broken.Section(point, normal), point, normal)
			}
		}
	}
	backToBack := &mesh.Mesh{Vertices: meshtest.Tetra().Vertices, Faces: [][3]int32{{0, 1, 3}, {0, 3, 1}}}
	if loops := backToBack.Section(r3.Vec{Z: 0.5}, r3.Vec{Z: 1}); len(loops) != 0 {
		t.Errorf("%d loops of two faces back to back, which hold no area", len(loops))
	}
	if loops := (&mesh.Mesh{}).Section(r3.Vec{}, r3.Vec{Z: 1}); len(loops) != 0 {
		t.Errorf("%d loops of nothing", len(loops))
	}
}
