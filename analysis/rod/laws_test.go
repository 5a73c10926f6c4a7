package rod

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// found answers the whole question.
func found(tb testing.TB, in Input) Result {
	tb.Helper()
	r, err := Find(context.Background(), in)
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// mirrored turns left into right, and the faces with it.
func mirrored(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Vec{X: -v.X, Y: v.Y, Z: v.Z})
	}
	for _, f := range m.Faces {
		out.Faces = append(out.Faces, [3]int32{f[0], f[2], f[1]})
	}
	return out
}

// TestTurnedAndMirrored holds for a part, and its spout, wherever and whichever
// way round it is scanned: the same rod. The search is by a grid that does not
// turn with it, so the longest agree to a part in a thousand, and what lies straighter
// to five.
func TestTurnedAndMirrored(t *testing.T) {
	m := bentBar(300, 20, 1.0, 60, 32)
	spout := Spout{At: r3.Vec{X: 300}, Inward: r3.Vec{Y: 1}, DiameterMM: 24}
	ask := func(m *mesh.Mesh, s Spout) Result {
		in := asked(t, m, 100_000, 6, 8)
		in.Spout, in.LongestMM = s, 320
		return found(t, in)
	}
	want := ask(m, spout)
	same := func(name string, got Result) {
		if got.Entry != want.Entry || math.Abs(got.Rod.Length()/want.Rod.Length()-1) > 5e-3 || math.Abs(got.LongestMM/want.LongestMM-1) > 1e-3 {
			t.Errorf("%s: %s, %.3f mm of %.3f; at first %s, %.3f of %.3f", name, got.Entry, got.Rod.Length(), got.LongestMM, want.Entry, want.Rod.Length(), want.LongestMM)
		}
	}
	rng := rand.New(rand.NewPCG(11, 4))
	for i := range 3 {
		p := randomPose(rng)
		same(fmt.Sprintf("pose %d", i), ask(m.Posed(p), Spout{At: p.Point(spout.At), Inward: p.Dir(spout.Inward), DiameterMM: spout.DiameterMM}))
	}
	at := spout.At
	at.X = -at.X
	same("mirrored", ask(mirrored(m), Spout{At: at, Inward: spout.Inward, DiameterMM: spout.DiameterMM}))
	split := asked(t, meshtest.Split(m), 100_000, 6, 8)
	split.Spout, split.LongestMM = spout, 320
	same("split", found(t, split))
}

// TestTreeInAnotherFrame asks with a search tree that has been moved.
func TestTreeInAnotherFrame(t *testing.T) {
	m := lPlate(200, 40)
	in := asked(t, m, 60_000, 6, 8)
	in.Spout = aside()
	want := found(t, in)
	p := randomPose(rand.New(rand.NewPCG(2, 9)))
	in.Tree, in.ToTree = mesh.NewTree(m.Posed(p)), p
	got := found(t, in)
	if d := r3.Norm(r3.Sub(got.Rod.From, want.Rod.From)) + r3.Norm(r3.Sub(got.Rod.To, want.Rod.To)); d > 1e-4 {
		t.Errorf("the rod moved by %g mm", d)
	}
}

// TestScaled: everything twice as large, the rod twice as long.
func TestScaled(t *testing.T) {
	m := lPlate(200, 40)
	one := longestOne(t, asked(t, m, 60_000, 6, 8))
	two := longestOne(t, asked(t, m.Scaled(2), 60_000, 12, 16))
	if math.Abs(two.Length()/one.Length()/2-1) > 1e-6 {
		t.Errorf("%.6f mm, and %.6f at twice the size", one.Length(), two.Length())
	}
}

// TestMoreCoverNeverLonger: what a rod is covered by more is covered by less, and
// a thinner one fits where a thicker does.
func TestMoreCoverNeverLonger(t *testing.T) {
	for _, c := range shapes() {
		in := asked(t, c.m, 25_000, 6, 1)
		last := math.Inf(1)
		for _, cover := range []float64{2, 5, 8, 12} {
			in.CoverMM = cover
			got := longestOne(t, in).Length()
			if got > last*1.001 {
				t.Errorf("%s: %.2f mm with more cover (%g mm), %.2f with less", c.name, got, cover, last)
			}
			last = got
		}
	}
}

// TestSameEveryTime: the same digits whatever runs at the same time.
func TestSameEveryTime(t *testing.T) {
	in := asked(t, bentBar(300, 20, 1.7, 60, 32), 60_000, 6, 8)
	in.Spout = aside()
	want := fmt.Sprintf("%v %v", found(t, in).Rod, *found(t, in).Second)
	for range 2 {
		r := found(t, in)
		if got := fmt.Sprintf("%v %v", r.Rod, *r.Second); got != want {
			t.Errorf("%s, before %s", got, want)
		}
	}
}

// TestStopped stops when told to.
func TestStopped(t *testing.T) {
	in := asked(t, meshtest.Box(200, 100, 60), 30_000, 6, 8)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Find(ctx, in); err == nil {
		t.Error("went on")
	}
}
