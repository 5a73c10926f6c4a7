package analysis

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/moldbox"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// cutOf asks for the cut alone.
func cutOf(t *testing.T, c Choices) (*Plan, *mesh.Solid) {
	t.Helper()
	l, err := Load(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := AskFor(context.Background(), l, c, AskCut, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p, p.Posed(l.Solid)
}

// What lies on the cut is in the stand frame: the outline on the pattern, land and
// key line in the rubber of this box, halves and pattern and openings the box.
func TestCutOfPlans(t *testing.T) {
	scan := scanOf(t, goblet())
	for name, c := range map[string]Choices{
		"goblet": {Scan: scan, Units: "mm"},
		"tube":   {Scan: scan, Units: "mm", Shape: "tube", LandMM: 6},
		"lying":  {Scan: scan, Units: "mm", Down: &[3]float64{1, 0.2, 0}},
	} {
		p, pattern := cutOf(t, c)
		cut, box := p.Cut, p.Box
		tree := mesh.NewTree(pattern.Mesh)
		for _, loop := range cut.Outline {
			for _, q := range loop {
				if hit, _ := tree.Closest(vec(q), math.Inf(1)); hit.Distance > 1e-6 {
					t.Fatalf("%s: the outline is %.6f mm off the pattern", name, hit.Distance)
				}
				if off := r3.Dot(vec(cut.Normal), r3.Sub(vec(q), vec(cut.PointMM))); cut.Surface == "plane" && math.Abs(off) > 1e-6 {
					t.Fatalf("%s: the outline is %.6f mm off the cut", name, off)
				}
			}
		}
		room := (&job{plan: p, floor: floorOf(box)}).block()
		for _, k := range cut.KeyLines {
			for _, q := range k.Points {
				hit, _ := tree.Closest(vec(q), math.Inf(1))
				if least := max(5, cut.LandMM); hit.Distance < least-0.02 || room.Outside(vec(q)) < 5-0.02 {
					t.Fatalf("%s: key line at %v is %.3f mm from the pattern, %.3f from the outside", name, q, hit.Distance, room.Outside(vec(q)))
				}
			}
		}
		if len(cut.KeyLines) == 0 || len(cut.KeyDepthsMM) == 0 || len(cut.Land) == 0 || len(cut.Rim) < 3 {
			t.Errorf("%s: %d key lines, %d depths, %d lines of land, %d corners", name, len(cut.KeyLines), len(cut.KeyDepthsMM), len(cut.Land), len(cut.Rim))
		}
		if h := cut.HalvesMM3; h != nil && len(p.CastTrap) == 0 && p.Stand.StemMM == 0 {
			block := box.FloorMM2 * box.RubberLevelMM
			if sum := h[0] + h[1] + p.Scan.VolumeMM3; math.Abs(sum-block) > 1e-4*block {
				t.Errorf("%s: halves and pattern are %.0f mm³, the block %.0f", name, sum, block)
			}
		}
		if c.LandMM != 0 && cut.LandMM != c.LandMM {
			t.Errorf("%s: land %g mm", name, cut.LandMM)
		}
		slitAddsUp(t, name, p)
	}
}

// floorOf is the floor of a box as the plan tells it.
func floorOf(b Box) moldbox.Floor {
	f := moldbox.Floor{Shape: b.Shape}
	if b.RadiusMM != nil {
		f.RadiusMM = *b.RadiusMM
	}
	for _, c := range b.OutlineMM {
		f.Outline = append(f.Outline, r2.Vec{X: c[0], Y: c[1]})
	}
	return f
}

// Detail on top that every plane through the spout crosses: the cut passes beside
// the spout, level or leaning, and the plan still holds together.
func TestCutBesideTheSpout(t *testing.T) {
	ball := meshtest.Icosphere(5).Scaled(40)
	p, _ := cutOf(t, Choices{Scan: scanOf(t, ball), Units: "mm", Down: &[3]float64{0, 0, -1}, KeepClear: [][4]float64{{0, 0, 40, 38}}})
	c := p.Cut
	if c.ThroughSpout || !c.Slit.Full || c.DetailCrossed > 0.05 || c.AreaMM2 <= 0 {
		t.Errorf("normal %v through the spout %v, halves %v, detail %.2f, area %g", c.Normal, c.ThroughSpout, c.Slit.Full, c.DetailCrossed, c.AreaMM2)
	}
	if _, err := json.Marshal(p); err != nil { // NaN and infinity
		t.Error(err)
	}
	if whole := planOf(t, Choices{Scan: scanOf(t, ball), Units: "mm", Down: &[3]float64{0, 0, -1}, KeepClear: [][4]float64{{0, 0, 40, 38}}}); whole.Cut.AreaMM2 != c.AreaMM2 {
		t.Errorf("alone %g mm², in the whole plan %g", c.AreaMM2, whole.Cut.AreaMM2)
	}
}

// slitAddsUp checks a slit against the rubber's stretch, and words against numbers.
func slitAddsUp(t *testing.T, name string, p *Plan) {
	t.Helper()
	c := p.Cut
	if c.Slit.Full {
		if c.Hinge != nil || c.Slit.Because == nil || *c.Slit.Because == "" {
			t.Errorf("%s: halves with hinge %v because %v", name, c.Hinge, c.Slit.Because)
		}
		return
	}
	if c.Hinge == nil || c.Hinge.LengthMM < 20 || *c.Stretch.Needed > c.Stretch.Allowed+1e-9 {
		t.Errorf("%s: slit %.1f mm, hinge %+v, stretch %v of %v", name, c.SlitMM, c.Hinge, *c.Stretch.Needed, c.Stretch.Allowed)
	}
}

// A wider spout never needs a longer slit, nor more stretch the rubber can give.
func TestSlitFollowsSpoutAndRubber(t *testing.T) {
	scan := scanOf(t, meshtest.Box(60, 40, 80))
	down := &[3]float64{0, 0, -1}
	soft, _ := cutOf(t, Choices{Scan: scan, Units: "mm", Down: down, StemMM: 20, Rubber: "plat-10"})
	firm, _ := cutOf(t, Choices{Scan: scan, Units: "mm", Down: down, StemMM: 20, Rubber: "tin-40"})
	flat, _ := cutOf(t, Choices{Scan: scan, Units: "mm", Down: down, Rubber: "tin-40"})
	if !(soft.Cut.SlitMM <= firm.Cut.SlitMM) || flat.Cut.SlitMM != 0 || firm.Cut.SlitMM == 0 {
		t.Errorf("slits: soft rubber %.1f mm, firm %.1f; standing on the board itself %.1f", soft.Cut.SlitMM, firm.Cut.SlitMM, flat.Cut.SlitMM)
	}
	// Past the stem, then 200 mm of girth over 1 + 280 %/4, less the spout's rim, on
	// both edges of the slit.
	rim := math.Pi * firm.Stand.SpoutDiameterMM
	if want := 20 + (200/1.7-rim)/2; firm.Cut.SlitMM < want || firm.Cut.SlitMM >= want+5 {
		t.Errorf("slit %.2f mm, want %.2f rounded up to 5", firm.Cut.SlitMM, want)
	}
}

func TestLandIsChecked(t *testing.T) {
	for _, mm := range []float64{-1, 1, 41, math.NaN()} {
		if _, err := (Choices{LandMM: mm}).land(); err == nil || !strings.Contains(err.Error(), "land") {
			t.Errorf("a land of %g mm passes: %v", mm, err)
		}
	}
}

// Where rubber of one half goes round the part in the cut that is chosen: the lantern is
// cut through its ring and both side tubes, where only a slot is left, the trumpet through its
// carrying ring; a trefoil is cut in its plane, which leaves three arches in either half.
func TestLinksOfSamples(t *testing.T) {
	for _, c := range []struct {
		scan      string
		longestMM float64
		want      map[string]int
	}{
		{"../samples/storm-lantern.stl", 0, map[string]int{"front": 1}},
		{"../samples/speaking-trumpet.stl", 0, nil},
		{"../samples/tiller-handle.stl", 0, nil},
		{"../samples/gull-headed-cane.stl", 0, nil},
		{"../testdata/gearwheel.stl", 200, nil},
		{"../testdata/knot1.stl", 200, map[string]int{"lower": 3, "upper": 3}},
	} {
		p, _ := cutOf(t, Choices{Scan: c.scan, Units: "mm", LongestMM: c.longestMM})
		got := map[string]int{}
		for _, l := range p.Cut.Links {
			got[l.Half]++
			if !(l.WidthMM > 0) || l.WidthMM > p.Scan.TightestBoxMM[0] {
				t.Errorf("%s: a hole %.1f mm wide", c.scan, l.WidthMM)
			}
		}
		if len(got) != len(c.want) {
			t.Errorf("%s: rubber stays round the part in %v, want %v", c.scan, got, c.want)
		}
		for half, n := range c.want {
			if got[half] != n {
				t.Errorf("%s: rubber stays round the part in %d places of the %s half, want %d", c.scan, got[half], half, n)
			}
		}
		told := 0
		for _, f := range p.Findings {
			if f.Question == "cut" && strings.HasPrefix(f.Text, "Rubber goes round the part") {
				told++
			}
		}
		if (told > 0) != (len(p.Cut.Links) > 0) || (p.Cut.Criteria.Links == 1) != (len(p.Cut.Links) == 0) {
			t.Errorf("%s: %d places, told of %d, criterion %.2f", c.scan, len(p.Cut.Links), told, p.Cut.Criteria.Links)
		}
		if full := p.Cut.Slit.Because; full != nil && strings.Contains(*full, "even then") != (len(p.Cut.Links) > 0) {
			t.Errorf("%s: %d places and yet %q", c.scan, len(p.Cut.Links), *full)
		}
	}
}
