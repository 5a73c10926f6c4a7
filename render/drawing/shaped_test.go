package drawing

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

// checkLine measures the dots on the parting line, and reads the height beside each.
func checkLine(t *testing.T, name string, p *analysis.Plan, s svgDrawing, inside Rect, spout, right int) {
	t.Helper()
	dots := s.of("line-dot")
	if len(dots) != len(p.TwoPart.Line) {
		t.Fatalf("%s: %d dots for %d heights", name, len(dots), len(p.TwoPart.Line))
	}
	var texts []string
	for _, e := range s.of("line-height") {
		texts = append(texts, e.text)
	}
	all := "\n" + strings.Join(texts, "\n") + "\n"
	for i, q := range p.TwoPart.Line {
		at := Point{s.number(dots[i], "cx"), s.number(dots[i], "cy")}
		if have := []float64{fromSide(inside, spout, at), fromSide(inside, right, at)}; !allNear(have, []float64{q.FromSpoutMM, q.FromRightMM}, 0.01) {
			t.Errorf("%s: dot %d is at %v, want %g, %g", name, i+1, have, q.FromSpoutMM, q.FromRightMM)
		}
		want := "\n" + strconv.Itoa(i+1) + ": " + say.Metric.Length(q.HeightMM) + "\n" + say.Inch.Length(q.HeightMM) + "\n"
		if !strings.Contains(all, want) {
			t.Errorf("%s: nothing reads %q in %q", name, want, all)
		}
	}
}

// saddleAt is how high the made-up shaped bed is at a place on paper, measured from the
// walls as a maker does. Seen from the spout end the back is up, so +x is on the left.
func saddleAt(p *analysis.Plan, inside Rect, spout, right int, at Point) float64 {
	return 47 + shapedMM(fromSide(inside, right, at)-p.Box.InsideMM[0]/2, fromSide(inside, spout, at))
}

// Contours of the made-up bed run where it is so high, by its formula, labels stand on
// them, and none passes through the part, a key, or words.
func TestContoursOfBed(t *testing.T) {
	for _, wide := range []bool{false, true} {
		p := shapedBed(wide)
		for _, show := range styles {
			s := drawn(t, p, show)["bed"]
			inside := bounds(s.points(s.one("inside")))
			spout, right := sideOfBox(t, s, inside, "SPOUT END"), sideOfBox(t, s, inside, "RIGHT")
			lines := s.of("contour")
			if len(lines) < len(p.TwoPart.Contours) {
				t.Errorf("%d contours, the plan has %d", len(lines), len(p.TwoPart.Contours))
			}
			for _, e := range lines {
				for _, q := range s.points(e) {
					// Straight pieces between points 1 mm apart leave a hyperbola by little.
					if h := saddleAt(p, inside, spout, right, q); math.Abs(h-5*math.Round(h/5)) > 0.05 {
						t.Fatalf("wide %v: a contour passes a place of %g mm", wide, h)
					}
				}
			}
			for _, e := range s.of("contour-height") {
				at := Point{s.number(e, "x"), s.number(e, "y")}
				if e.attr["transform"] == "" {
					at.Y -= 0.8
				} else {
					at.X -= 0.8
				}
				h := 5 * math.Round(saddleAt(p, inside, spout, right, at)/5)
				if e.text != show.Length(h) && (show != say.Both || e.text != say.Metric.Length(h)) {
					t.Errorf("wide %v: %q stands where the clay is %g mm high", wide, e.text, h)
				}
			}
			if n := len(s.of("contour-height")); n < 5 {
				t.Errorf("wide %v: only %d contours are labelled", wide, n)
			}
			d, _ := Bed(p, show)
			clearContours(t, d)
		}
	}
}

