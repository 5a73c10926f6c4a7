package analysis

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// twoPartOf plans a mold in two parts.
func twoPartOf(t *testing.T, scan string, c Choices) (*Plan, *mesh.Solid) {
	t.Helper()
	c.Scan, c.Units, c.Style = scan, "mm", TwoPartStyle
	l, err := Load(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Ask(context.Background(), l, c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p, p.Posed(l.Solid)
}

// buoy is a body of revolution with a waist, 140 mm high: any upright plane through
// its axis is a silhouette.
func buoy() *mesh.Mesh {
	return meshtest.Lathe([]r2.Vec{{}, {X: 28}, {X: 30, Y: 30}, {X: 18, Y: 60}, {X: 34, Y: 95}, {X: 12, Y: 135}, {Y: 140}}, 120)
}

// Both parts, the pattern and its openings make the block; each part's marks end at its
// level; the sums are those of the parts; what lies where is in one frame.
func TestTwoPartsMakeTheBlock(t *testing.T) {
	p, pattern := twoPartOf(t, scanOf(t, buoy()), Choices{Down: &[3]float64{0, 0, -1}})
	two, box := p.TwoPart, p.Box
	if p.Cut.Style != TwoPartStyle || two == nil || len(two.Keys) < 4 || len(two.Locks) > 0 {
		t.Fatalf("style %q, %+v", p.Cut.Style, two)
	}
	block := box.FloorMM2 * box.RubberLevelMM
	sum := p.Scan.VolumeMM3
	for i, part := range two.Parts {
		sum += part.RubberMM3
		last := part.Marks[len(part.Marks)-1]
		if math.Abs(last.LevelMM-part.LevelMM) > 1e-9 || math.Abs(last.RubberMM3-part.RubberMM3) > 1e-6*part.RubberMM3 {
			t.Errorf("part %d: last mark %+v of %+v", i+1, last, part)
		}
		if first := part.Marks[0]; first.LevelMM < part.LevelMM-part.DepthMM {
			t.Errorf("part %d: a mark in the clay, %+v", i+1, first)
		}
		total := 0.0
		for _, b := range part.Batches {
			total += b.TotalG
		}
		if math.Abs(total-part.MassG) > 1e-6 || part.Batches[len(part.Batches)-1].LevelMM != part.LevelMM {
			t.Errorf("part %d: batches of %g g for %g g, %+v", i+1, total, part.MassG, part.Batches)
		}
		// Archimedes: with rubber all round it, the whole pattern floats in either pour.
		if want := p.Scan.VolumeMM3 * 1e-6 * p.Rubber.DensityGPerCM3 * 9.80665; math.Abs(part.UpliftLeakingN-want) > 1e-9 || part.UpliftSealedN > want {
			t.Errorf("part %d: lifted with %g N, sealed %g, want %g", i+1, part.UpliftLeakingN, part.UpliftSealedN, want)
		}
	}
	if math.Abs(sum-block-*p.Rubber.BulgeMM3) > 1e-6*block {
		t.Errorf("parts and pattern are %.1f mm³, the block %.1f and the bulge %.1f", sum, block, *p.Rubber.BulgeMM3)
	}
	if r := p.Rubber; math.Abs(r.MassG-two.Parts[0].MassG-two.Parts[1].MassG) > 1e-9 || math.Abs(r.NetMM3-two.Parts[0].RubberMM3-two.Parts[1].RubberMM3) > 1e-9*r.NetMM3 || len(r.Batches) != len(two.Parts[0].Batches)+len(two.Parts[1].Batches) || r.Buy.NeedG != r.HighG {
		t.Errorf("the sums are not those of the parts: %+v", r)
	}
	if two.Parts[0].Side+two.Parts[1].Side != 0 || math.Abs(two.Parts[0].DepthMM+two.Parts[1].DepthMM-two.InsideMM[2]) > 1e-9 {
		t.Errorf("parts %+v", two.Parts)
	}
	inLyingFrame(t, p, pattern)
	for _, f := range p.Findings {
		if f.Question == "cut" && strings.Contains(f.Text, "slit") {
			t.Errorf("two parts are not slit: %s", f.Text)
		}
	}
}

// inLyingFrame checks the move to the box on its side: the bed at its height, the
// pattern within the walls, its spout end against one of them, keys where a rule
// finds them.
func inLyingFrame(t *testing.T, p *Plan, pattern *mesh.Solid) {
	t.Helper()
	two := p.TwoPart
	pose := mesh.Pose{Rows: [3]r3.Vec{vec(two.Rotation[0]), vec(two.Rotation[1]), vec(two.Rotation[2])}, T: vec(two.TranslationMM)}
	if d := r3.Dot(pose.Rows[0], r3.Cross(pose.Rows[1], pose.Rows[2])); math.Abs(d-1) > 1e-9 {
		t.Fatalf("no turn: determinant %g", d)
	}
	for _, loop := range p.Cut.Outline {
		for _, q := range loop {
			if at := pose.Point(vec(q)); p.Cut.Surface == "plane" && math.Abs(at.Z-two.BedMM) > 1e-6 {
				t.Fatalf("parting line %.3f mm over the board, the bed %.3f", at.Z, two.BedMM)
			}
		}
	}
	b := pattern.Posed(pose).Bounds()
	x, y := two.InsideMM[0]/2, two.InsideMM[1]/2
	if b.Min.Z < 5 || b.Max.Z > two.InsideMM[2]-5 {
		t.Errorf("pattern from %.1f to %.1f mm over the board, the block is %.1f thick", b.Min.Z, b.Max.Z, two.InsideMM[2])
	}
	touches := min(math.Abs(b.Min.X+x), math.Abs(b.Max.X-x), math.Abs(b.Min.Y+y), math.Abs(b.Max.Y-y))
	if stem := p.Stand.StemMM; math.Abs(touches-stem) > 1e-6 {
		t.Errorf("the spout's end is %.2f mm from the nearest wall, the stem is %.2f long", touches, stem)
	}
	// Looking from the spout's end: right is where the lying box's left is not.
	ahead, up := pose.Dir(r3.Vec{Z: 1}), r3.Vec{Z: 1}
	left := r3.Cross(up, ahead)
	wide := 2 * (math.Abs(left.X)*x + math.Abs(left.Y)*y)
	for i, k := range two.Keys {
		at := pose.Point(vec(k.AtMM))
		if from := wide/2 + r3.Dot(left, at); math.Abs(from-k.FromRightMM) > 1e-6 || math.Abs(k.AtMM[2]-k.FromSpoutMM) > 1e-9 {
			t.Errorf("key %d: %g and %g from spout and right, measured %g and %g", i+1, k.FromSpoutMM, k.FromRightMM, k.AtMM[2], from)
		}
		sin, cos := math.Sincos(k.TurnDeg * math.Pi / 180)
		if along := r3.Add(r3.Scale(cos, ahead), r3.Scale(sin, left)); math.Abs(r3.Dot(along, pose.Dir(vec(k.Along)))) < 1-1e-9 {
			t.Errorf("key %d is turned by %g°, not along %v", i+1, k.TurnDeg, k.Along)
		}
	}
}

// A part that is wider than high lies the other way in its box.
func TestTwoPartsOfAWidePart(t *testing.T) {
	m := buoy()
	for i, q := range m.Vertices {
		m.Vertices[i] = r3.Vec{X: q.X, Y: q.Y, Z: q.Z / 3}
	}
	p, pattern := twoPartOf(t, scanOf(t, m), Choices{Down: &[3]float64{0, 0, -1}})
	if p.TwoPart.InsideMM[0] < p.TwoPart.InsideMM[1] || p.Box.RubberLevelMM >= p.TwoPart.InsideMM[0] {
		t.Fatalf("box %v for a block %v", p.TwoPart.InsideMM, p.Box.InsideMM)
	}
	inLyingFrame(t, p, pattern)
	n := len(p.Clock)
	cures := 0
	for _, s := range p.Clock {
		if strings.Contains(s.Name, "cure") {
			cures++
		}
	}
	if cures != 2 || n < 8 {
		t.Errorf("timetable %+v", p.Clock)
	}
}

// A hollow under a cap, wider inside than its mouth: when the block lies on its side,
// air stays above the mouth's edge, in each pour over its own side. Closed form: a
// circular segment of radius 30 beyond 20, 15 mm deep.
func TestAirInTwoParts(t *testing.T) {
	m := meshtest.Lathe([]r2.Vec{{}, {X: 40}, {X: 40, Y: 20}, {X: 10, Y: 20}, {X: 10, Y: 80}, {X: 30, Y: 80}, {X: 30, Y: 65}, {X: 20, Y: 65}, {X: 20, Y: 60}, {X: 36, Y: 60}, {X: 36, Y: 90}, {Y: 90}}, 360)
	p, _ := twoPartOf(t, scanOf(t, m), Choices{Down: &[3]float64{0, 0, -1}})
	if len(p.RubberTrap) != 2 || p.RubberTrap[0].Part != 1 || p.RubberTrap[1].Part != 2 {
		t.Fatalf("%+v", p.RubberTrap)
	}
	want := 15 * (900*math.Acos(2./3) - 20*math.Sqrt(500))
	n, at := vec(p.Cut.Normal), vec(p.Cut.PointMM)
	for i, trap := range p.RubberTrap {
		side := p.TwoPart.Parts[i].Side
		if over := float64(side) * r3.Dot(n, r3.Sub(vec(trap.AtMM), at)); math.Abs(over-30) > 0.1 {
			t.Errorf("pour %d: the air's top is %.2f mm over the bed, want 30", i+1, over)
		}
		if math.Abs(trap.VolumeMM3-want) > 0.01*want {
			t.Errorf("pour %d: %.0f mm³ of air, want %.0f", i+1, trap.VolumeMM3, want)
		}
		bed := p.TwoPart.InsideMM[2] - p.TwoPart.Parts[i].DepthMM
		if math.Abs(trap.SpillMM-bed-20) > 0.1 || trap.Remedy == nil {
			t.Errorf("pour %d: closes off %.2f mm over the board, want %.2f; %+v", i+1, trap.SpillMM, bed+20, trap.Remedy)
		}
	}
}

// A ring is drawn off along its axis, so it stands on its rim, although lying flat is
// steadier; a way up that was asked for stays.
func TestWayUpForABed(t *testing.T) {
	scan := scanOf(t, meshtest.TorusMesh(96, 48, 45, 11))
	p, _ := twoPartOf(t, scan, Choices{})
	if math.Abs(p.Stand.Down[2]) > 0.1 {
		t.Fatalf("stands with %v down: %s", p.Stand.Down, p.Stand.Why)
	}
	if u := p.Cut.UndercutMM3; u[0]+u[1] > 0.01*p.Scan.VolumeMM3 || len(p.TwoPart.Locks) > 0 {
		t.Errorf("undercut %v, locks %+v", u, p.TwoPart.Locks)
	}
	flat, _ := twoPartOf(t, scan, Choices{Down: &[3]float64{0, 0, -1}})
	if flat.Stand.Down != [3]float64{0, 0, -1} {
		t.Errorf("asked to lie flat, stands with %v down", flat.Stand.Down)
	}
	if p.Stand.Down != flat.Stand.Down && !strings.Contains(p.Stand.Why, "two parts") && p.Stand.Score < flat.Stand.Score {
		t.Errorf("nothing is said of why: %s", p.Stand.Why)
	}
}

// What does not go with a mold in two parts is refused in one sentence.
func TestTwoPartRefusals(t *testing.T) {
	scan := scanOf(t, buoy())
	for want, c := range map[string]Choices{
		"rectangular box":  {Style: TwoPartStyle, Shape: "tube"},
		"box of its own":   {Style: TwoPartStyle, InsideMM: &[3]float64{300, 200, 200}},
		"poured whole":     {Style: TwoPartStyle, Fillers: true},
		"no land":          {Style: TwoPartStyle, LandMM: 6},
		"no style of mold": {Style: "three-part"},
	} {
		c.Scan, c.Units = scan, "mm"
		l, err := Load(context.Background(), c, nil)
		if err != nil {
			t.Fatal(err)
		}
		_, err = Ask(context.Background(), l, c, nil)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", want, err)
		}
	}
}

// A plan says the style, and a block says nothing of two parts.
func TestBlockHasNoParts(t *testing.T) {
	p, _ := cutOf(t, Choices{Scan: scanOf(t, buoy()), Units: "mm"})
	if p.TwoPart != nil || p.Cut.Style != BlockStyle || slices.ContainsFunc(p.RubberTrap, func(tr Trap) bool { return tr.Part != 0 }) {
		t.Errorf("style %q, %+v", p.Cut.Style, p.TwoPart)
	}
}
