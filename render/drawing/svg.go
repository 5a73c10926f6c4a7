package drawing

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
)

// Mark is in every file, to know them by.
const Mark = "written by pourwright"

// SVG writes a drawing as SVG 1.1 in which one unit is one millimetre.
func (d Drawing) SVG() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?>`+"\n<!-- "+Mark+"; a new plan replaces this file. -->\n"+
		`<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="%smm" height="%smm" viewBox="0 0 %[1]s %[2]s">`+"\n",
		number(d.WidthMM), number(d.HeightMM))
	fmt.Fprintf(&b, "<title>%s: %s</title>\n<desc>One unit is one millimetre. Print at 100 %%.</desc>\n", escape(d.Job), escape(d.Title))
	b.WriteString(`<g font-family="Helvetica, Arial, sans-serif" fill="none" stroke-linecap="butt" stroke-linejoin="miter">` + "\n")
	for _, s := range d.Shapes {
		b.WriteString(element(s))
	}
	b.WriteString("</g>\n</svg>\n")
	return []byte(b.String())
}

// element writes one shape.
func element(s Shape) string {
	switch s := s.(type) {
	case Line:
		return fmt.Sprintf("<line%s x1=%q y1=%q x2=%q y2=%q%s/>\n", class(s.Class),
			number(s.A.X), number(s.A.Y), number(s.B.X), number(s.B.Y), s.Pen.attributes(none))
	case Poly:
		return fmt.Sprintf("<polygon%s points=%q%s/>\n", class(s.Class), pairs(s.Points), s.Pen.attributes(s.Fill))
	case Path:
		return fmt.Sprintf("<polyline%s points=%q%s/>\n", class(s.Class), pairs(s.Points), s.Pen.attributes(none))
	case Circle:
		return fmt.Sprintf("<circle%s cx=%q cy=%q r=%q%s/>\n", class(s.Class),
			number(s.At.X), number(s.At.Y), number(s.RadiusMM), s.Pen.attributes(none))
	case Text:
		x, y := number(s.At.X), number(s.At.Y)
		turn := ""
		if s.Up {
			turn = fmt.Sprintf(` transform="rotate(-90 %s %s)"`, x, y)
		}
		return fmt.Sprintf("<text%s x=%q y=%q font-size=%q text-anchor=%q fill=%q%s>%s</text>\n", class(s.Class),
			x, y, number(s.SizeMM), [...]string{"start", "middle", "end"}[s.Anchor], s.Colour.hex(), turn, escape(s.Words))
	}
	panic("a shape that no drawing has")
}

// pairs writes points as a polygon lists them.
func pairs(points []Point) string {
	var all []string
	for _, p := range points {
		all = append(all, number(p.X)+","+number(p.Y))
	}
	return strings.Join(all, " ")
}

func class(name string) string {
	if name == "" {
		return ""
	}
	return ` class="` + name + `"`
}

func (p Pen) attributes(fill Colour) string {
	text := ""
	if fill != none {
		text = ` fill="` + fill.hex() + `"`
	}
	if p.Colour == none {
		return text
	}
	text += fmt.Sprintf(" stroke=%q stroke-width=%q", p.Colour.hex(), number(p.WidthMM))
	if len(p.Dash) > 0 {
		text += fmt.Sprintf(" stroke-dasharray=%q", numbers(p.Dash))
	}
	return text
}

func (c Colour) hex() string { return fmt.Sprintf("#%06X", uint32(c)) }

// number writes a length in mm to a ten-thousandth.
func number(x float64) string {
	text := strconv.FormatFloat(x, 'f', 4, 64)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}

func numbers(all []float64) string {
	var texts []string
	for _, x := range all {
		texts = append(texts, number(x))
	}
	return strings.Join(texts, " ")
}

func escape(text string) string {
	var b strings.Builder
	// Writing to memory does not fail; what XML cannot hold is replaced.
	_ = xml.EscapeText(&b, []byte(text))
	return b.String()
}
