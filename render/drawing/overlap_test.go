package drawing

import (
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

var styles = []say.Style{say.Both, say.Inch, say.Metric}

func TestNoTextOverlaps(t *testing.T) {
	for name, p := range everyStyle() {
		checkTexts(t, name, p)
	}
}

// checkTexts looks for texts that cover each other or reach past the paper, in every
// drawing and on every page.
func checkTexts(t *testing.T, name string, p *analysis.Plan) {
	t.Helper()
	for _, show := range styles {
		for _, set := range sets(p, show) {
			for _, d := range set.drawings {
				where := name + " " + show.String() + " " + d.Name
				apartFrom(t, where, Rect{Max: Point{d.WidthMM, d.HeightMM}}, d.Shapes)
				for _, page := range d.pages() {
					apartFrom(t, where+" in the margin", Rect{Max: Point{page.WidthMM, page.HeightMM}}, page.Margin)
					checkJoints(t, where, page)
				}
			}
		}
	}
}

func apartFrom(t *testing.T, where string, paper Rect, shapes []Shape) {
	t.Helper()
	var texts []Text
	for _, s := range shapes {
		text, isText := s.(Text)
		if !isText {
			continue
		}
		if !paper.holds(text.box()) {
			t.Errorf("%s: %q reaches past the paper", where, text.Words)
		}
		for _, before := range texts {
			if before.box().grown(-0.05).overlaps(text.box().grown(-0.05)) {
				t.Errorf("%s: %q lies on %q", where, text.Words, before.Words)
			}
		}
		texts = append(texts, text)
	}
}

// checkJoints looks for joining marks that cover a text.
func checkJoints(t *testing.T, where string, p page) {
	t.Helper()
	for _, s := range p.Tile {
		mark, ok := s.(Poly)
		if !ok || mark.Class != "join-mark" {
			continue
		}
		r := bounds(mark.Points)
		for _, s := range p.Tile {
			if text, ok := s.(Text); ok && text.Class != "join-number" && r.overlaps(text.box()) {
				t.Errorf("%s: a joining mark lies on %q", where, text.Words)
			}
		}
	}
}

// Widths of letters from the published metrics of Helvetica.
func TestWidth(t *testing.T) {
	for words, want := range map[string]float64{"": 0, "A": 6.67, "fill line": 2.78 + 2.22 + 2.22 + 2.22 + 2.78 + 2.22 + 2.22 + 5.56 + 5.56, "50 mm": 5.56*2 + 2.78 + 8.33*2, "×": 5.84} {
		if have := width(words, 10); !near(have, want, 1e-9) {
			t.Errorf("%q is %g mm wide, want %g", words, have, want)
		}
	}
}

func TestWrapAndFit(t *testing.T) {
	lines := wrap("the bell of a harbour buoy rings in a swell", 3, 40)
	for _, line := range lines {
		if room(line, 3) > 40 {
			t.Errorf("%q is longer than 40 mm", line)
		}
	}
	if len(lines) != 3 && len(lines) != 2 {
		t.Errorf("%d lines: %q", len(lines), lines)
	}
	if have := fit("a-very-long-name-of-a-scan-that-somebody-typed", 6, 30); room(have, 6) > 30 || have[:6] != "a-very" {
		t.Errorf("fitted: %q", have)
	}
	if have := fit("short", 6, 30); have != "short" {
		t.Errorf("a short name became %q", have)
	}
}
