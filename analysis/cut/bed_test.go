package cut

import (
	"context"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// bedOn lays the bed on a sheet through the spout.
func bedOn(t *testing.T, m *mesh.Mesh, s Sheet, room Room, detail func(p r3.Vec) float32) (Result, Bed) {
	t.Helper()
	body := solid(t, m)
	r := Result{Sheet: s, ThroughSpout: true, volume: body.Measure().VolumeMM3}
	r.Outline, r.SectionMM2 = s.Section(m)
	scores := make([]float32, len(m.Vertices))
	for v, p := range m.Vertices {
		scores[v] = detail(p)
	}
	b, err := r.MakeBed(context.Background(), body, Bedding{Tree: mesh.NewTree(m), Room: room, Detail: scores, Allowed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return r, b
}

func blockMM3(room Room) float64 {
	f := room.Floor
	return (f[1].X - f[0].X) * (f[2].Y - f[1].Y) * room.LevelMM
}

// A ball bedded at its equator: half of it on each side, the rubber the block less
// the ball, and up to any height the block less the ball's slice, πh(r² − h²/3).
func TestBedOfABall(t *testing.T) {
	const r = 30
	m := meshtest.Moved(meshtest.Icosphere(5).Scaled(r), r3.Vec{Z: r})
	room := blockAround(m, 20)
	_, b := bedOn(t, m, NewPlane(r3.Vec{Z: r}, r3.Vec{Y: 1}), room, plain)
	ball := solid(t, m).Measure().VolumeMM3
	if got := b.RubberMM3[0] + b.RubberMM3[1] + ball; math.Abs(got-blockMM3(room)) > 1e-9*blockMM3(room) {
		t.Errorf("rubber and ball are %.3f mm³, the block %.3f", got, blockMM3(room))
	}
	for side := range 2 {
		if math.Abs(b.PartMM3[side]-ball/2) > 1e-6*ball {
			t.Errorf("side %d holds %.2f mm³ of the ball's %.2f", side, b.PartMM3[side], ball)
		}
		if math.Abs(b.DepthMM[side]-50) > 1e-3 {
			t.Errorf("side %d is %.3f mm deep, want 50", side, b.DepthMM[side])
		}
		keys := 0.0
		for _, k := range b.Keys {
			keys += k.VolumeMM3()
		}
		for _, h := range []float64{10, 20, 30, 45, 50} {
			inside := math.Min(h, r)
			part := math.Pi * inside * (r*r - inside*inside/3)
			floor := blockMM3(room) / 100
			rubber, gotPart := b.RubberTo(side, h)
			if math.Abs(gotPart-part) > 0.005*part+50 {
				t.Errorf("side %d, %g mm: %.0f mm³ of the ball, want %.0f", side, h, gotPart, part)
			}
			// The keys are spread over all heights of the model.
			if want := floor*h - part; math.Abs(rubber-want) > 0.005*want+keys*rubber/b.RubberMM3[side] {
				t.Errorf("side %d, %g mm: %.0f mm³ of rubber, want %.0f", side, h, rubber, want)
			}
		}
		if full, _ := b.RubberTo(side, 1000); math.Abs(full-b.RubberMM3[side]) > 1e-9*full {
			t.Errorf("side %d: %.3f mm³ when full, the rubber is %.3f", side, full, b.RubberMM3[side])
		}
	}
	if b.OffMM[1] > 0.2 || len(b.Locks) > 0 {
		t.Errorf("the bed passes %.2f mm beside the equator, locks %+v", b.OffMM[1], b.Locks)
	}
	if math.Abs(b.ClayMM2-(100*80-math.Pi*r*r)) > 30 { // 20 mm around, none below
		t.Errorf("%.0f mm² of bed", b.ClayMM2)
	}
}

// Keys keep 5 mm from pattern, openings and outside all over, stand apart, lie on
// the bed and do not all point the same way; they all reach into the clay.
func TestBedKeysKeepTheirDistance(t *testing.T) {
	m, rods := standing()
	weave := Sheet{Normal: r3.Vec{Y: 1}, Right: r3.Vec{X: -1}, Up: r3.Vec{Z: 1}, AlongUp: true, Steps: []Step{{30, 0}, {60, 8}, {90, 8}, {100, 4}}}
	for name, c := range map[string]struct {
		sheet     Sheet
		clearance float64
		least     int
	}{
		"plane":   {NewPlane(r3.Vec{}, r3.Vec{Y: 1}), 25, 5},
		"skew":    {NewPlane(r3.Vec{}, r3.Unit(r3.Vec{X: 1, Y: 2})), 25, 5},
		"stepped": {weave, 25, 5},
		"thin":    {NewPlane(r3.Vec{}, r3.Vec{Y: 1}), 12, 0},
	} {
		room := blockAround(m, c.clearance, rods...)
		_, b := bedOn(t, m, c.sheet, room, plain)
		if len(b.Keys) < c.least {
			t.Errorf("%s: %d keys", name, len(b.Keys))
		}
		tree := mesh.NewTree(m)
		turned := false
		for i, k := range b.Keys {
			if off := c.sheet.Height(k.At); math.Abs(off) > 1e-9 {
				t.Errorf("%s: key %d is %.3f mm off the bed", name, i, off)
			}
			if d := r3.Dot(k.Into, c.sheet.Normal); d*signs[1-b.First] < 0.99 {
				t.Errorf("%s: key %d does not reach into the clay: %v", name, i, k.Into)
			}
			side := r3.Cross(k.Into, k.Along)
			for lat := range 12 {
				for lon := range 40 {
					sa, ca := math.Sincos(math.Pi / 2 * float64(lat) / 11)
					so, co := math.Sincos(2 * math.Pi * float64(lon) / 40)
					q := r3.Add(k.At, r3.Add(r3.Scale(sa*k.DepthMM, k.Into), r3.Add(r3.Scale(ca*co*k.LengthMM/2, k.Along), r3.Scale(ca*so*k.WidthMM/2, side))))
					hit, _ := tree.Closest(q, math.Inf(1))
					if least := min(hit.Distance, room.Outside(q), room.rodGap(q)); least < LeastMM-0.35 {
						t.Fatalf("%s: key %d comes within %.2f mm of pattern, opening or outside", name, i, least)
					}
				}
			}
			for _, o := range b.Keys[:i] {
				if d := r3.Norm(r3.Sub(k.At, o.At)); d < (k.LengthMM+o.LengthMM)/2+keyRules[len(keyRules)-1].gapMM-0.5 {
					t.Errorf("%s: two keys %.1f mm apart", name, d)
				}
			}
			turned = turned || math.Abs(r3.Dot(k.Along, b.Keys[0].Along)) < 0.5
		}
		if len(b.Keys) > 1 && !turned {
			t.Errorf("%s: all keys point the same way", name)
		}
	}
}

// A toadstool lying across its bed: its axis along the pull, so all rubber between
// bed and cap hooks behind it: a ring of π(50² − 10²) by 30 mm, 40 mm in from its rim.
func TestLockOfAToadstool(t *testing.T) {
	stool := meshtest.Lathe([]r2.Vec{{}, {X: 10}, {X: 10, Y: 60}, {X: 50, Y: 60}, {X: 50, Y: 80}, {Y: 80}}, 180)
	lying := mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Z: 1}, {Y: -1}}, T: r3.Vec{Z: 70}} // its axis along +y
	m := stool.Posed(lying)
	room := blockAround(m, 20)
	_, b := bedOn(t, m, NewPlane(r3.Vec{Y: 30}, r3.Vec{Y: 1}), room, plain)
	if len(b.Locks) != 1 {
		t.Fatalf("locks %+v", b.Locks)
	}
	l := b.Locks[0]
	if want := math.Pi * (50*50 - 10*10) * 30; l.Side != 1 || math.Abs(l.VolumeMM3-want) > 0.01*want {
		t.Errorf("side %d, %.0f mm³, want %.0f", l.Side, l.VolumeMM3, want)
	}
	if math.Abs(l.DepthMM-30) > 1e-6 || math.Abs(l.ReachMM-40) > 1.5 || math.Abs(l.BesideMM-20) > 1.5 {
		t.Errorf("%.2f mm deep, %.1f mm in, %.1f mm of rubber beside; want 30, 40, 20", l.DepthMM, l.ReachMM, l.BesideMM)
	}
	if l.Gives || l.Linked {
		t.Error("20 mm of rubber that may be drawn out to twice its length give way by 40 mm")
	}
	if h := r3.Sub(l.At, r3.Vec{Y: l.At.Y, Z: 70}); r3.Norm(h) < 10 || r3.Norm(h) > 50 || l.At.Y < 30 || l.At.Y > 60 {
		t.Errorf("at %v", l.At)
	}
	// Bedded under its cap, only the rubber round the stem is on the other side.
	if _, b := bedOn(t, m, NewPlane(r3.Vec{Y: 60.001}, r3.Vec{Y: 1}), room, plain); len(b.Locks) != 0 {
		t.Errorf("bedded at its silhouette: %+v", b.Locks)
	}
}

