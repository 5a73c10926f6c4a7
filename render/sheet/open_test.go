package sheet

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/render/say"
)

// Blocks that come apart have no hinge, and those that need no cut say so.
func TestHowFarToCut(t *testing.T) {
	p := full()
	p.Cut.Slit.Full, p.Cut.Slit.Because, p.Cut.Hinge = true, ref("rubber goes through a hole of the part"), nil
	p.Cut.Stretch.Needed, p.Cut.Stretch.Straight, p.Cut.Tear = nil, nil, nil
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["7"], "Slit full halves, because rubber goes through a hole of the part", "88 % allowed; 210 % needed without a slit")
	wantsNone(t, at["7"], "Hinge", "Tears on", "Cut no further", "hinge", "not known")
	p = full()
	p.Cut.SlitMM, p.Cut.Slit.Path = 0, nil
	at = sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["7"], "Slit none: the part comes out of the spout. Cut only if it will not")
	p.Cut.KeyLines, p.Cut.Stretch.Guessed = nil, true
	at = sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["7"], "none: there is no rubber for it", "88 % allowed (a guess: the rubber’s elongation is not known)")
	wantsNone(t, at["7"], "key line slit")
}

// Cuts that are not upright are marked at the corners of the block, or left to
// the true-size drawings.
func TestOtherCuts(t *testing.T) {
	p := full()
	p.Cut.Normal, p.Cut.PointMM = [3]float64{0, 0, 1}, [3]float64{0, 0, 90}
	p.Cut.Rim = [][3]float64{{-66, -42, 90}, {66, -42, 90}, {66, 42, 90}, {-66, 42, 90}}
	p.Cut.Outline = [][][3]float64{{{-20, -10, 90}, {20, -10, 90}, {0, 20, 90}}}
	page := written(t, p, Options{Show: say.Metric})
	wellFormed(t, "level", page)
	wants(t, sections(t, page)["7"], "The plane is level, 90 mm above the board.", ": 132 mm from the left end, 84 mm from the front, 90 mm above the board", "lower half 1.1 L", "upper half 1.3 L")
	f := drawCut(p, say.Metric)
	if f.Block != nil || strings.Count(f.Rim, "L") != 3 {
		t.Errorf("outside of the block: %+v, %s", f.Block, f.Rim)
	}
	p = full()
	p.Cut.Surface, p.Cut.StepsAlong, p.Cut.HalvesMM3 = "stepped", &[3]float64{0, 0, 1}, nil
	p.Cut.Steps = []analysis.CutStep{{AtMM: 0}, {AtMM: 60}, {AtMM: 90, OffsetMM: -12}}
	at := sections(t, written(t, p, Options{Show: say.Metric}))
	wants(t, at["7"], "The cut is stepped", "The plane is upright.", "at its start: on the plane 60 mm up: on the plane 90 mm up: 12 mm off the plane to the front", "Cured block 2.84 kg; not known")
}

// Marks are named by the face of the block that they lie on.
func TestBlockFace(t *testing.T) {
	p := full()
	for want, at := range map[string][3]float64{
		"Top": {3, 1, 234}, spoutFace: {3, 1, 0}, "Left end": {-66, 20, 100}, "Right end": {66, 20, 100}, "Front": {5, -42, 60}, "Back": {5, 42, 230},
	} {
		if have := blockFace(p, at); have != want {
			t.Errorf("%v: have %q, want %q", at, have, want)
		}
	}
	tubed(p)
	if have := blockFace(p, [3]float64{0, -70, 90}); have != "Front side" {
		t.Errorf("tube: have %q", have)
	}
	p = full()
	faceted(p)
	if have := blockFace(p, [3]float64{-43, -31, 90}); have != "Facet 1" {
		t.Errorf("facet: have %q", have)
	}
}

// A square of 10 opened by a slit up its middle to half its height, from where
// the knife goes straight out to the right: the knife opens a quarter of it. With
// the hinge there, it must be the rest.
func TestCutWay(t *testing.T) {
	rim := [][2]float64{{0, 0}, {10, 0}, {10, 10}, {0, 10}}
	slit := [][2]float64{{5, 0}, {5, 5}}
	for _, turned := range []bool{false, true} {
		if turned {
			rim = [][2]float64{{0, 10}, {10, 10}, {10, 0}, {0, 0}}
		}
		for want, hinge := range map[float64][2]float64{25: {2, 5}, 75: {8, 2}} {
			way := cutWay(rim, slit, [2]float64{10, 5}, [2]float64{5, 0}, [][2]float64{hinge, hinge})
			if have := math.Abs(shoelace(way)); math.Abs(have-want) > 1e-9 {
				t.Errorf("hinge at %v: the knife opens %g of 100, want %g: %v", hinge, have, want, way)
			}
		}
	}
}

