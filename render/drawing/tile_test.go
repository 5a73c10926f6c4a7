package drawing

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"pourwright/lawtest"
	"pourwright/render/say"
)

// Pages cover a drawing of any size, neighbours overlap, and no shape is lost.
func TestPagesCover(t *testing.T) {
	lawtest.Check(t, func(t *rapid.T) {
		d := Drawing{Name: "any", Title: "Any", Job: "job",
			WidthMM: rapid.Float64Range(5, 900).Draw(t, "width"), HeightMM: rapid.Float64Range(5, 900).Draw(t, "height")}
		d.Shapes = []Shape{Line{A: Point{0, 0}, B: Point{d.WidthMM, d.HeightMM}, Pen: edgePen}, Line{A: Point{0, d.HeightMM}, B: Point{d.WidthMM, 0}, Pen: edgePen}}
		checkCovers(t, "any", d)
		l := d.layOut(paperShortMM, paperLongMM)
		for r := range l.rows {
			for c := range l.columns {
				if c+1 < l.columns && !near(l.window(r, c).Max.X-l.window(r, c+1).Min.X, overlapMM, 1e-9) ||
					r+1 < l.rows && !near(l.window(r, c).Max.Y-l.window(r+1, c).Min.Y, overlapMM, 1e-9) {
					t.Fatalf("pages do not overlap by %v mm", overlapMM)
				}
			}
		}
		last := l.window(l.rows-1, l.columns-1).Max
		if last.X < d.WidthMM-1e-9 || last.Y < d.HeightMM-1e-9 {
			t.Fatalf("pages end at %v, the drawing at %g, %g", last, d.WidthMM, d.HeightMM)
		}
	})
}

func TestPagesLoseNothing(t *testing.T) {
	for name, p := range invented() {
		for _, set := range sets(p, say.Both) {
			for _, d := range set.drawings {
				checkCovers(t, name+" "+d.Name, d)
			}
		}
	}
}

type failer interface{ Errorf(string, ...any) }

// checkCovers walks along every line of every shape: each place lies on a page that
// the shape is drawn on, and on the paper's printable part.
func checkCovers(t failer, name string, d Drawing) {
	pages := d.pages()
	for _, p := range pages {
		w := p.Window
		right, low := p.At.X+w.Max.X-w.Min.X, p.At.Y+w.Max.Y-w.Min.Y
		if p.At.X < marginMM || p.At.Y < marginMM || right > p.WidthMM-marginMM+1e-9 || low > p.HeightMM-marginMM-footMM+1e-9 {
			t.Errorf("%s: a page's drawing reaches into the margin", name)
		}
		// Both A4 (210 × 297) and Letter (215.9 × 279.4 mm) hold the page.
		if short, long := math.Min(p.WidthMM, p.HeightMM), math.Max(p.WidthMM, p.HeightMM); short > 210 || long > 279.4 {
			t.Errorf("%s: a page of %g × %g mm", name, p.WidthMM, p.HeightMM)
		}
	}
	windows := map[string][]Rect{} // of the pages that a shape is drawn on, by its SVG
	for _, p := range pages {
		for _, s := range p.Tile {
			windows[element(s)] = append(windows[element(s)], p.Window.grown(1e-9))
		}
	}
	for _, s := range d.Shapes {
		on := windows[element(s)]
		for _, e := range s.edges() {
			for k := range 21 {
				f := float64(k) / 20
				at := Point{e[0].X + f*(e[1].X-e[0].X), e[0].Y + f*(e[1].Y-e[0].Y)}
				if !slices.ContainsFunc(on, func(w Rect) bool { return w.holds(Rect{at, at}) }) {
					t.Errorf("%s: %v at %v is on no page", name, s, at)
					return
				}
			}
		}
	}
}

// Joining marks are on both pages that they join.
func TestJoiningMarks(t *testing.T) {
	d := drawBase(buoy(), say.Both)[0]
	pages := d.pages()
	if len(pages) < 2 {
		t.Fatalf("%d pages", len(pages))
	}
	count := map[string]int{}
	for _, p := range pages {
		for _, s := range p.Tile {
			if mark, ok := s.(Poly); ok && mark.Class == "join-mark" && p.Window.holds(bounds(mark.Points)) {
				count[element(mark)]++
			}
		}
	}
	if len(count) < 2 {
		t.Errorf("%d joining marks", len(count))
	}
	for mark, n := range count {
		if n < 2 {
			t.Errorf("%s is whole on %d page", mark, n)
		}
	}
}
