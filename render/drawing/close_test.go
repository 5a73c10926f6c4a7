package drawing

import (
	"math"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

func TestPanels(t *testing.T) {
	for name, p := range invented() {
		checkPanels(t, name, p)
	}
}

// checkPanels measures every wall.
func checkPanels(t *testing.T, name string, p *analysis.Plan) {
	t.Helper()
	files := drawn(t, p, say.Both)
	pins := 0
	for _, panel := range p.Box.Panels {
		if panel.Name == baseBoard {
			continue
		}
		count := 0
		for file, s := range files {
			if file != "panel-"+panel.Name && !strings.HasPrefix(file, "panel-"+panel.Name+"-") {
				continue
			}
			count++
			outline := s.one("panel")
			r := bounds(s.points(outline))
			if w, h := s.size(outline); !near(w, panel.LengthMM, 0.001) || !near(h, panel.WidthMM, 0.001) {
				t.Errorf("%s: %s is %g × %g mm, want %g × %g", name, file, w, h, panel.LengthMM, panel.WidthMM)
			}
			if p.Box.RubberLevelMM <= panel.WidthMM {
				if level := r.Max.Y - s.number(s.one("fill-line"), "y1"); !near(level, p.Box.RubberLevelMM, 0.001) {
					t.Errorf("%s: the fill line of %s is at %g mm", name, file, level)
				}
			}
			scores := s.of("score")
			if len(scores) != len(panel.ScoresMM) {
				t.Errorf("%s: %d scores, want %d", name, len(scores), len(panel.ScoresMM))
				continue
			}
			for i, score := range scores {
				if x := s.number(score, "x1") - r.Min.X; !near(x, panel.ScoresMM[i], 0.001) || score.attr["x1"] != score.attr["x2"] {
					t.Errorf("%s: score %d is at %g mm, want %g", name, i+1, x, panel.ScoresMM[i])
				}
			}
			pins += len(s.of("pin"))
			if len(s.of("up")) != 1 || len(s.of("face")) != 1 || len(s.of("panel-name")) != 1 {
				t.Errorf("%s: %s lacks a name, its face or an arrow", name, file)
			}
		}
		if count == 0 {
			t.Errorf("%s: no drawing of the %s", name, panel.Name)
		}
	}
	if pins != len(p.Hold.Pins) {
		t.Errorf("%s: %d pins drawn of %d", name, pins, len(p.Hold.Pins))
	}
}

// Pins are measured from the left end and the lower edge of their own wall.
func TestPins(t *testing.T) {
	files := drawn(t, buoy(), say.Metric)
	for file, want := range map[string][][2]float64{"panel-side-front": {{98, 77}}, "panel-side-back": {{140, 64}, {200, 64}}, "panel-end": nil} {
		s := files[file]
		r := bounds(s.points(s.one("panel")))
		pins := s.of("pin")
		if len(pins) != len(want) {
			t.Fatalf("%s: %d pins", file, len(pins))
		}
		for i, pin := range pins {
			if x, z := s.number(pin, "cx")-r.Min.X, r.Max.Y-s.number(pin, "cy"); !near(x, want[i][0], 1e-3) || !near(z, want[i][1], 1e-3) {
				t.Errorf("%s: pin %d is at %g, %g, want %v", file, i+1, x, z, want[i])
			}
		}
	}
	if _, plain := files["panel-side"]; plain {
		t.Error("both sides have pins, and there is a third")
	}
}

// A box built on paper closes: the walls, as drawn, give the inside, as drawn.
func TestCloses(t *testing.T) {
	for name, p := range invented() {
		checkCloses(t, name, p, 1)
	}
}

// checkCloses allows what boards are rounded up by.
func checkCloses(t *testing.T, name string, p *analysis.Plan, rounding float64) {
	t.Helper()
	files := drawn(t, p, say.Both)
	base := files["base"]
	panels := map[string]float64{} // lengths by name
	scores := map[string][]float64{}
	for file, s := range files {
		kind, isPanel := strings.CutPrefix(file, "panel-")
		if !isPanel {
			continue
		}
		kind, _, _ = strings.Cut(kind, "-")
		r := bounds(s.points(s.one("panel")))
		panels[kind] = r.Max.X - r.Min.X
		for _, e := range s.of("score") {
			if len(scores[kind]) < len(p.Box.OutlineMM) {
				scores[kind] = append(scores[kind], s.number(e, "x1")-r.Min.X)
			}
		}
	}
	switch {
	case len(panels) == 0:
		if !p.Box.Owned {
			t.Errorf("%s: no walls", name)
		}
	case p.Box.Shape == "rectangle":
		w, h := base.size(base.one("inside"))
		thick := p.Box.Panels[0].ThicknessMM
		for wall, spare := range map[string]float64{"side": panels["side"] - 2*thick - w, "end": panels["end"] - h} {
			if spare < -0.001 || spare >= rounding {
				t.Errorf("%s: the %s is %g mm too long for an inside of %g × %g", name, wall, spare, w, h)
			}
		}
	case p.Box.Shape == "tube":
		// Bent round, a sheet keeps the length of its middle.
		lap := panels["tube"] - math.Pi*(2*base.number(base.one("inside"), "r")+p.Box.Panels[0].ThicknessMM)
		if lap < 30-0.001 || lap >= 30+rounding {
			t.Errorf("%s: the wall laps by %g mm", name, lap)
		}
	default:
		walk(t, name, base.points(base.one("inside")), scores["wrap"])
		lap := panels["wrap"] - scores["wrap"][len(scores["wrap"])-1]
		if lap < 30-0.001 || lap >= 30+rounding {
			t.Errorf("%s: the strip laps by %g mm", name, lap)
		}
	}
}

// walk folds the strip: from the outline's first corner, along each part of the strip
// as long as its scores say, turned at each score as the outline turns.
func walk(t *testing.T, name string, outline []Point, scores []float64) {
	t.Helper()
	if len(outline) != len(scores) {
		t.Fatalf("%s: %d corners, %d scores", name, len(outline), len(scores))
	}
	at, from := outline[0], 0.0
	for i, score := range scores {
		a, b := outline[i], outline[(i+1)%len(outline)]
		heading := math.Atan2(b.Y-a.Y, b.X-a.X)
		at = at.plus((score-from)*math.Cos(heading), (score-from)*math.Sin(heading))
		from = score
		if d := math.Hypot(at.X-b.X, at.Y-b.Y); d > 0.01 {
			t.Errorf("%s: after facet %d the strip is %.3f mm off the corner", name, i+1, d)
		}
	}
}

// Sheets are to scale, and the pieces on them as the plan lays them.
func TestSheets(t *testing.T) {
	p := buoy()
	s := drawn(t, p, say.Metric)["sheets"]
	outline := s.one("sheet")
	w, h := s.size(outline)
	scale := 1220 / w
	if !near(610/h, scale, 1e-3) || !near(scale, math.Round(scale), 1e-3) {
		t.Errorf("a sheet of 1220 × 610 is drawn %g × %g", w, h)
	}
	at := bounds(s.points(outline)).Min
	pieces := s.of("piece")
	for i, want := range p.Box.Sheets[0].Pieces {
		r := bounds(s.points(pieces[i]))
		w, h := want.LengthMM, want.WidthMM
		if want.Turned {
			w, h = h, w
		}
		have := [4]float64{(r.Min.X - at.X) * scale, (r.Min.Y - at.Y) * scale, (r.Max.X - r.Min.X) * scale, (r.Max.Y - r.Min.Y) * scale}
		for k, x := range [4]float64{want.XMM, want.YMM, w, h} {
			if !near(have[k], x, 0.01) {
				t.Errorf("piece %d lies at %v, want %v", i, have, want)
			}
		}
	}
	bar := s.one("scale-sheet")
	if have := (s.number(bar, "x2") - s.number(bar, "x1")) * scale; !near(have, 500, 0.01) {
		t.Errorf("the bar of 500 mm is %g mm", have)
	}
}
