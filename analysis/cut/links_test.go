package cut

import (
	"context"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
	"pourwright/mesh/field"
	"pourwright/mesh/meshtest"
)

// about lays the grid round a mesh that is turned by a pose, as a plan does: cubes of
// the mesh as scanned, sheets of the pattern as it stands.
func about(t testing.TB, m *mesh.Mesh, pose mesh.Pose) *linking {
	t.Helper()
	f, err := field.New(context.Background(), m, field.Choice{Cells: 60}, nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := newLinking(Space{f, pose.Inverse()})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

var still = mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}}

// block is a box from one corner to the other.
func blockOf(a, b r3.Vec) *mesh.Mesh {
	d := r3.Sub(b, a)
	return meshtest.Moved(meshtest.Box(d.X, d.Y, d.Z), a)
}

// linkShapes are cut where loops of rubber can be counted by hand.
func linkShapes() []struct {
	name          string
	m             *mesh.Mesh
	point, normal r3.Vec
	want          [2]int
} {
	ring := meshtest.TorusMesh(96, 48, 30, 10) // flat in x, y
	upright := ring.Posed(mesh.Pose{Rows: [3]r3.Vec{{Y: 1}, {Z: 1}, {X: 1}}})
	mug := meshtest.Together(meshtest.Cylinder(64, 30, 80), meshtest.Moved(meshtest.TorusMesh(96, 48, 20, 5).Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Z: -1}, {Y: 1}}}), r3.Vec{X: 30, Z: 40}))
	handles := meshtest.Together(mug, meshtest.Moved(meshtest.TorusMesh(96, 48, 20, 5).Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Z: -1}, {Y: 1}}}), r3.Vec{X: -30, Z: 40}))
	shoe := meshtest.Together(blockOf(r3.Vec{X: -30}, r3.Vec{X: -15, Y: 15, Z: 60}), blockOf(r3.Vec{X: 15}, r3.Vec{X: 30, Y: 15, Z: 60}), blockOf(r3.Vec{X: -30, Z: 45}, r3.Vec{X: 30, Y: 15, Z: 60}))
	cup := meshtest.Together(blockOf(r3.Vec{}, r3.Vec{X: 60, Y: 60, Z: 8}), blockOf(r3.Vec{}, r3.Vec{X: 8, Y: 60, Z: 60}), blockOf(r3.Vec{X: 52}, r3.Vec{X: 60, Y: 60, Z: 60}),
		blockOf(r3.Vec{}, r3.Vec{X: 60, Y: 8, Z: 60}), blockOf(r3.Vec{Y: 52}, r3.Vec{X: 60, Y: 60, Z: 60}))
	chain := meshtest.Together(ring, meshtest.Moved(upright, r3.Vec{X: 30}))
	slant := r3.Unit(r3.Vec{X: 0.3, Y: -0.8, Z: 0.5})
	return []struct {
		name          string
		m             *mesh.Mesh
		point, normal r3.Vec
		want          [2]int
	}{
		{"a ball through its middle", meshtest.Icosphere(4).Scaled(30), r3.Vec{}, r3.Vec{Z: 1}, [2]int{}},
		{"a ball on a slant", meshtest.Icosphere(4).Scaled(30), r3.Vec{Z: 11}, slant, [2]int{}},
		{"a box along a side", meshtest.Box(60, 40, 30), r3.Vec{Z: 30}, r3.Vec{Z: 1}, [2]int{}},
		{"a box on a slant", meshtest.Box(60, 40, 30), r3.Vec{X: 25, Y: 10, Z: 15}, slant, [2]int{}},
		{"a ring by its equator", ring, r3.Vec{}, r3.Vec{Z: 1}, [2]int{}},
		{"a ring just off its equator", ring, r3.Vec{Z: 6}, r3.Vec{Z: 1}, [2]int{}},
		{"a ring through its axis", ring, r3.Vec{}, r3.Vec{Y: 1}, [2]int{1, 1}},
		{"a ring through its hole, on a slant", ring, r3.Vec{}, slant, [2]int{1, 1}},
		{"a ring beside its hole", ring, r3.Vec{Y: 30}, r3.Vec{Y: 1}, [2]int{1, 0}},
		{"a ring beside all of it", ring, r3.Vec{Z: 25}, r3.Vec{Z: 1}, [2]int{1, 0}},
		{"a cup level below its rim", cup, r3.Vec{Z: 30}, r3.Vec{Z: 1}, [2]int{}},
		{"a cup upright", cup, r3.Vec{X: 30}, r3.Vec{X: 1}, [2]int{}},
		{"a cup on a slant", cup, r3.Vec{X: 30, Y: 30, Z: 30}, slant, [2]int{}},
		{"a mug through its handle's plane", mug, r3.Vec{}, r3.Vec{Y: 1}, [2]int{}},
		{"a mug across its handle", mug, r3.Vec{X: 36, Z: 40}, r3.Vec{X: 1}, [2]int{1, 1}},
		{"a mug beside its handle", mug, r3.Vec{}, r3.Vec{X: 1}, [2]int{0, 1}},
		{"a mug level through the handle", mug, r3.Vec{Z: 40}, r3.Vec{Z: 1}, [2]int{1, 1}},
		{"two handles in their plane", handles, r3.Vec{}, r3.Vec{Y: 1}, [2]int{}},
		{"two handles, one on each side", handles, r3.Vec{}, r3.Vec{X: 1}, [2]int{1, 1}},
		{"two handles across one", handles, r3.Vec{X: 36}, r3.Vec{X: 1}, [2]int{2, 1}},
		{"a horseshoe along", shoe, r3.Vec{Y: 7.5}, r3.Vec{Y: 1}, [2]int{}},
		{"a horseshoe across both legs", shoe, r3.Vec{Z: 20}, r3.Vec{Z: 1}, [2]int{0, 1}},
		{"a horseshoe between its legs", shoe, r3.Vec{}, r3.Vec{X: 1}, [2]int{}},
		{"two rings of a chain, one in its plane and one across", chain, r3.Vec{}, r3.Vec{Z: 1}, [2]int{1, 1}},
		{"two rings of a chain, far off", chain, r3.Vec{Z: 60}, r3.Vec{Z: 1}, [2]int{2, 0}},
	}
}