// clearContours looks for contours, and leaders to heights, that pass through what is drawn.
func clearContours(t *testing.T, d Drawing) {
	t.Helper()
	for _, shape := range d.Shapes {
		line, isPath := shape.(Path)
		if !isPath || line.Class != "contour" {
			continue
		}
		for _, other := range d.Shapes {
			switch o := other.(type) {
			case Text:
				if o.box().touches(line) {
					t.Errorf("a contour passes through %q", o.Words)
				}
			case Poly:
				if o.Class != "pattern" && o.Class != "key" && o.Class != "stem" && o.Class != "post" {
					continue
				}
				for _, e := range line.edges() {
					if mid := (Point{(e[0].X + e[1].X) / 2, (e[0].Y + e[1].Y) / 2}); within(o.Points, mid) {
						t.Errorf("a contour passes through a %s", o.Class)
					}
				}
			}
		}
	}
}

// clayPoints are the ends and bends of a clay line in an SVG.
func clayPoints(s svgDrawing, e svgElement) []Point {
	if e.tag == "polyline" {
		return s.points(e)
	}
	return []Point{{s.number(e, "x1"), s.number(e, "y1")}, {s.number(e, "x2"), s.number(e, "y2")}}
}

// The clay line of the made-up bed on the far and the side walls is as high as its
// formula says, and so are the heights written at its marks.
func TestShapedClayOnWalls(t *testing.T) {
	for file, place := range map[string]func(along float64) (x, z float64){
		"panel-side-right":    func(along float64) (x, z float64) { return -60, along },
		"panel-side-left":     func(along float64) (x, z float64) { return 60, 212 - along },
		"panel-end-far-end":   func(along float64) (x, z float64) { return along - 60, 212 },
		"panel-end-spout-end": func(along float64) (x, z float64) { return 60 - along, 0 },
	} {
		s := drawn(t, shapedBed(false), say.Metric)[file]
		r := bounds(s.points(s.one("panel")))
		left := r.Min.X + (r.Max.X-r.Min.X-120)/2
		if strings.HasPrefix(file, "panel-side") {
			left = r.Min.X + 18
		}
		height := func(at Point) float64 { x, z := place(at.X - left); return 47 + shapedMM(x, z) }
		var all []Point
		for _, e := range s.of("clay-line") {
			all = append(all, clayPoints(s, e)...)
		}
		if len(s.of("clay-line")) != 1 || len(all) < 2 {
			t.Errorf("%s: clay lines %v", file, all)
		}
		for _, q := range all {
			if have, want := r.Max.Y-q.Y, height(q); !near(have, want, 0.01) {
				t.Errorf("%s: the clay is %g mm up, want %g", file, have, want)
			}
		}
		ticks, heights := s.of("clay-tick"), s.of("clay-height")
		if len(ticks) < 3 || len(heights) != len(ticks) {
			t.Fatalf("%s: %d marks with %d heights", file, len(ticks), len(heights))
		}
		for i, e := range ticks {
			at := Point{s.number(e, "x1"), (s.number(e, "y1") + s.number(e, "y2")) / 2}
			if have, want := r.Max.Y-at.Y, height(at); !near(have, want, 0.05) || heights[i].text != say.Metric.Length(want) {
				t.Errorf("%s: mark %d is %g mm up and reads %q, want %g", file, i+1, have, heights[i].text, want)
			}
		}
	}
}

// The range is told in words, and on the strips, the second turned over.
func TestRangeOfShapedBed(t *testing.T) {
	p := shapedBed(false)
	text := strings.Join(strings.Fields(words(t, p)), " ")
	// 47 mm at the spout; in the far corners 47 + 0.0025·212·55 and 47 − 0.0025·212·65.
	for _, want := range []string{"clay: from 13 mm (1/2 in) to 76 mm (3 in) over the board; 47 mm (1 7/8 in) at the spout; 1.1 l", "last 5 mm (3/16 in)",
		"the clay is 13 mm (1/2 in) to 76 mm (3 in) high", "the first part is 34 mm (1 5/16 in) to 97 mm (3 13/16 in) high"} {
		if !strings.Contains(text, want) {
			t.Errorf("nothing reads %q in %s", want, text)
		}
	}
	if strings.Contains(words(t, buoyBed(false, false)), "stick") {
		t.Error("a level bed needs no sticks")
	}
}
