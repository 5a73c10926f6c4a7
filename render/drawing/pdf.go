package drawing

import (
	"bytes"
	"fmt"
	"strings"
)

// pointsPerMM is the unit of PDF, 1/72 in, in one millimetre.
const pointsPerMM = 72 / 25.4

// writePDF writes pages as PDF 1.6 (ISO 32000-1): lines, and type in Helvetica, one of
// the fonts that every reader has. It asks for printing without scaling.
func writePDF(title string, pages []page) []byte {
	const first = 4 // objects 1 to 3 are the catalogue, the list of pages and the font
	var kids []string
	for i := range pages {
		kids = append(kids, fmt.Sprintf("%d 0 R", first+2*i))
	}
	objects := []string{
		"<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None >> >>",
		fmt.Sprintf("<< /Type /Pages /Count %d /Kids [%s] >>", len(pages), strings.Join(kids, " ")),
		"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>",
	}
	for i, p := range pages {
		content := p.content()
		objects = append(objects,
			fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %s %s] /Resources << /Font << /F 3 0 R >> >> /Contents %d 0 R >>",
				number(p.WidthMM*pointsPerMM), number(p.HeightMM*pointsPerMM), first+2*i+1),
			fmt.Sprintf("<< /Length %d >>\nstream\n%s\nendstream", len(content), content))
	}
	objects = append(objects, "<< /Title "+literal(title)+" /Producer "+literal(Mark)+" >>")
	return assemble(objects)
}

// assemble numbers objects from 1 and writes them with the table of where they
// are; the first is the catalogue, the last tells about the file.
func assemble(objects []string) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.6\n%\xE2\xE3\xCF\xD3\n")
	var at []int
	for i, o := range objects {
		at = append(at, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for _, offset := range at {
		fmt.Fprintf(&b, "%010d 00000 n \n", offset)
	}
	fmt.Fprintf(&b, "trailer\n<< /Size %d /Root 1 0 R /Info %d 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, len(objects), table)
	return b.Bytes()
}

// content is a page's drawing: the numbers in it are mm, from the upper left.
func (p page) content() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%.9f 0 0 -%.9[1]f 0 %s cm\n", pointsPerMM, number(p.HeightMM*pointsPerMM))
	w := p.Window
	fmt.Fprintf(&b, "q\n1 0 0 1 %s %s cm\n", number(p.At.X-w.Min.X), number(p.At.Y-w.Min.Y))
	fmt.Fprintf(&b, "%s %s %s %s re W n\n", number(w.Min.X), number(w.Min.Y), number(w.Max.X-w.Min.X), number(w.Max.Y-w.Min.Y))
	for _, s := range p.Tile {
		b.WriteString(operators(s))
	}
	b.WriteString("Q\n")
	for _, s := range p.Margin {
		b.WriteString(operators(s))
	}
	return b.String()
}

// operators draws one shape.
func operators(s Shape) string {
	switch s := s.(type) {
	case Line:
		return s.Pen.set(none) + fmt.Sprintf("%s %s m %s %s l S\n", number(s.A.X), number(s.A.Y), number(s.B.X), number(s.B.Y))
	case Poly:
		return s.Pen.set(s.Fill) + along(s.Points) + "h " + s.Pen.paint(s.Fill) + "\n"
	case Path:
		return s.Pen.set(none) + along(s.Points) + "S\n"
	case Circle:
		return s.Pen.set(none) + round(s.At, s.RadiusMM) + "S\n"
	case Text:
		return s.operators()
	}
	panic("a shape that no drawing has")
}

// along goes from point to point.
func along(points []Point) string {
	var b strings.Builder
	for i, p := range points {
		fmt.Fprintf(&b, "%s %s %c ", number(p.X), number(p.Y), "ml"[min(i, 1)])
	}
	return b.String()
}

// round is a circle as four cubic curves, at most 0.03 % of the radius off.
func round(c Point, r float64) string {
	const k = 0.5522847498 // 4/3·(√2 − 1)
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s m ", number(c.X+r), number(c.Y))
	x, y := 1.0, 0.0
	for range 4 {
		u, v := -y, x // a quarter turn on
		for _, p := range [3]Point{{x + k*u, y + k*v}, {u + k*x, v + k*y}, {u, v}} {
			fmt.Fprintf(&b, "%s %s ", number(c.X+r*p.X), number(c.Y+r*p.Y))
		}
		b.WriteString("c ")
		x, y = u, v
	}
	return b.String()
}

func (t Text) operators() string {
	w := width(t.Words, t.SizeMM)
	before := map[Anchor]float64{Start: 0, Middle: w / 2, End: w}[t.Anchor]
	// The page's own y runs down, so letters are turned over.
	matrix, at := "1 0 0 -1", t.At.plus(-before, 0)
	if t.Up {
		matrix, at = "0 -1 -1 0", t.At.plus(0, before)
	}
	return fmt.Sprintf("BT %s rg /F %s Tf %s %s %s Tm %s Tj ET\n", t.Colour.parts(), number(t.SizeMM), matrix, number(at.X), number(at.Y), literal(t.Words))
}

func (p Pen) set(fill Colour) string {
	text := ""
	if fill != none {
		text = fill.parts() + " rg "
	}
	if p.Colour == none {
		return text
	}
	return text + fmt.Sprintf("%s RG %s w [%s] 0 d ", p.Colour.parts(), number(p.WidthMM), numbers(p.Dash))
}

func (p Pen) paint(fill Colour) string {
	switch {
	case fill == none:
		return "S"
	case p.Colour == none:
		return "f"
	}
	return "B"
}

func (c Colour) parts() string {
	return fmt.Sprintf("%.3f %.3f %.3f", float64(c>>16&255)/255, float64(c>>8&255)/255, float64(c&255)/255)
}

// winAnsi are letters beyond Latin-1 that the font's encoding has (ISO 32000-1,
// annex D), and the nearest to some that it has not.
var winAnsi = map[rune]byte{'−': '-', '–': 0x96, '—': 0x97, '…': 0x85, '’': 0x92, '‘': 0x91, '“': 0x93, '”': 0x94, '€': 0x80}

// literal is a text as PDF writes it; letters that the font has not are "?".
func literal(text string) string {
	var b strings.Builder
	b.WriteByte('(')
	for _, r := range text {
		c, known := winAnsi[r]
		switch {
		case known:
		case r >= ' ' && r <= '~' || r >= 0xA0 && r <= 0xFF:
			c = byte(r)
		default:
			c = '?'
		}
		if c == '(' || c == ')' || c == '\\' {
			b.WriteByte('\\')
		}
		b.WriteByte(c)
	}
	b.WriteByte(')')
	return b.String()
}
