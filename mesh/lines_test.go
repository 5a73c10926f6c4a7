package mesh_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// Chords of a ball: 2√(r² − d²).
func TestLinesThroughBall(t *testing.T) {
	const level = 5
	m := meshtest.Icosphere(level).Scaled(10)
	rng := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		dir := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		lines := mesh.NewLines(m, dir)
		x, y := mesh.Frame(dir)
		for range 200 {
			u, v := 22*rng.Float64()-11, 22*rng.Float64()-11
			got := lines.Through(r3.Add(r3.Scale(u, x), r3.Scale(v, y)), nil)
			d := math.Hypot(u, v)
			switch {
			case d > 10 && len(got) != 0:
				t.Fatalf("line at %g misses the ball but crosses %d faces", d, len(got))
			case d < 9.95 && len(got) != 2:
				t.Fatalf("line at %g crosses %d faces, want 2", d, len(got))
			case d < 9.5:
				chord := got[1].Height - got[0].Height
				if want := 2 * math.Sqrt(100-d*d); math.Abs(chord-want) > 0.05 {
					t.Errorf("chord at %g is %g, want %g", d, chord, want)
				}
				if got[0].Leaves || !got[1].Leaves {
					t.Errorf("crossings go %v, want in and out", got)
				}
			}
		}
	}
}

// Lines exactly through vertices and edges still go in as often as out.
func TestLinesThroughEdgesPair(t *testing.T) {
	for _, m := range []*mesh.Mesh{meshtest.Box(4, 4, 4), meshtest.Octahedron(), meshtest.TorusMesh(32, 16, 3, 1)} {
		lines := mesh.NewLines(m, r3.Vec{Z: 1})
		for _, p := range append(m.Vertices, r3.Vec{X: 2, Y: 2}, r3.Vec{X: 1, Y: 1}, r3.Vec{}) {
			in, out := 0, 0
			for _, c := range lines.Through(p, nil) {
				if c.Leaves {
					out++
				} else {
					in++
				}
			}
			if in != out {
				t.Errorf("line through %v goes in %d times and out %d", p, in, out)
			}
		}
	}
}

// Thousands of slivers as long as the part are filed where they are, not all
// over their bounding boxes; and every line still finds them.
func TestLinesThroughSlivers(t *testing.T) {
	m := meshtest.Cylinder(4000, 30, 300)
	dir := r3.Unit(r3.Vec{X: 1, Y: 0.9, Z: 0.1})
	lines := mesh.NewLines(m, dir)
	x, y := mesh.Frame(dir)
	rng := rand.New(rand.NewPCG(9, 10))
	for range 300 {
		p := r3.Add(r3.Scale(60*rng.Float64()-30, x), r3.Add(r3.Scale(60*rng.Float64()-30, y), r3.Vec{Z: 150}))
		crossings := lines.Through(p, nil)
		want := 0
		for f := range m.Faces {
			if hitsFace(m, f, p, dir) {
				want++
			}
		}
		if len(crossings) != want {
			t.Fatalf("line through %v crosses %d faces, want %d", p, len(crossings), want)
		}
	}
}

// hitsFace tells whether the line through p along dir meets a face, by the
// signs of three volumes.
func hitsFace(m *mesh.Mesh, f int, p, dir r3.Vec) bool {
	a, b, c := m.Corners(f)
	side := func(u, v r3.Vec) float64 { return r3.Dot(dir, r3.Cross(r3.Sub(u, p), r3.Sub(v, p))) }
	s, t, r := side(a, b), side(b, c), side(c, a)
	return s > 0 && t > 0 && r > 0 || s < 0 && t < 0 && r < 0
}