// The counts follow from the shapes: a loop of rubber for each hole that lies in a half
// and for each arch that stands on the cut.
func TestLinksOfKnownShapes(t *testing.T) {
	for _, c := range linkShapes() {
		s := NewPlane(c.point, c.normal)
		if got := about(t, c.m, still).count(&s); got != c.want {
			t.Errorf("%s: %v loops of rubber, want %v", c.name, got, c.want)
		}
	}
}

// Cubes that lie askew to part and cut find the same.
func TestLinksOfTurnedShapes(t *testing.T) {
	turn := turnedAbout(31).Then(mesh.Pose{Rows: [3]r3.Vec{{X: 0.6, Z: 0.8}, {Y: 1}, {X: -0.8, Z: 0.6}}, T: r3.Vec{X: 3, Y: -20, Z: 7}})
	for _, c := range linkShapes() {
		g := about(t, c.m.Posed(turn), turn.Inverse())
		s := NewPlane(c.point, c.normal)
		if got := g.count(&s); got != c.want {
			t.Errorf("%s, scanned askew: %v loops of rubber, want %v", c.name, got, c.want)
		}
		h := NewPlane(turn.Point(c.point), turn.Dir(c.normal))
		if got := about(t, c.m.Posed(turn), still).count(&h); got != c.want {
			t.Errorf("%s, turned: %v loops of rubber, want %v", c.name, got, c.want)
		}
	}
	if math.Abs(r3.Norm(turn.Dir(r3.Vec{X: 1}))-1) > 1e-9 {
		t.Error("no turn")
	}
}

// Where a link closes lies in the hole, as wide as that: twice the distance of the middle
// of a ring's hole from the ring.
func TestLinksAreFoundInTheHole(t *testing.T) {
	ring := meshtest.TorusMesh(96, 48, 30, 10)
	turn := turnedAbout(40)
	s := NewPlane(turn.Point(r3.Vec{Y: 28}), turn.Dir(r3.Vec{Y: 1}))
	found := about(t, ring.Posed(turn), turn.Inverse()).find(&Sheet{Point: r3.Vec{Y: 28}, Normal: r3.Vec{Y: 1}, Right: r3.Vec{X: -1}, Up: r3.Vec{Z: 1}})
	if len(found) != 1 {
		t.Fatalf("%v, want one link", found)
	}
	l := found[0]
	if l.Side != 0 || r3.Norm(l.At) > 3 || math.Abs(l.WidthMM-40) > 4 {
		t.Errorf("side %d at %v, %.1f mm wide; want the middle of a hole of 40 mm", l.Side, l.At, l.WidthMM)
	}
	r := Result{Sheet: s, Links: found}
	if moved := r.Moved(turn); r3.Norm(r3.Sub(moved.Links[0].At, turn.Point(l.At))) > 1e-9 || r.Links[0].At != l.At {
		t.Error("a link does not move with its sheet")
	}
}

// A ring that stands is cut in its own plane, for that leaves no loop, even where detail
// is in the way; without a field, as without detail, nothing speaks against another.
func TestChooseOpensTheHole(t *testing.T) {
	ring := meshtest.TorusMesh(96, 48, 30, 10).Posed(mesh.Pose{Rows: [3]r3.Vec{{Y: 1}, {Z: 1}, {X: 1}}})
	rim := func(p r3.Vec) float32 {
		if math.Abs(p.Y) < 5 {
			return 0.5
		}
		return 0
	}
	f, err := field.New(context.Background(), ring, field.Choice{Cells: 60}, nil)
	if err != nil {
		t.Fatal(err)
	}
	blind, seeing := chosen(t, ring, rim, Input{}), chosen(t, ring, rim, Input{Space: Space{f, still}})
	if len(seeing.Links) > 0 || seeing.Criteria.Links != 1 || math.Abs(seeing.Normal.Y) < 0.9 {
		t.Errorf("cut along %v with %d links", seeing.Normal, len(seeing.Links))
	}
	l, err := newLinking(Space{f, still})
	if err != nil {
		t.Fatal(err)
	}
	if n := l.count(&blind.Sheet); n == [2]int{} && math.Abs(blind.Normal.Y) < 0.9 {
		t.Errorf("without counting: normal %v, %v links", blind.Normal, n)
	}
}

