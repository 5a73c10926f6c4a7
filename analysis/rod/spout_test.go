package rod

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// throughSpout returns the longest rod that goes in by the spout.
func throughSpout(tb testing.TB, m *mesh.Mesh, s Spout, diameter, cover float64) (Segment, bool) {
	tb.Helper()
	in := asked(tb, m, 100_000, diameter, cover)
	in.Spout = s
	rod, found, err := newRoom(in).bySpout(context.Background())
	if err != nil {
		tb.Fatal(err)
	}
	return rod, found
}

// TestThroughSpout: a bar of radius 25 and height 200 on its end, a 6 mm rod under
// 8 mm. Its axis is in a bar of radius 14 from z = 11 to 189, and passes the
// spout within its radius less 4 mm for the rod and its play. The longest runs
// from one side of the spout to the other side of the far end: at z = 0 it is
// −k, at 189 it is 14. With a stem it also passes −k at −stem, so the slope is
// less.
func TestThroughSpout(t *testing.T) {
	m := meshtest.Cylinder(360, 25, 200)
	rng := rand.New(rand.NewPCG(4, 4))
	for _, c := range []struct{ diameter, stem float64 }{{20, 0}, {30, 0}, {16, 20}, {10, 40}} {
		k := c.diameter/2 - 4
		slope := (14 + k) / (189 + c.stem)
		// Without a stem the near end may not be beyond the far side of the eroded bar.
		slope = min(slope, 28/178.0)
		want := 178 * math.Hypot(1, slope)
		for _, p := range []mesh.Pose{{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}}, randomPose(rng)} {
			s := upright(c.diameter, c.stem)
			s.At, s.Inward = p.Point(s.At), p.Dir(s.Inward)
			rod, found := throughSpout(t, m.Posed(p), s, 6, 8)
			if !found || math.Abs(rod.Length()/want-1) > 0.002 {
				t.Errorf("spout %g, stem %g: %.3f mm, not %.3f", c.diameter, c.stem, rod.Length(), want)
			}
			if !s.fits(rod, 4-0.02) {
				t.Errorf("spout %g, stem %g: does not fit", c.diameter, c.stem)
			}
		}
	}
}

// TestNarrowSpout: a rod that is thicker than the spout, with its play, does not
// go in.
func TestNarrowSpout(t *testing.T) {
	m := meshtest.Cylinder(90, 25, 200)
	if _, found := throughSpout(t, m, upright(7.9, 0), 6, 8); found {
		t.Error("went in")
	}
	if _, found := throughSpout(t, m, upright(8.2, 0), 6, 8); !found {
		t.Error("did not go in")
	}
}

// TestPastANeck: an hourglass whose waist is narrower than the cover asks, but
// wider than the rod: the rod slides past it into the far bulb. With a waist that
// the rod does not pass it stays in the near one.
func TestPastANeck(t *testing.T) {
	glass := func(waist float64) *mesh.Mesh {
		return meshtest.Lathe([]r2.Vec{{}, {X: 20}, {X: 20, Y: 60}, {X: waist, Y: 65}, {X: waist, Y: 85}, {X: 40, Y: 90}, {X: 40, Y: 240}, {Y: 240}}, 90)
	}
	rod, found := throughSpout(t, glass(9), upright(24, 0), 6, 8)
	if !found || rod.From.Z < 80 || rod.Length() < 130 {
		t.Errorf("past a neck: %v, %.1f mm", rod, rod.Length())
	}
	rod, found = throughSpout(t, glass(3.5), upright(24, 0), 6, 8)
	if !found || rod.To.Z > 60 {
		t.Errorf("behind a neck that it does not pass: %v", rod)
	}
}

// TestDepth: how far the near end is behind the rim, stem included.
func TestDepth(t *testing.T) {
	in := asked(t, meshtest.Cylinder(96, 25, 200), 60_000, 6, 8)
	in.Spout = upright(16, 20)
	r := found(t, in)
	slope := r.Rod.Along().Z
	if want := (r.Rod.From.Z + 20) / slope; r.Entry != BySpout || math.Abs(r.DepthMM-want) > 1e-6 {
		t.Errorf("%s, depth %.4f mm, not %.4f", r.Entry, r.DepthMM, want)
	}
	if r.Rod.From.Z > r.Rod.To.Z {
		t.Error("starts at the far end")
	}
}

// TestTwoRods: two that pass each other touch, do not run into each other, go on
// for half a lap each, and reach farther than one.
func TestTwoRods(t *testing.T) {
	in := asked(t, bentBar(300, 20, 1.7, 90, 40), 100_000, 6, 8)
	in.Spout = aside()
	r := found(t, in)
	if r.Entry != InTwo {
		t.Fatalf("%s: %s", r.Entry, r.Why)
	}
	pair := lapped{first: r.Rod, second: *r.Second, tie: *r.Tie}
	if a := pair.apart(); a < 6 || a > 6*lapTouch+0.01 {
		t.Errorf("axes %.3f mm apart", a)
	}
	for _, s := range r.Rods() {
		c := s.awayFrom(*r.Tie, 0)
		beyond := min(c.t, 1-c.t) * s.Length()
		if math.Abs(c.deep-3) > 0.1 || beyond < 0.95*r.LapMM/2 {
			t.Errorf("tie is %.2f mm off the axis, %.1f mm from its end", c.deep, beyond)
		}
	}
	reach := 0.0
	for _, p := range []r3.Vec{r.Rod.From, r.Rod.To} {
		reach = max(reach, r3.Norm(r3.Sub(p, r.Second.To)))
	}
	if reach < twoGain*r.LongestMM {
		t.Errorf("two reach %.1f mm, one %.1f", reach, r.LongestMM)
	}
}

// TestThickest: the largest ball in a box and in a ring, and what is said when no
// rod fits.
func TestThickest(t *testing.T) {
	for _, c := range []struct {
		m    *mesh.Mesh
		want float64
	}{{meshtest.Box(200, 150, 12), 12}, {meshtest.TorusMesh(200, 90, 60, 8), 16}} {
		in := asked(t, c.m, 200_000, 6, 8)
		in.Spout = aside()
		r := found(t, in)
		if r.Entry != None || math.Abs(r.ThickestMM/c.want-1) > 0.01 {
			t.Errorf("%s: thickest %.3f mm, not %g", r.Entry, r.ThickestMM, c.want)
		}
		if len(r.Rods()) != 0 || r.DisplacedMM3(6) != 0 || r.LongestMM != 0 {
			t.Errorf("no rod, and yet %+v", r)
		}
	}
}
