package meshtest_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Every shape is closed and outward as it comes, with the vertices and faces of
// its name. Their measures are tested with mesh.
func TestShapesAreSolids(t *testing.T) {
	for _, c := range []struct {
		name            string
		m               *mesh.Mesh
		vertices, faces int
	}{
		{"Box", meshtest.Box(2, 3, 4), 8, 12},
		{"Tetra", meshtest.Tetra(), 4, 4},
		{"Tetrahedron", meshtest.Tetrahedron(), 4, 4},
		{"Octahedron", meshtest.Octahedron(), 6, 8},
		{"Dodecahedron", meshtest.Dodecahedron(), 20, 36},
		{"Icosahedron", meshtest.Icosahedron(), 12, 20},
		{"Icosphere 3", meshtest.Icosphere(3), 642, 1280},
		{"TorusMesh", meshtest.TorusMesh(32, 16, 3, 1), 512, 1024},
		{"Cylinder", meshtest.Cylinder(24, 3, 10), 50, 96},
		{"Cone", meshtest.Cone(24, 3, 10), 26, 48},
		{"Frustum", meshtest.Frustum(24, 3, 1, 10), 50, 96},
		{"Lathe", meshtest.Lathe([]r2.Vec{{}, {X: 2}, {X: 1, Y: 3}, {X: 4, Y: 3}, {Y: 5}}, 10), 32, 60},
		{"Split", meshtest.Split(meshtest.Box(2, 3, 4)), 26, 48},
	} {
		s, report, err := mesh.NewSolid(c.m)
		if err != nil || len(report.Problems) > 0 {
			t.Errorf("%s: %v %+v", c.name, err, report.Problems)
			continue
		}
		if len(s.Vertices) != c.vertices || len(s.Faces) != c.faces {
			t.Errorf("%s: %d vertices, %d faces, want %d, %d", c.name, len(s.Vertices), len(s.Faces), c.vertices, c.faces)
		}
		if s.Faces[0] != c.m.Faces[0] {
			t.Errorf("%s: had to be turned outward", c.name)
		}
	}
}

// Radii of the spheres through the corners and on the faces of the regular
// solids of edge 1: Weisstein, "Platonic solid", MathWorld (from memory).
func TestRegularSolids(t *testing.T) {
	for _, c := range []struct {
		name           string
		m              *mesh.Mesh
		inside, around float64
	}{
		{"tetrahedron", meshtest.Tetrahedron(), 0.2041241, 0.6123724},
		{"octahedron", meshtest.Octahedron(), 0.4082483, 0.7071068},
		{"dodecahedron", meshtest.Dodecahedron(), 1.1135164, 1.4012585},
		{"icosahedron", meshtest.Icosahedron(), 0.7557613, 0.9510565},
	} {
		for _, p := range c.m.Vertices {
			if math.Abs(r3.Norm(p)-c.around) > 1e-7 {
				t.Errorf("%s: corner at %g, want %g", c.name, r3.Norm(p), c.around)
			}
		}
		for f := range c.m.Faces {
			n := r3.Unit(c.m.DoubleAreaNormal(f))
			if d := r3.Dot(n, c.m.Vertices[c.m.Faces[f][0]]); math.Abs(d-c.inside) > 1e-7 {
				t.Errorf("%s: face at %g, want %g", c.name, d, c.inside)
			}
		}
	}
}

// The corners of an icosphere are on the unit sphere.
func TestIcosphereIsOnTheSphere(t *testing.T) {
	for _, p := range meshtest.Icosphere(4).Vertices {
		if math.Abs(r3.Norm(p)-1) > 1e-15 {
			t.Fatalf("corner at %v", r3.Norm(p))
		}
	}
}
