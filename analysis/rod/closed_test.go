package rod

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
	"pourwright/mesh/meshtest"
)

// asked prepares the question for a mesh, with a field of about that many voxels.
func asked(tb testing.TB, m *mesh.Mesh, voxels, diameter, cover float64) Input {
	tb.Helper()
	b := m.Bounds()
	size := r3.Sub(b.Max, b.Min)
	f, err := field.New(context.Background(), m, field.Choice{VoxelMM: math.Cbrt(size.X * size.Y * size.Z / voxels)}, nil)
	if err != nil {
		tb.Fatal(err)
	}
	return Input{Field: f, Tree: mesh.NewTree(m), ToTree: mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}},
		DiameterMM: diameter, CoverMM: cover, LongestMM: max(size.X, size.Y, size.Z)}
}

// longestOne returns the longest rod.
func longestOne(tb testing.TB, in Input) Segment {
	tb.Helper()
	all, err := newRoom(in).longest(context.Background())
	if err != nil {
		tb.Fatal(err)
	}
	if len(all) == 0 {
		return Segment{}
	}
	return all[0]
}

// randomPose turns and shifts.
func randomPose(rng *rand.Rand) mesh.Pose {
	for {
		v := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		if n := r3.Norm(v); n > 0.1 {
			p := mesh.PoseDown(r3.Scale(1/n, v))
			s, c := math.Sincos(2 * math.Pi * rng.Float64())
			q := mesh.Pose{Rows: [3]r3.Vec{{X: c, Y: -s}, {X: s, Y: c}, {Z: 1}}, T: r3.Vec{X: 100 * rng.NormFloat64(), Y: 50, Z: -300}}
			return p.Then(q)
		}
	}
}

// plate is an L: a by a by thick, less the quarter of it.
func lPlate(a, thick float64) *mesh.Mesh {
	h := a / 2
	corner := []r2.Vec{{}, {X: a}, {X: a, Y: h}, {X: h, Y: h}, {X: h, Y: a}, {Y: a}}
	m := &mesh.Mesh{}
	for _, z := range []float64{0, thick} {
		for _, p := range corner {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: p.Y, Z: z})
		}
	}
	for _, f := range [][3]int32{{0, 1, 2}, {0, 2, 3}, {0, 3, 4}, {0, 4, 5}} {
		m.Faces = append(m.Faces, [3]int32{f[0], f[2], f[1]}, [3]int32{f[0] + 6, f[1] + 6, f[2] + 6})
	}
	for i := range int32(6) {
		k := (i + 1) % 6
		m.Faces = append(m.Faces, [3]int32{i, k, k + 6}, [3]int32{i, k + 6, i + 6})
	}
	return m
}

// plateStick is the longest stick in an L-plate eroded by e: both arms end in
// straight lines, and the reflex corner is an arc of radius e around it. In the
// plane it touches that arc: with the ends on the far corners of the arms the
// stick is the tangent nearest to them; across the thickness it may tilt.
func plateStick(a, thick, e float64) float64 {
	// Ends at (a−e, y) and (x, a−e), x, y ≥ e, on a line at distance ≥ e from the
	// reflex corner (a/2, a/2) on the far side. By symmetry and the triangle of the
	// tangent the slope −1 line wins or an asymmetric one: scan the angle.
	best := 0.0
	for i := 1; i < 9000; i++ {
		s, c := math.Sincos(float64(i) / 9000 * math.Pi / 2)
		// Line with unit normal (s, c): s·x + c·y = k, k ≤ (s+c)·a/2 − e.
		k := (s+c)*a/2 - e
		x0, x1 := e, a-e
		y0, y1 := e, a-e
		// The stretch of the line in the square [e, a−e]²; lower k only shortens it.
		lo, hi := math.Inf(-1), math.Inf(1)
		clip := func(p, d, from, to float64) {
			u, v := (from-p)/d, (to-p)/d
			lo, hi = max(lo, min(u, v)), min(hi, max(u, v))
		}
		px, py := s*k, c*k
		clip(px, c, x0, x1)
		clip(py, -s, y0, y1)
		best = max(best, hi-lo)
	}
	return math.Hypot(best, thick-2*e)
}

// TestClosedForms holds the length of the rod against the longest sticks of
// shapes eroded by cover and half the diameter. Sources: diameter of convex
// polyhedra (elementary; regular solids of edge 1: octahedron √2, dodecahedron
// √3·φ, icosahedron √(φ²+1)), erosion of a polyhedron around a ball is the
// polyhedron scaled; torus 4·√(Rr), the chord of the outer circle that touches the
// inner one, in the plane of the ring.
func TestClosedForms(t *testing.T) {
	phi := (1 + math.Sqrt(5)) / 2
	const d, cover = 6, 8
	const e = cover + d/2.0
	octahedron := 60.0
	dodecahedron, icosahedron := 40.0, 60.0
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		want float64
	}{
		{"box", meshtest.Box(200, 100, 60), math.Sqrt(178*178 + 78*78 + 38*38)},
		{"long box", meshtest.Box(400, 26, 24), math.Sqrt(378*378 + 4*4 + 2*2)},
		{"cube", meshtest.Box(80, 80, 80), 58 * math.Sqrt(3)},
		{"sphere", meshtest.Icosphere(5).Scaled(50), 2 * (50 - e)},
		{"octahedron", meshtest.Octahedron().Scaled(octahedron), math.Sqrt2 * (octahedron - e*math.Sqrt(6))},
		{"dodecahedron", meshtest.Dodecahedron().Scaled(dodecahedron),
			math.Sqrt(3) * phi * (dodecahedron - e/(phi*phi/(2*math.Sqrt(3-phi))))},
		{"icosahedron", meshtest.Icosahedron().Scaled(icosahedron),
			math.Sqrt(phi*phi+1) * (icosahedron - e*12/(math.Sqrt(3)*(3+math.Sqrt(5))))},
		{"L-plate", lPlate(200, 30), plateStick(200, 30, e)},
		{"solid torus", meshtest.TorusMesh(256, 96, 90, 30), 4 * math.Sqrt(90*(30-e))},
		{"thin torus", meshtest.TorusMesh(256, 96, 90, 14), 4 * math.Sqrt(90*(14-e))},
		{"cylinder", meshtest.Cylinder(256, 25, 300), math.Hypot(300-2*e, 2*(25-e))},
	} {
		rng := rand.New(rand.NewPCG(3, 5))
		for pose := range 2 {
			m := c.m
			if pose > 0 {
				m = m.Posed(randomPose(rng))
			}
			in := asked(t, m, 100_000, d, cover)
			got := longestOne(t, in)
			t.Logf("%s, pose %d: %.2f of %.2f mm (%+.3f %%)", c.name, pose, got.Length(), c.want, 100*(got.Length()/c.want-1))
			if math.Abs(got.Length()/c.want-1) > 0.01 {
				t.Errorf("%s, pose %d: rod of %.2f mm, not %.2f", c.name, pose, got.Length(), c.want)
			}
		}
	}
}