// So is the bed of a mold in two parts.
func TestBedOpensTheHole(t *testing.T) {
	ring := meshtest.TorusMesh(96, 48, 30, 10).Posed(mesh.Pose{Rows: [3]r3.Vec{{Y: 1}, {Z: 1}, {X: 1}}})
	rim := func(p r3.Vec) float32 { return float32(max(0, 1-math.Abs(p.Y)/5)) }
	f, err := field.New(context.Background(), ring, field.Choice{Cells: 60}, nil)
	if err != nil {
		t.Fatal(err)
	}
	bed := chosen(t, ring, rim, Input{TwoPart: true, Space: Space{f, still}})
	if len(bed.Links) > 0 || bed.Criteria.Links != 1 {
		t.Errorf("bed along %v with links %v", bed.Normal, bed.Links)
	}
}

// As many locks go round the pattern as there are links, those nearest to them; the
// others give way or not by how far they reach.
func TestLocksAgreeWithLinks(t *testing.T) {
	at := func(x float64) r3.Vec { return r3.Vec{X: x} }
	locks := []Lock{
		{Side: 1, At: at(0), Linked: true, ReachMM: 5, BesideMM: 20},
		{Side: 1, At: at(50), Linked: true, ReachMM: 5, BesideMM: 20},
		{Side: 1, At: at(90), Linked: true, ReachMM: 50, BesideMM: 20},
		{Side: 0, At: at(50), Linked: true, ReachMM: 5, BesideMM: 20},
		{Side: 1, At: at(45), ReachMM: 5, BesideMM: 20, Gives: true},
	}
	keepLinked(locks, []Link{{Side: 1, At: at(44)}}, 0.5)
	for i, want := range []Lock{{Gives: true}, {Linked: true}, {}, {Gives: true}, {Gives: true}} {
		if locks[i].Linked != want.Linked || locks[i].Gives != want.Gives {
			t.Errorf("lock %d: linked %t, gives %t", i, locks[i].Linked, locks[i].Gives)
		}
	}
}

// What is said of links agrees with how many there are, and with the slit.
func TestLinksAreTold(t *testing.T) {
	r := Result{Sheet: NewPlane(r3.Vec{}, r3.Vec{X: 1}), holed: true, volume: 1e6}
	for n := range 7 {
		r.Links = make([]Link, n)
		for i := range r.Links {
			r.Links[i] = Link{Side: i % 2, WidthMM: 3 + 10*float64(i)}
		}
		all := r.linkDoubts(true)
		if want := min(n, mostLinkDoubts+1); len(all) != want {
			t.Errorf("%d links: told of %d, want %d", n, len(all), want)
		}
		for i, f := range all {
			if (f.AtMM == nil) != (n > mostLinkDoubts+1 && i == mostLinkDoubts) || f.Level != finding.Warn {
				t.Errorf("%d links: %+v", n, f)
			}
		}
		if s := (Slit{Full: Hole, Linked: n}); strings.Contains(s.FullBecause(), "even then") != (n > 0) {
			t.Errorf("%d links: %q", n, s.FullBecause())
		}
	}
	text := r.linkDoubts(true)[0].Text
	if text != "Rubber goes round the part here, through a hole 53 mm wide, within the right half: it does not come off." {
		t.Errorf("the widest: %q", text)
	}
	if s := (Slit{Linked: 2}); s.FullBecause() != "" {
		t.Errorf("with a hinge: %q", s.FullBecause())
	}
}

// Undercut is hardly any only where it is neither much nor deep.
func TestUndercutWordsByVolumeAndDepth(t *testing.T) {
	for _, c := range []struct {
		percent, depth, held float64
		want                 string
	}{
		{1, 2, 0, "hardly any"}, {1, 54, 0, "up to 54 mm deep, which the rubber can still give way to"}, {1, 7, 0, "some undercut"}, {1, 54, 54, "deep in places"}, {20, 2, 0, "some undercut"},
		{20, 30, 30, "deep undercut"}, {60, 10, 0, "deep undercut"}, {20, 3, 3, "some undercut"},
	} {
		r := Result{DepthMM: [2]float64{0, c.depth}, heldMM: c.held}
		if got := r.undercutWords(c.percent); !strings.Contains(got, c.want) {
			t.Errorf("%g %% and %g mm, %g held: %q, want %q", c.percent, c.depth, c.held, got, c.want)
		}
	}
}
