package rod

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// openFoot is a spout in the middle of a foot that is open all over.
func openFoot(m *mesh.Mesh, diameter float64) Spout {
	b := m.Bounds()
	s := Spout{At: r3.Vec{X: (b.Min.X + b.Max.X) / 2, Y: (b.Min.Y + b.Max.Y) / 2, Z: b.Min.Z}, Inward: r3.Vec{Z: 1}, DiameterMM: diameter}
	for _, l := range m.Section(r3.Vec{Z: b.Min.Z + openMM}, r3.Vec{Z: 1}) {
		s.Open = append(s.Open, l.Points)
	}
	return s
}

// TestLoweredThroughTheFoot: a box of 150 by 60 by 40 mm on its largest face. The room
// of a 6 mm rod's axis under 8 mm is 128 by 38 by 18 mm, so the longest is its
// diagonal; it gets in as it lies, however narrow the spout's own circle is. No bridge
// ends on the open face, and no end of the rod leaves that room.
func TestLoweredThroughTheFoot(t *testing.T) {
	m := meshtest.Box(150, 60, 40)
	longest := math.Sqrt(128*128 + 38*38 + 18*18)
	for pose := range 2 {
		moved, s := m, openFoot(m, 60)
		if pose > 0 {
			p := randomPose(rand.New(rand.NewPCG(3, 3)))
			moved, s.At, s.Inward = m.Posed(p), p.Point(s.At), p.Dir(s.Inward)
			for i, q := range s.Open[0] {
				s.Open[0][i] = p.Point(q)
			}
		}
		in := asked(t, moved, 100_000, 6, 8)
		in.Spout, in.LongestMM = s, 150
		r := found(t, in)
		if r.Entry != ByMouth || math.Abs(r.LongestMM/longest-1) > 0.01 || r.SpoutMM != r.LongestMM {
			t.Errorf("%s: longest %.2f mm, by the foot %.2f, want %.2f", r.Entry, r.LongestMM, r.SpoutMM, longest)
		}
		if r.Rod.Length() < 0.97*r.LongestMM || denseCheck(moved, r.Rod, 6, 60) < 8 {
			t.Errorf("%.2f mm of %.2f", r.Rod.Length(), r.LongestMM)
		}
		height := func(p r3.Vec) float64 { return r3.Dot(r3.Sub(p, s.At), s.Inward) }
		if math.Abs(r.DepthMM-height(r.Rod.From)) > 1e-9 || height(r.Rod.From) > height(r.Rod.To) {
			t.Errorf("depth %.2f mm, ends at %.2f and %.2f", r.DepthMM, height(r.Rod.From), height(r.Rod.To))
		}
		if len(r.Standoffs) != 2 {
			t.Fatalf("%d bridges", len(r.Standoffs))
		}
		for _, o := range r.Standoffs {
			if height(o.OnSurface) < openMM {
				t.Errorf("a bridge ends %.2f mm over the open face", height(o.OnSurface))
			}
		}
		// Straightened, it lies level in the middle of the 40 mm, and less askew.
		if rise := math.Abs(r3.Dot(r.Rod.Along(), s.Inward)); rise > 0.01 || math.Abs(height(r.Rod.At(0.5))-20) > 1.5 {
			t.Errorf("rises by %.3f, %.2f mm behind the face", rise, height(r.Rod.At(0.5)))
		}
	}
}

// TestAlongTheAxis: in a cylinder of 60 by 200 mm the longest rod runs 38 mm askew over
// 178, 182 mm; within 3 % of it is the axis.
func TestAlongTheAxis(t *testing.T) {
	m := meshtest.Cylinder(180, 30, 200)
	in := asked(t, m, 100_000, 6, 8)
	in.Spout = openFoot(m, 60)
	r := found(t, in)
	if want := math.Hypot(178, 38); math.Abs(r.LongestMM/want-1) > 0.01 {
		t.Errorf("longest %.2f mm, want %.2f", r.LongestMM, want)
	}
	off := math.Hypot(r.Rod.At(0.5).X, r.Rod.At(0.5).Y)
	if tilt := math.Acos(math.Abs(r.Rod.Along().Z)) * 180 / math.Pi; r.Entry != BySpout || tilt > 0.5 || off > 1 || math.Abs(r.Rod.Length()-178) > 1 {
		t.Errorf("%s, %.2f mm, %.2f° askew, %.2f mm off the axis", r.Entry, r.Rod.Length(), tilt, off)
	}
}

