package drawing

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

// One unit of every drawing is a millimetre, and its check square is 50 mm.
func TestTrueSize(t *testing.T) {
	for name, p := range everyStyle() {
		for file, s := range drawn(t, p, say.Both) {
			root := s.elements[0]
			w, h := s.number(root, "width"), s.number(root, "height")
			if want := "0 0 " + number(w) + " " + number(h); root.tag != "svg" || root.attr["viewBox"] != want || root.attr["width"] != number(w)+"mm" {
				t.Errorf("%s %s: %v is not drawn in mm", name, file, root.attr)
			}
			if file == "sheets" {
				if len(s.of("check-square")) > 0 {
					t.Errorf("%s: a drawing that is not true size has a check square", name)
				}
				continue
			}
			if w, h := s.size(s.one("check-square")); w != 50 || h != 50 {
				t.Errorf("%s %s: the check square is %g × %g mm", name, file, w, h)
			}
			for class, want := range map[string]float64{"scale-mm": 80, "scale-in": 76.2} {
				bar := s.one(class)
				if have := s.number(bar, "x2") - s.number(bar, "x1"); !near(have, want, 1e-9) {
					t.Errorf("%s %s: %s is %g mm, want %g", name, file, class, have, want)
				}
			}
		}
	}
}

func TestStripLevels(t *testing.T) {
	for name, p := range invented() {
		checkStrip(t, name, p, say.Both)
	}
}

// checkStrip measures the strip's ticks from its lower end.
func checkStrip(t *testing.T, name string, p *analysis.Plan, show say.Style) {
	t.Helper()
	s := drawn(t, p, show)["strip"]
	outline := s.one("strip")
	if w, h := s.size(outline); w != 25 || !near(h, p.Box.WallHeightMM, 0.01) {
		t.Errorf("%s: the strip is %g × %g mm, the wall %g high", name, w, h, p.Box.WallHeightMM)
	}
	board := bounds(s.points(outline)).Max.Y
	d := drawStrip(p, show)[0]
	for _, shape := range d.Shapes {
		if text, ok := shape.(Text); ok && strings.HasSuffix(text.Class, "-label") && !bounds(s.points(outline)).holds(text.box()) {
			t.Errorf("%s: %q lies beyond the strip", name, text.Words)
		}
	}
	full := s.one("full")
	if level := board - s.number(full, "y1"); !near(level, p.Box.RubberLevelMM, 0.01) || full.attr["y1"] != full.attr["y2"] {
		t.Errorf("%s: FULL is at %g mm, the rubber at %g", name, level, p.Box.RubberLevelMM)
	}
	var marks, batches []float64
	for _, m := range p.Rubber.Marks {
		marks = append(marks, m.LevelMM)
	}
	for _, b := range p.Rubber.Batches {
		batches = append(batches, b.LevelMM)
	}
	if len(batches) == 1 {
		batches = nil // it is FULL
	}
	for class, levels := range map[string][]float64{"mark": marks, "batch": batches} {
		var want []float64
		for _, l := range levels {
			if math.Abs(l-p.Box.RubberLevelMM) >= 0.05 {
				want = append(want, l)
			}
		}
		ticks := s.of(class)
		if len(ticks) != len(want) {
			t.Errorf("%s: %d ticks are %s, want %d", name, len(ticks), class, len(want))
			continue
		}
		var have []float64
		for _, tick := range ticks {
			have = append(have, board-s.number(tick, "y1"))
		}
		slices.Sort(have)
		for i, level := range have {
			if !near(level, want[i], 0.01) {
				t.Errorf("%s: %s %d is at %g mm, want %g", name, class, i+1, level, want[i])
			}
		}
		if labels := len(s.of(class + "-label")); labels < len(want) {
			t.Errorf("%s: %d labels for %d ticks of %s", name, labels, len(want), class)
		}
	}
}

func TestBaseOutline(t *testing.T) {
	for name, p := range invented() {
		checkBase(t, name, p)
	}
}