// The halves of a stepped bed are exact: the sheet's own corners cut the faces. The
// oracle counts columns across the sheet, through the pattern by rays.
func TestHalvesOfASteppedBed(t *testing.T) {
	m, rods := standing()
	s := Sheet{Point: r3.Vec{X: 1}, Normal: r3.Vec{Y: 1}, Right: r3.Vec{X: -1}, Up: r3.Vec{Z: 1}, AlongUp: true, Steps: []Step{{30, 0}, {60, 8}, {90, -8}, {100, 4}}}
	room := blockAround(m, 19, rods...)
	body := solid(t, m)
	halves, err := room.Halves(&s, body)
	if err != nil {
		t.Fatal(err)
	}
	openings := math.Pi * 4 * r3.Norm(r3.Sub(rods[0].To, rods[0].From))
	if sum, block := halves[0]+halves[1]+body.Measure().VolumeMM3+openings, blockMM3(room); math.Abs(sum-block) > 1e-9*block {
		t.Errorf("halves, pattern and post are %.3f mm³, the block %.3f", sum, block)
	}
	// Sides of the pattern by columns.
	tree := mesh.NewTree(m)
	sh := newShadow(m, tree, &s, 600)
	var sides [2]float64
	for i := range sh.lines {
		l := &sh.lines[i]
		off := s.offset(l.u, l.v)
		sides[1] += insideTo(l.turns, off, math.Inf(1), 1) * sh.cellMM2
		sides[0] += insideTo(l.turns, -off, math.Inf(1), -1) * sh.cellMM2
	}
	got := s.Sides(body)
	for k := range sides {
		if math.Abs(got[k]-sides[k]) > 0.003*sides[k] {
			t.Errorf("side %d: %.0f mm³, by columns %.0f", k, got[k], sides[k])
		}
	}
	// The block alone, by the integral of the profile: 0 at 30, up to 8 at 60, down
	// to −8 at 90, up to 4 at 100, on to the top.
	top := room.LevelMM
	area := 30*0 + 30*4. + 30*0. + 10*(-2.) + (top-100)*4
	f := room.Floor
	want := ((f[2].Y-s.Point.Y)*top - area) * (f[1].X - f[0].X)
	hull, err := mesh.Hull(room.corners())
	if err != nil {
		t.Fatal(err)
	}
	if got := s.Sides(&mesh.Solid{Mesh: hull})[1]; math.Abs(got-want) > 1e-9*want {
		t.Errorf("the block has %.6f mm³ beyond the bed, want %.6f", got, want)
	}
}

