package drawing

import (
	"fmt"
	"math"
	"strconv"
)

// A page is what A4 (210 × 297 mm) and Letter (215.9 × 279.4 mm) have in common, so
// that it comes out whole and true to size on both.
const (
	paperShortMM = 210
	paperLongMM  = 279.4
	marginMM     = 10 // most printers leave less white
	footMM       = 12 // below the drawing, for what the page is
	overlapMM    = 10 // of neighbouring pages
)

// page is a part of a drawing on paper.
type page struct {
	WidthMM, HeightMM float64
	Window            Rect  // the part of the drawing
	At                Point // where its upper left corner lies on the paper
	Tile              []Shape
	Margin            []Shape // on the paper itself
}

// layout is how a drawing is parted over pages.
type layout struct {
	drawing           Drawing
	widthMM, heightMM float64 // of the paper
	columns, rows     int
	kept              [][]bool // by row and column; those with nothing on them are left out
}

// pages parts a drawing over pages, upright or lying, whichever takes fewer.
func (d Drawing) pages() []page {
	l, lying := d.layOut(paperShortMM, paperLongMM), d.layOut(paperLongMM, paperShortMM)
	if lying.count() < l.count() {
		l = lying
	}
	joints := l.joints()
	var all []page
	for r := range l.rows {
		for c := range l.columns {
			if !l.kept[r][c] {
				continue
			}
			p := page{WidthMM: l.widthMM, HeightMM: l.heightMM, Window: l.window(r, c), At: Point{marginMM, marginMM}}
			for _, s := range append(append([]Shape{}, d.Shapes...), joints...) {
				if p.Window.touches(s) {
					p.Tile = append(p.Tile, s)
				}
			}
			p.Margin = l.foot(r, c, len(all)+1)
			all = append(all, p)
		}
	}
	return all
}

func (d Drawing) layOut(widthMM, heightMM float64) layout {
	l := layout{drawing: d, widthMM: widthMM, heightMM: heightMM}
	w, h := l.windowSize()
	steps := func(size, window float64) int {
		return max(1, int(math.Ceil((size-overlapMM)/(window-overlapMM)-1e-9)))
	}
	l.columns, l.rows = steps(d.WidthMM, w), steps(d.HeightMM, h)
	for r := range l.rows {
		l.kept = append(l.kept, make([]bool, l.columns))
		for c := range l.columns {
			for _, s := range d.Shapes {
				l.kept[r][c] = l.kept[r][c] || l.window(r, c).touches(s)
			}
		}
	}
	return l
}

func (l layout) windowSize() (w, h float64) {
	return l.widthMM - 2*marginMM, l.heightMM - 2*marginMM - footMM
}

func (l layout) window(row, column int) Rect {
	w, h := l.windowSize()
	at := Point{float64(column) * (w - overlapMM), float64(row) * (h - overlapMM)}
	return Rect{at, at.plus(w, h)}
}

func (l layout) count() int {
	n := 0
	for _, row := range l.kept {
		for _, kept := range row {
			if kept {
				n++
			}
		}
	}
	return n
}

// diamondMM is half the size of a joining mark.
const diamondMM = 3.5

// joints are the lines along which pages are joined, in the middle of the overlap,
// with numbered diamonds that meet when the pages lie right.
func (l layout) joints() []Shape {
	var all []Shape
	n := 0
	add := func(a, b Point) {
		all = append(all, Line{a, b, Pen{shade, 0.2, []float64{1, 2}}, "join"})
		for _, share := range [2]float64{0.25, 0.75} {
			n++
			all = append(all, diamond(l.quiet(a, b, share), n)...)
		}
	}
	for r := range l.rows {
		for c := range l.columns {
			w := l.window(r, c)
			x, y := w.Min.X+overlapMM/2, w.Min.Y+overlapMM/2
			if c > 0 && l.kept[r][c] && l.kept[r][c-1] {
				add(Point{x, w.Min.Y}, Point{x, min(w.Max.Y, l.drawing.HeightMM)})
			}
			if r > 0 && l.kept[r][c] && l.kept[r-1][c] {
				add(Point{w.Min.X, y}, Point{min(w.Max.X, l.drawing.WidthMM), y})
			}
		}
	}
	return all
}