// checkBase measures the inside of the box, spout and posts about the middle of the
// board.
func checkBase(t *testing.T, name string, p *analysis.Plan) {
	t.Helper()
	s := drawn(t, p, say.Both)["base"]
	inside := s.one("inside")
	var middle Point
	if p.Box.RadiusMM != nil {
		middle = Point{s.number(inside, "cx"), s.number(inside, "cy")}
		if r := s.number(inside, "r"); !near(r, *p.Box.RadiusMM, 0.001) {
			t.Errorf("%s: the tube's radius is %g, want %g", name, r, *p.Box.RadiusMM)
		}
	} else {
		corners := s.points(inside)
		r := bounds(corners)
		want := bounds(planPoints(p.Box.OutlineMM))
		middle = Point{r.Min.X - want.Min.X, r.Min.Y - want.Min.Y}
		if len(corners) != len(p.Box.OutlineMM) || !near(r.Max.X-r.Min.X, p.Box.InsideMM[0], 0.001) || !near(r.Max.Y-r.Min.Y, p.Box.InsideMM[1], 0.001) {
			t.Errorf("%s: the inside is %v, want %v", name, corners, p.Box.InsideMM)
		}
		for i, c := range corners {
			if o := p.Box.OutlineMM[i]; !near(c.X-middle.X, o[0], 0.001) || !near(middle.Y-c.Y, o[1], 0.001) {
				t.Errorf("%s: corner %d is at %v, want %v about %v", name, i, c, o, middle)
			}
		}
	}
	for _, panel := range p.Box.Panels {
		if panel.Name == baseBoard {
			edge := s.one("board-edge")
			r := bounds(s.points(edge))
			if w, h := s.size(edge); !near(w, panel.LengthMM, 0.001) || !near(h, panel.WidthMM, 0.001) ||
				!near((r.Min.X+r.Max.X)/2, middle.X, 0.001) || !near((r.Min.Y+r.Max.Y)/2, middle.Y, 0.001) {
				t.Errorf("%s: the board is %g × %g about %v, not %g × %g about %v", name, w, h, r, panel.LengthMM, panel.WidthMM, middle)
			}
		}
	}
	seen := map[int]bool{}
	for _, trap := range p.CastTrap {
		if v := trap.Vent; v != nil && !seen[v.Post] {
			seen[v.Post] = true
			found := false
			for _, e := range s.of("post") {
				found = found || near(s.number(e, "cx")-middle.X, v.BoardMM[0], 0.001) && near(middle.Y-s.number(e, "cy"), v.BoardMM[1], 0.001) && near(2*s.number(e, "r"), v.DiameterMM, 0.001)
			}
			if !found {
				t.Errorf("%s: post %d is not at %v", name, v.Post, v.BoardMM)
			}
		}
	}
	if posts := len(s.of("post")); posts != len(seen) {
		t.Errorf("%s: %d posts drawn of %d", name, posts, len(seen))
	}
	spout := s.one("spout")
	if d := 2 * s.number(spout, "r"); !near(d, p.Stand.SpoutDiameterMM, 0.001) {
		t.Errorf("%s: the spout is %g across, want %g", name, d, p.Stand.SpoutDiameterMM)
	}
}

// planPoints are points of a plan with y down, as on paper.
func planPoints(all [][2]float64) []Point {
	var points []Point
	for _, p := range all {
		points = append(points, Point{p[0], -p[1]})
	}
	return points
}

// The spout of the made-up part is worked out by hand: (10, 0) − (30, −12) = (−20, 12).
func TestSpoutAndCut(t *testing.T) {
	s := drawn(t, buoy(), say.Metric)["base"]
	corner := bounds(s.points(s.one("inside"))).Min
	spout := s.one("spout")
	if x, y := s.number(spout, "cx")-corner.X, s.number(spout, "cy")-corner.Y; !near(x, 86, 1e-3) || !near(y, 55, 1e-3) {
		t.Errorf("the spout is %g from the left and %g from the back, want 86 and 55", x, y)
	}
	// The cut: through (−20, 12), rising 3 in 4: it meets the front at x = −20 − 79·4/3,
	// outside, so the left at y = 12 − 86·3/4 = −52.5; the back at x = −20 + 55·4/3 = 53.33.
	cut := s.one("cut")
	have := [4]float64{s.number(cut, "x1") - corner.X, s.number(cut, "y1") - corner.Y, s.number(cut, "x2") - corner.X, s.number(cut, "y2") - corner.Y}
	want := [4]float64{0, 67 + 52.5, 106 + 53.3333, 0}
	if have[0] > have[2] {
		have = [4]float64{have[2], have[3], have[0], have[1]}
	}
	for i := range want {
		if !near(have[i], want[i], 1e-3) {
			t.Errorf("the cut runs %v, want %v", have, want)
		}
	}
}

// The measures of the spout end on the walls they are from, and a post's arrow points
// the way it leans: 210° is left and, seen from above, to the front.
func TestArrows(t *testing.T) {
	s := drawn(t, buoy(), say.Metric)["base"]
	corner := bounds(s.points(s.one("inside"))).Min
	for i, want := range []Point{{0, 55}, {86, 0}} {
		tip := s.points(s.of("from-wall-head")[i])[0]
		if !near(tip.X-corner.X, want.X, 1e-3) || !near(tip.Y-corner.Y, want.Y, 1e-3) {
			t.Errorf("measure %d ends at %v from the corner at %v, want %v", i, tip, corner, want)
		}
	}
	tip := s.points(s.one("lean-head"))[0]
	foot := Point{corner.X + 106 + 44, corner.Y + 67 - 30}
	if angle := math.Atan2(foot.Y-tip.Y, tip.X-foot.X) * 180 / math.Pi; !near(angle, 210-360, 0.01) {
		t.Errorf("post 2 leans toward %g°", angle)
	}
	var texts []string
	for _, e := range s.of("from-wall-label") {
		texts = append(texts, e.text)
	}
	slices.Sort(texts)
	if !slices.Equal(texts, []string{"55 mm", "86 mm"}) {
		t.Errorf("the spout's measures read %q", texts)
	}
}