func shoelace(polygon [][2]float64) float64 {
	sum := 0.0
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		sum += a[0]*b[1] - a[1]*b[0]
	}
	return sum / 2
}

var figure = regexp.MustCompile(`-?\d+(\.\d+)?`)

// coordinates are the points of an SVG path.
func coordinates(t *testing.T, d string) [][2]float64 {
	t.Helper()
	all := figure.FindAllString(d, -1)
	if len(all) == 0 || len(all)%2 != 0 {
		t.Fatalf("path %q", d)
	}
	points := make([][2]float64, len(all)/2)
	for i, text := range all {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		points[i/2][i%2] = v
	}
	return points
}

// Lines as far apart as the hatch cover an area that is their length times that.
func TestHatchCovers(t *testing.T) {
	w := window{left: 0, top: 100, perMM: 4}
	shape := [][2]float64{{0, 0}, {100, 0}, {100, 40}, {40, 40}, {40, 100}, {0, 100}} // an L of 6400 mm²
	points, sum := coordinates(t, hatch(shape, w)), 0.0
	for i := 1; i < len(points); i += 2 {
		sum += math.Hypot(points[i][0]-points[i-1][0], points[i][1]-points[i-1][1])
	}
	if have := sum * hatchApart / 16; math.Abs(have-6400) > 0.02*6400 {
		t.Errorf("the hatch covers %g mm², want 6400", have)
	}
}

// All lines of the cut stay on the block, clear of the names beside it, and lie
// where the plan has them.
func TestCutLinesOnTheBlock(t *testing.T) {
	p := full()
	f := drawCut(p, say.Both)
	wallNamesKeepApart(t, f)
	const slack = 0.06 // of a coordinate with one decimal, and the line's end on the block's edge
	b := f.Block
	for what, d := range map[string]string{"land": f.Land, "keys": f.Keys, "slit": f.Slit, "hatch": f.Hatch, "opened": f.Opened, "stop": f.Stop} {
		for _, q := range coordinates(t, d) {
			if q[0] < float64(b.X)-slack || q[0] > float64(b.X+b.W)+slack || q[1] < float64(b.Y)-slack || q[1] > float64(b.Y+b.H)+slack {
				t.Errorf("%s leaves the block at %v", what, q)
			}
		}
	}
	perMM := float64(b.H) / p.Box.RubberLevelMM
	slit := coordinates(t, f.Slit)
	for i, at := range p.Cut.Slit.Path {
		x := float64(b.X) + math.Hypot(at[0]+66, at[1]-onCut(-66, 0)[1])*perMM
		y := float64(b.Y+b.H) - at[2]*perMM
		if math.Hypot(slit[i][0]-x, slit[i][1]-y) > 0.2 {
			t.Errorf("slit %d is drawn at %v, want %g, %g", i, slit[i], x, y)
		}
	}
}

// What a maker reads first makes room for itself: the more there is to settle, the
// smaller the picture on paper.
func TestLongVerdict(t *testing.T) {
	p := gull()
	if strings.Contains(written(t, p, Options{}), `class="first long"`) {
		t.Error("two short things to check shrink the picture")
	}
	for range 6 {
		p.Findings = append(p.Findings, finding.Finding{Level: finding.Stop, Text: strings.Repeat("It leaks. ", 12), Action: strings.Repeat("Seal it. ", 10)})
	}
	if !strings.Contains(written(t, p, Options{}), `class="first long"`) {
		t.Error("six long things to settle leave the picture as large")
	}
}

// Where the knife stops, by how it goes in, and what slit and hinge count.
func TestStopWords(t *testing.T) {
	onEnd, onTop := [2][3]float64{{4, 0, 146}, {66, 0, 146}}, [2][3]float64{{4, 0, 210}, {4, 0, 234}}
	for _, c := range map[string]struct {
		stop   [2][3]float64
		square bool
		want   string
	}{
		"level":  {onEnd, true, "left whole. Stop 146 mm above the board, straight in from outside (right end) to the part"},
		"top":    {onTop, true, "left whole. Stop at the part 210 mm above the board, straight in from outside (top), "},
		"slants": {[2][3]float64{{4, 0, 146}, {66, 0, 92}}, false, "outside (right end) 92 mm above it; the line slants, since no straight way in is clear of the part"},
	} {
		p := full()
		p.Cut.Hinge.Stop, p.Cut.Hinge.Square, p.Stand.StemMM = &c.stop, c.square, 20
		step := sections(t, written(t, p, Options{Show: say.Metric}))["7"]
		wants(t, step, c.want, "so along the sides and the top of the stem too; the seam is round the part alone.")
	}
}