// quiet is a place on the way from a to b, near a share of it, where no text is.
func (l layout) quiet(a, b Point, share float64) Point {
	at := func(t float64) Point { return Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)} }
	for k := range 12 {
		for _, sign := range [2]float64{1, -1} {
			p := at(share + sign*0.02*float64(k))
			around := Rect{p, p}.grown(diamondMM + 0.5)
			clear := true
			for _, s := range l.drawing.Shapes {
				if t, isText := s.(Text); isText && around.overlaps(t.box()) {
					clear = false
				}
			}
			if clear {
				return p
			}
		}
	}
	return at(share)
}

func diamond(at Point, number int) []Shape {
	const r = diamondMM
	return []Shape{
		Poly{Points: []Point{at.plus(0, -r), at.plus(r, 0), at.plus(0, r), at.plus(-r, 0)}, Pen: Pen{ink, 0.25, nil}, Class: "join-mark"},
		Text{At: at.plus(0, 1.1), SizeMM: 3, Words: strconv.Itoa(number), Anchor: Middle, Colour: ink, Class: "join-number"},
	}
}

// foot tells below the drawing which page this is, and holds a measure.
func (l layout) foot(row, column, number int) []Shape {
	d, n := l.drawing, l.count()
	top, left, right := l.heightMM-marginMM-footMM, float64(marginMM), l.widthMM-marginMM
	const barMM = 50
	bar := right - barMM - 1
	all := []Shape{Line{Point{left, top + 1}, Point{right, top + 1}, thinPen, "foot"}}
	all = append(all, measure(Point{bar, top + 8}, barMM, 10, "page-measure")...)
	all = append(all, Text{Point{bar + barMM/2, top + 5.4}, 2.4, "50 mm on every page", Middle, false, shade, ""})
	where := "one page"
	if n > 1 {
		where = fmt.Sprintf("page %d of %d", number, n)
		if l.rows > 1 && l.columns > 1 {
			where += fmt.Sprintf(" (row %d, column %d)", row+1, column+1)
		}
	}
	text := left
	if n > 1 {
		all = append(all, l.chart(Point{left, top + 2.5}, row, column)...)
		text += 18
	}
	how := "Print at 100 %, not fitted to the page. Fits A4 and Letter."
	if n > 1 {
		how += " Cut on a dotted line, lay it on the next page's, diamond on diamond."
	}
	long := bar - 5 - text
	all = append(all, Text{Point{text, top + 5.4}, 2.8, fit(d.Job+" · "+d.Title+" · "+where, 2.8, long), Start, false, ink, ""})
	for i, line := range wrap(how, 2.3, long) {
		all = append(all, Text{Point{text, top + 8.6 + 2.9*float64(i)}, 2.3, line, Start, false, shade, ""})
	}
	return all
}

// chart is a small plan of the pages with this one filled.
func (l layout) chart(at Point, row, column int) []Shape {
	var all []Shape
	cell := min(4, 16/float64(l.columns), 9/float64(l.rows))
	for r := range l.rows {
		for c := range l.columns {
			if !l.kept[r][c] {
				continue
			}
			p := corners(Rect{at.plus(cell*float64(c), cell*float64(r)), at.plus(cell*float64(c+1), cell*float64(r+1))})
			p.Pen = thinPen
			if r == row && c == column {
				p.Fill = ink
			}
			all = append(all, p)
		}
	}
	return all
}

// measure is a line of a length with a tick at each step.
func measure(at Point, lengthMM, stepMM float64, class string) []Shape {
	all := []Shape{Line{at, at.plus(lengthMM, 0), edgePen, class}}
	for k := 0; float64(k)*stepMM <= lengthMM+1e-9; k++ {
		x := float64(k) * stepMM
		all = append(all, Line{at.plus(x, -1.5), at.plus(x, 0), edgePen, class + "-tick"})
	}
	return all
}