// TestInAnywhereOnTheFoot: a bar that stands at one end of a foot of 200 by 60 mm, while
// the spout's circle is at the other: the rod goes straight in there.
func TestInAnywhereOnTheFoot(t *testing.T) {
	m := bracket()
	s := openFoot(m, 50)
	s.At.X = 170
	in := asked(t, m, 150_000, 6, 8)
	in.Spout = s
	r := found(t, in)
	if r.Entry != BySpout || r.Rod.Length() < 0.97*math.Hypot(228, 18) || r.Rod.At(0.5).X > 40 {
		t.Errorf("%s: %v, %.1f mm", r.Entry, r.Rod, r.Rod.Length())
	}
	s.Open = nil
	in.Spout = s
	if r := found(t, in); r.Entry == BySpout && r.Rod.At(0.5).X < 40 {
		t.Errorf("by a circle beside it: %v", r.Rod)
	}
}

// bracket is an L on its short limb: 200 long and 60 wide on the board, 40 high, with a
// bar of 40 by 60 mm up to 250 at its end.
func bracket() *mesh.Mesh {
	corner := [][2]float64{{0, 0}, {200, 0}, {200, 40}, {40, 40}, {40, 250}, {0, 250}}
	m := &mesh.Mesh{}
	for _, y := range []float64{0, 60} {
		for _, p := range corner {
			m.Vertices = append(m.Vertices, r3.Vec{X: p[0], Y: y, Z: p[1]})
		}
	}
	for _, f := range [][3]int32{{0, 1, 2}, {0, 2, 3}, {0, 3, 4}, {0, 4, 5}} {
		m.Faces = append(m.Faces, [3]int32{f[0], f[1], f[2]}, [3]int32{f[0] + 6, f[2] + 6, f[1] + 6})
	}
	for i := range int32(6) {
		k := (i + 1) % 6
		m.Faces = append(m.Faces, [3]int32{i, k + 6, k}, [3]int32{i, i + 6, k + 6})
	}
	return m
}

// TestWithinAgainstRays: how far a place is within an outline with a hole, against the
// plain distance to 4000 places of the edge and the turns of the outline around it.
func TestWithinAgainstRays(t *testing.T) {
	square := func(half float64, back bool) []r3.Vec {
		c := []r3.Vec{{X: -half, Y: -half}, {X: half, Y: -half}, {X: half, Y: half}, {X: -half, Y: half}}
		if back {
			c[1], c[3] = c[3], c[1]
		}
		return c
	}
	s := Spout{Inward: r3.Vec{Z: 1}, Open: [][]r3.Vec{square(30, false), square(10, true)}}.ready()
	rng := rand.New(rand.NewPCG(8, 1))
	for range 400 {
		p := r3.Vec{X: 80 * (rng.Float64() - 0.5), Y: 80 * (rng.Float64() - 0.5)}
		least := math.Inf(1)
		for _, half := range []float64{30, 10} {
			for i := range 2000 {
				x := half * (2*float64(i)/1999 - 1)
				for _, q := range [][2]float64{{x, half}, {x, -half}, {half, x}, {-half, x}} {
					least = min(least, math.Hypot(p.X-q[0], p.Y-q[1]))
				}
			}
		}
		if m := max(math.Abs(p.X), math.Abs(p.Y)); m > 30 || m < 10 {
			least = -least
		}
		if have := s.within(p); math.Abs(have-least) > 0.03 {
			t.Errorf("%v: %.3f within, want %.3f", p, have, least)
		}
	}
}
