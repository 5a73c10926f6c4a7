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