// For a mold in two parts the bed goes through the spout and leaves the least undercut,
// even across detail that a block would spare.
func TestBedMindsUndercutMost(t *testing.T) {
	// A flattened bar: a plane leaves an ellipse without undercut on its long or short
	// axis alone, and both meet detail; a bed shaped along the outline need not.
	m := meshtest.Cylinder(160, 30, 120)
	for i := range m.Vertices {
		m.Vertices[i].Y /= 2
	}
	r := chooseBed(t, m, func(p r3.Vec) float32 {
		if math.Abs(p.X) > 24 || math.Abs(p.Y) > 12 {
			return 0.6
		}
		return 0
	})
	if straight := max(math.Abs(r.Normal.X), math.Abs(r.Normal.Y)) > 0.998; !straight && r.Shape == nil || !r.ThroughSpout || math.Abs(r.Normal.Z) > 1e-9 {
		t.Errorf("normal %v, shaped %t, through the spout %t", r.Normal, r.Shape != nil, r.ThroughSpout)
	}
	if u := r.UndercutMM3; u[0]+u[1] > 0.01*r.volume {
		t.Errorf("undercut %v", u)
	}
	// A bar that swings aside gets a bed that follows it, spout and all.
	swung := chooseBed(t, weaving(), func(p r3.Vec) float32 {
		if math.Abs(p.Y) < 9 {
			return 1
		}
		return 0
	})
	if u := swung.UndercutMM3; u[0]+u[1] > 0.03*swung.volume {
		t.Errorf("swinging bar: undercut %v of %.0f mm³, steps %v", u, swung.volume, swung.Steps)
	}
}

