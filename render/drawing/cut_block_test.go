package drawing

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/render/say"
)

func TestBlockFaces(t *testing.T) {
	for name, p := range bells() {
		checkBlockFaces(t, name, p)
	}
}

// checkBlockFaces folds the drawn faces up into the block again: the lines of the cut
// must meet at its edges, close, and lie in the cut.
func checkBlockFaces(t *testing.T, name string, p *analysis.Plan) {
	t.Helper()
	s, ok := drawn(t, p, say.Metric)["block-faces"]
	if !ok {
		t.Fatalf("%s: no faces of the block", name)
	}
	faces, lines := drawnFaces(t, p, s), 0
	var ends []r3.Vec
	for _, e := range s.of("entry") {
		line := s.points(e)
		f := faceAround(faces, line)
		if f == nil {
			t.Errorf("%s: a line of the cut lies on no face", name)
			continue
		}
		for _, q := range line {
			at := f.fold(Point{q.X - f.at.Min.X, f.at.Max.Y - q.Y})
			if off := r3.Dot(vec(p.Cut.Normal), r3.Sub(at, vec(p.Cut.PointMM))); p.Cut.Surface == "plane" && math.Abs(off) > 0.05 {
				t.Errorf("%s: on the %s the line is %.2f mm off the cut", name, f.name, off)
			}
			if i := slices.IndexFunc([]Point{line[0], line[len(line)-1]}, func(p Point) bool { return p == q }); i >= 0 {
				ends = append(ends, at)
			}
		}
		lines++
	}
	if lines < 4 {
		t.Errorf("%s: %d lines of the cut", name, lines)
	}
	for _, a := range ends {
		n := 0
		for _, b := range ends {
			if r3.Norm(r3.Sub(a, b)) < 0.05 {
				n++
			}
		}
		if n != 2 {
			t.Errorf("%s: %d lines meet at %.2f, want 2", name, n, a)
		}
	}
	checkEndMeasures(t, name, s)
	checkStops(t, name, p, s, faces)
}

// drawnFace is a face on paper, with how it is folded up: u, v from its lower left corner.
type drawnFace struct {
	name string
	at   Rect
	fold func(p Point) r3.Vec
}

func drawnFaces(t *testing.T, p *analysis.Plan, s svgDrawing) []drawnFace {
	t.Helper()
	titles, outlines := s.of("face-name"), s.of("face")
	if len(titles) != len(outlines) {
		t.Fatalf("%d faces, %d names", len(outlines), len(titles))
	}
	x, y, level := p.Box.InsideMM[0]/2, p.Box.InsideMM[1]/2, p.Box.RubberLevelMM
	floor := Rect{Point{-x, -y}, Point{x, y}}
	if len(p.Box.OutlineMM) > 0 {
		floor = bounds(planPoints(p.Box.OutlineMM))
	}
	folds := map[string]func(p Point) r3.Vec{
		"front side": func(p Point) r3.Vec { return r3.Vec{X: p.X - x, Y: -y, Z: p.Y} },
		"back side":  func(p Point) r3.Vec { return r3.Vec{X: x - p.X, Y: y, Z: p.Y} },
		"left end":   func(p Point) r3.Vec { return r3.Vec{X: -x, Y: y - p.X, Z: p.Y} },
		"right end":  func(p Point) r3.Vec { return r3.Vec{X: x, Y: p.X - y, Z: p.Y} },
		"top (as poured)": func(p Point) r3.Vec {
			return r3.Vec{X: floor.Min.X + p.X, Y: floor.Min.Y + p.Y, Z: level}
		},
		"spout end, from below": func(p Point) r3.Vec {
			return r3.Vec{X: floor.Min.X + p.X, Y: floor.Max.Y - p.Y}
		},
		"wall, rolled out": func(q Point) r3.Vec {
			r := *p.Box.RadiusMM
			sin, cos := math.Sincos(q.X/r - math.Pi)
			return r3.Vec{X: r * sin, Y: -r * cos, Z: q.Y}
		},
	}
	for i, a := range p.Box.OutlineMM {
		b := p.Box.OutlineMM[(i+1)%len(p.Box.OutlineMM)]
		long := math.Hypot(b[0]-a[0], b[1]-a[1])
		folds[fmt.Sprintf("facet %d", i+1)] = func(p Point) r3.Vec {
			f := p.X / long
			return r3.Vec{X: a[0] + f*(b[0]-a[0]), Y: a[1] + f*(b[1]-a[1]), Z: p.Y}
		}
	}
	var all []drawnFace
	for i, e := range outlines {
		f := drawnFace{name: titles[i].text, fold: folds[titles[i].text]}
		if f.fold == nil {
			t.Fatalf("no face is called %q", f.name)
		}
		if e.tag == "circle" {
			r := s.number(e, "r")
			c := Point{s.number(e, "cx"), s.number(e, "cy")}
			f.at = Rect{c.plus(-r, -r), c.plus(r, r)}
		} else {
			f.at = bounds(s.points(e))
		}
		all = append(all, f)
	}
	return all
}

