package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

// svgElement is one element of an SVG as another program reads it.
type svgElement struct {
	tag  string
	attr map[string]string
	text string
}

// svgDrawing is a drawing read back.
type svgDrawing struct {
	t        testing.TB
	elements []svgElement
}

func readSVG(t testing.TB, data []byte) svgDrawing {
	t.Helper()
	s := svgDrawing{t: t}
	for d := xml.NewDecoder(bytes.NewReader(data)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return s
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := svgElement{token.Name.Local, map[string]string{}, ""}
			for _, a := range token.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			s.elements = append(s.elements, e)
		case xml.CharData:
			if n := len(s.elements); n > 0 {
				s.elements[n-1].text += strings.TrimSpace(string(token))
			}
		}
	}
}

// of lists the elements of a class.
func (s svgDrawing) of(class string) []svgElement {
	var all []svgElement
	for _, e := range s.elements {
		if e.attr["class"] == class {
			all = append(all, e)
		}
	}
	return all
}

// one is the only element of a class.
func (s svgDrawing) one(class string) svgElement {
	s.t.Helper()
	all := s.of(class)
	if len(all) != 1 {
		s.t.Fatalf("%d elements are %q, want one", len(all), class)
	}
	return all[0]
}

func (s svgDrawing) number(e svgElement, name string) float64 {
	s.t.Helper()
	x, err := strconv.ParseFloat(strings.TrimSuffix(e.attr[name], "mm"), 64)
	if err != nil {
		s.t.Fatalf("%s of %v: %v", name, e, err)
	}
	return x
}

// points are the corners of a polygon.
func (s svgDrawing) points(e svgElement) []Point {
	s.t.Helper()
	var all []Point
	for _, pair := range strings.Fields(e.attr["points"]) {
		x, y, _ := strings.Cut(pair, ",")
		all = append(all, Point{s.parse(x), s.parse(y)})
	}
	return all
}

func (s svgDrawing) parse(text string) float64 {
	s.t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		s.t.Fatal(err)
	}
	return x
}

// size is how wide and high a polygon is.
func (s svgDrawing) size(e svgElement) (w, h float64) {
	s.t.Helper()
	r := bounds(s.points(e))
	return r.Max.X - r.Min.X, r.Max.Y - r.Min.Y
}

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }

// drawn reads the SVGs of a plan by name.
func drawn(t testing.TB, p *analysis.Plan, show say.Style) map[string]svgDrawing {
	t.Helper()
	all := map[string]svgDrawing{}
	for _, f := range Files(p, show) {
		if name, isSVG := strings.CutSuffix(f.Name, ".svg"); isSVG {
			all[name] = readSVG(t, f.Data)
		}
	}
	return all
}