func chooseBed(t *testing.T, m *mesh.Mesh, detail func(p r3.Vec) float32) Result {
	t.Helper()
	return chosen(t, m, detail, Input{TwoPart: true})
}

// The plainer side lies in the clay; of two plain ones the smaller.
func TestFirstPartHasTheDetail(t *testing.T) {
	m := meshtest.Moved(meshtest.Icosphere(4).Scaled(30), r3.Vec{Z: 30})
	room := blockAround(m, 20)
	for want, detail := range []func(p r3.Vec) float32{
		func(p r3.Vec) float32 { return float32(max(0, -p.Y) / 30) },
		func(p r3.Vec) float32 { return float32(max(0, p.Y) / 30) },
	} {
		if _, b := bedOn(t, m, NewPlane(r3.Vec{}, r3.Vec{Y: 1}), room, detail); b.First != want {
			t.Errorf("side %d is poured first, want %d: %s", b.First, want, b.Why)
		}
	}
	if _, b := bedOn(t, m, NewPlane(r3.Vec{Y: -5}, r3.Vec{Y: 1}), room, plain); b.First != 1 {
		t.Errorf("both plain: side %d first, want the larger part", b.First)
	}
}

// Pieces of a line behind the pattern, on both sides of a sheet at 10: pattern from
// −5 to 2, 12 to 15 and 20 to 22.
func TestGapsOnALine(t *testing.T) {
	turns := []turn{{-5, false}, {2, true}, {12, false}, {15, true}, {20, false}, {22, true}}
	if got, want := gapsOn(turns, 10, 1), [][2]float64{{10, 12}, {15, 20}}; !slices.Equal(got, want) {
		t.Errorf("above: %v, want %v", got, want)
	}
	if got, want := gapsOn(turns, 10, -1), [][2]float64{{-10, -2}}; !slices.Equal(got, want) {
		t.Errorf("below: %v, want %v", got, want)
	}
	below, above := behind(turns, 10)
	if below != 8 || above != 7 {
		t.Errorf("behind: %g and %g", below, above)
	}
}

// twisted is a flat bar, 120 mm high, whose edges run from one side to the other: no
// plane and no profile follows both.
func twisted() *mesh.Mesh {
	profile := []r2.Vec{{}}
	for i := range 61 {
		profile = append(profile, r2.Vec{X: 30, Y: 2 * float64(i)})
	}
	m := meshtest.Lathe(append(profile, r2.Vec{Y: 120}), 160)
	for i, p := range m.Vertices {
		m.Vertices[i].Y = 0.4*p.Y + twist(p.X, p.Z)
	}
	return m
}