func faceAround(faces []drawnFace, line []Point) *drawnFace {
	for i := range faces {
		if faces[i].at.grown(0.02).holds(bounds(line)) {
			return &faces[i]
		}
	}
	return nil
}

// checkEndMeasures compares what is written with how long the measures are drawn, and
// where they are drawn: 5 mm outside an end of a line.
func checkEndMeasures(t *testing.T, name string, s svgDrawing) {
	t.Helper()
	var want, have []string
	var ends []Point
	for _, e := range s.of("entry") {
		line := s.points(e)
		ends = append(ends, line[0], line[len(line)-1])
	}
	for _, e := range s.of("end-measure") {
		a, b := Point{s.number(e, "x1"), s.number(e, "y1")}, Point{s.number(e, "x2"), s.number(e, "y2")}
		want = append(want, say.Metric.Length(math.Hypot(b.X-a.X, b.Y-a.Y)))
		if !slices.ContainsFunc(ends, func(p Point) bool { return near(math.Hypot(p.X-b.X, p.Y-b.Y), 5, 0.01) }) {
			t.Errorf("%s: a measure ends at %v, beside no line of the cut", name, b)
		}
		for _, face := range s.of("face") {
			if face.tag == "polygon" && inside(s.points(face), Point{(a.X + b.X) / 2, (a.Y + b.Y) / 2}) {
				t.Errorf("%s: the measure to %v lies on a face", name, b)
			}
		}
	}
	for _, e := range s.of("end-label") {
		if e.text != "at the corner" {
			have = append(have, e.text)
		}
	}
	slices.Sort(want)
	slices.Sort(have)
	if !slices.Equal(have, want) {
		t.Errorf("%s: measures of %v read %v", name, want, have)
	}
}

// checkStops looks at what is cut when a hinge is left: from the spout to the stop.
func checkStops(t *testing.T, name string, p *analysis.Plan, s svgDrawing, faces []drawnFace) {
	t.Helper()
	cut := s.of("entry-cut")
	if p.Cut.Hinge == nil || p.Cut.Hinge.Stop == nil {
		if len(cut)+len(s.of("stop")) > 0 {
			t.Errorf("%s: a stop is drawn", name)
		}
		return
	}
	stop := s.one("stop")
	mid := Point{(s.number(stop, "x1") + s.number(stop, "x2")) / 2, s.number(stop, "y1")}
	f := faceAround(faces, []Point{mid})
	if f == nil {
		t.Fatalf("%s: the stop is on no face", name)
	}
	at := f.fold(Point{mid.X - f.at.Min.X, f.at.Max.Y - mid.Y})
	if d := r3.Norm(r3.Sub(at, vec(p.Cut.Hinge.Stop[1]))); d > 0.6 {
		t.Errorf("%s: the stop is drawn at %v, %.2f mm off", name, at, d)
	}
	longest, whole := 0.0, 0.0
	for _, e := range cut {
		longest += long(s.points(e))
	}
	for _, e := range s.of("entry") {
		whole += long(s.points(e))
	}
	if !(longest > 0) || longest >= whole {
		t.Errorf("%s: %.0f mm of %.0f are cut", name, longest, whole)
	}
}

// What is said of the block must be found on it.
func TestBlockFaceNames(t *testing.T) {
	s := drawn(t, bell([3]float64{0, 1, 0}, nil, true), say.Metric)["block-faces"]
	var all []string
	for _, e := range s.elements {
		all = append(all, e.text)
	}
	text := strings.Join(all, "|")
	for _, want := range []string{"right end", "left end", "UP", "rubber level 150 mm", "STOP HERE", "left whole: do not cut"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is nowhere written", want)
		}
	}
}