func twist(x, z float64) float64 { return 0.012 * x * z }

// A bed that no plane fits is shaped: it follows the silhouette, stays gentle, passes
// the spout, and its parts and the pattern still make the block.
func TestShapedBedFollowsTheSilhouette(t *testing.T) {
	m := twisted()
	r := chooseBed(t, m, func(p r3.Vec) float32 {
		if math.Abs(p.X) < 20 { // its flats, which pulls along x would cross
			return 1
		}
		return 0
	})
	if r.Shape == nil || math.Abs(r.Normal.Y) < 0.8 {
		t.Fatalf("shaped %t, normal %v, steps %v", r.Shape != nil, r.Normal, r.Steps)
	}
	flat := r.Sheet
	flat.Shape = nil
	mm3, _ := Undercut(m, mesh.NewTree(m), flat, fullLines)
	if is, was := r.UndercutMM3[0]+r.UndercutMM3[1], mm3[0]+mm3[1]; is > 0.25*was {
		t.Errorf("undercut %.0f mm³, its plane leaves %.0f", is, was)
	}
	if off := r.offset(0, 0); math.Abs(off) > 1e-9 {
		t.Errorf("the bed passes the spout by %.2f mm", off)
	}
	h := r.Shape
	for k := h.Nodes[0] + 1; k < len(h.MM); k++ {
		if k%h.Nodes[0] == 0 {
			continue
		}
		du, dv := (h.MM[k]-h.MM[k-1])/h.Step[0], (h.MM[k]-h.MM[k-h.Nodes[0]])/h.Step[1]
		if slope := math.Hypot(du, dv); slope > bedSlope*(1+gentleEnough)+1e-9 {
			t.Fatalf("slope %.3f", slope)
		}
	}
	// Square to the bed, as the box of a mold in two parts is.
	turn := mesh.Pose{Rows: [3]r3.Vec{r.Right, r.Normal, {Z: 1}}}
	if r3.Dot(r3.Cross(turn.Rows[0], turn.Rows[1]), turn.Rows[2]) < 0 {
		turn.Rows[0] = r3.Scale(-1, turn.Rows[0])
	}
	moved := r.Moved(turn)
	m = m.Posed(turn)
	room := blockAround(m, 25)
	res, b := bedOn(t, m, moved.Sheet, room, plain)
	block := blockMM3(room)
	if sum := b.RubberMM3[0] + b.RubberMM3[1] + solid(t, m).Measure().VolumeMM3; math.Abs(sum-block) > 1e-6*block {
		t.Errorf("parts and pattern are %.1f mm³, the block %.1f", sum, block)
	}
	for side := range 2 {
		if full, _ := b.RubberTo(side, 1000); math.Abs(full-b.RubberMM3[side]) > 1e-9*full {
			t.Errorf("side %d: %.1f mm³ when full, the rubber is %.1f", side, full, b.RubberMM3[side])
		}
		// The sheared mesh and the columns agree on what lies on each side.
		if model := b.rises[side].perModelMM3; math.Abs(model-1) > 0.01 {
			t.Errorf("side %d: %.4f times what columns make of it", side, model)
		}
	}
	if b.OffMM[1] > 4 || b.OffMM[0] > 0.6 {
		t.Errorf("%.2f mm beside the silhouette, %.2f at most", b.OffMM[0], b.OffMM[1])
	}
	if len(b.Keys) < 4 {
		t.Errorf("%d keys", len(b.Keys))
	}
	for _, k := range b.Keys {
		if off := moved.Height(k.At); math.Abs(off) > 1e-9 {
			t.Errorf("a key %.3f mm off the bed", off)
		}
	}
	contours, low, high := moved.Contours(&room, 2, 5)
	if len(contours) < 3 || low < -40 || high > 40 || high-low < 15 {
		t.Errorf("%d contours from %.1f to %.1f mm", len(contours), low, high)
	}
	for _, c := range contours {
		if steps := (c.OffsetMM - 2) / 5; math.Abs(steps-math.Round(steps)) > 1e-9 {
			t.Errorf("a contour of %g mm, which is no multiple of 5 mm from 2 mm", c.OffsetMM)
		}
		for _, l := range c.Lines {
			for _, p := range l.Points {
				if off := r3.Dot(moved.Normal, r3.Sub(p, moved.Point)); math.Abs(off-c.OffsetMM) > 0.05 {
					t.Fatalf("contour of %g mm at %.4f mm", c.OffsetMM, off)
				}
			}
		}
	}
	// The line told to the maker lies on the outline, about evenly.
	res.Outline, _ = res.Sheet.Section(m)
	length := 0.0
	for _, l := range res.Outline {
		length += l.Length()
	}
	line := res.Spaced(25)
	if math.Abs(float64(len(line))-length/25) > float64(len(res.Outline)) {
		t.Errorf("%d places on %.0f mm of line", len(line), length)
	}
}

// Rubber that goes round the pattern through a hole never comes off, however thin it is;
// under a finger that is fixed at one end it does.
func TestRubberThroughAHole(t *testing.T) {
	ring := meshtest.Moved(meshtest.TorusMesh(96, 48, 45, 11), r3.Vec{Z: 31})
	_, b := bedOn(t, ring, NewPlane(r3.Vec{Z: 31}, r3.Vec{Y: 1}), blockAround(ring, 30), plain)
	if len(b.Locks) != 2 {
		t.Fatalf("locks of a ring %+v", b.Locks)
	}
	for _, l := range b.Locks {
		if !l.Linked || l.Gives {
			t.Errorf("ring: %+v", l)
		}
	}
	// A post with a bar sticking out above the bed, free on three sides and at its end.
	post := meshtest.Lathe([]r2.Vec{{}, {X: 12}, {X: 12, Y: 40}, {Y: 40}}, 60)
	for i, p := range post.Vertices { // its upper half leans out to one side
		if p.Z > 20 {
			post.Vertices[i].X += 60
		}
	}
	lying := mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Z: 1}, {Y: -1}}, T: r3.Vec{Z: 50}}
	m := post.Posed(lying)
	_, b = bedOn(t, m, NewPlane(r3.Vec{Y: 5}, r3.Vec{Y: 1}), blockAround(m, 30), plain)
	if len(b.Locks) == 0 {
		t.Fatal("nothing hooks under the leaning post")
	}
	for _, l := range b.Locks {
		if l.Linked {
			t.Errorf("leaning post: %+v", l)
		}
	}
}

// A pattern that is turned about the spout's axis turns its bed with it.
func TestTurnedPatternTurnedBed(t *testing.T) {
	flats := func(p r3.Vec) float32 {
		if math.Abs(p.X) < 20 {
			return 1
		}
		return 0
	}
	first := chooseBed(t, twisted(), flats)
	for _, deg := range []float64{37, 110} {
		pose := turnedAbout(deg)
		back := turnedAbout(-deg)
		r := chooseBed(t, twisted().Posed(pose), func(p r3.Vec) float32 { return flats(back.Point(p)) })
		if along := math.Abs(r3.Dot(r.Normal, pose.Dir(first.Normal))); along < math.Cos(3*math.Pi/180) {
			t.Errorf("turned by %g°: normal %v, want %v", deg, r.Normal, pose.Dir(first.Normal))
		}
		if is, was := r.UndercutMM3[0]+r.UndercutMM3[1], first.UndercutMM3[0]+first.UndercutMM3[1]; math.Abs(is-was) > 0.02*first.volume || (r.Shape == nil) != (first.Shape == nil) {
			t.Errorf("turned by %g°: undercut %.0f mm³, before %.0f; shaped %t and %t", deg, is, was, r.Shape != nil, first.Shape != nil)
		}
	}
}
