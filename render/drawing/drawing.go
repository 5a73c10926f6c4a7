// Package drawing draws templates to work from: the strip with the levels to pour
// to, the base board, the walls, how the boards lie on their sheets, and the cut. All but
// the sheets are true to size. It computes nothing about the mold, only reads the plan.
//
// Each drawing is one list of lines, polygons, circles and texts in mm on paper,
// from which an SVG of the whole and a PDF parted over pages are written.
package drawing

import (
	"math"
	"slices"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// File is one file to write.
type File struct {
	Name string
	Data []byte
}

// Files draws all templates of a plan, in the units of a style: NAME.svg for each
// drawing, and PDFs of those that are printed together. The same plan gives the same
// bytes. What the plan does not know is not drawn.
func Files(p *analysis.Plan, show say.Style) []File {
	var files []File
	for _, set := range sets(p, show) {
		var pages []page
		for _, d := range set.drawings {
			files = append(files, File{d.Name + ".svg", d.SVG()})
			pages = append(pages, d.pages()...)
		}
		if len(set.drawings) > 0 {
			files = append(files, File{set.name + ".pdf", writePDF(p.Name+": "+set.title, pages)})
		}
	}
	return files
}

// set is drawings that are printed together.
type set struct {
	name, title string
	drawings    []Drawing
}

func sets(p *analysis.Plan, show say.Style) []set {
	if p.TwoPart != nil { // nothing is glued to the board, and nothing is cut
		return []set{
			{"strip", "level strips", drawStrip(p, show)},
			{"bed", "bed of clay", drawBed(p, show)},
			{"panels", "walls to cut", drawPanels(p, show)},
			{"sheets", "boards on their sheets", drawSheets(p, show)},
		}
	}
	return []set{
		{"strip", "level strip", drawStrip(p, show)},
		{"base", "base board", drawBase(p, show)},
		{"panels", "walls to cut", drawPanels(p, show)},
		{"sheets", "boards on their sheets", drawSheets(p, show)},
		{"cut", "cut of the block", drawCut(p, show)},
	}
}

// sketch is a drawing in the making.
type sketch struct {
	Drawing
	show say.Style
}

// borderMM is the white around a drawing.
const borderMM = 2

func newSketch(p *analysis.Plan, show say.Style, name, title string) *sketch {
	return &sketch{Drawing{Name: name, Title: title, Job: p.Name}, show}
}

func (s *sketch) add(shapes ...Shape) { s.Shapes = append(s.Shapes, shapes...) }

// done sets the size of the paper to what is drawn.
func (s *sketch) done() []Drawing {
	for _, shape := range s.Shapes {
		for _, e := range shape.edges() {
			s.WidthMM = max(s.WidthMM, e[0].X+borderMM)
			s.HeightMM = max(s.HeightMM, e[0].Y+borderMM)
		}
	}
	return []Drawing{s.Drawing}
}

// drawable tells whether lengths are positive and of this world.
func drawable(mm ...float64) bool {
	return !slices.ContainsFunc(mm, func(x float64) bool { return !(x > 0) || x > largestMM })
}

// largestMM is the largest drawing that makes sense on paper.
const largestMM = 20000

// Type sizes, mm.
const (
	titleMM = 6
	nameMM  = 3.8
	bodyMM  = 3.0
	smallMM = 2.5
	lineGap = 1.4 // from line to line, in sizes
)

// head writes title, name of the job, notes and the measures to check the print by,
// from a corner on, and returns where it ends.
func (s *sketch) head(at Point, wide float64, notes ...string) (bottom float64) {
	s.checkSquare(at)
	right := at.plus(checkMM+7, 0)
	long := wide - checkMM - 7
	s.add(Text{right.plus(0, 5), titleMM, fit(s.Title, titleMM, long), Start, false, ink, "title"},
		Text{right.plus(0, 10.5), nameMM, fit(s.Job, nameMM, long), Start, false, shade, "job"})
	y := s.paragraphs(right.plus(0, 16.5), bodyMM, long, notes)
	y = max(y, at.Y+33)
	s.add(measure(Point{right.X, y + 4}, 80, 10, "scale-mm")...)
	s.add(measure(Point{right.X, y + 13}, 3*mmPerInch, mmPerInch/4, "scale-in")...)
	s.add(Text{Point{right.X + 82, y + 4}, smallMM, "80 mm", Start, false, ink, ""},
		Text{Point{right.X + 82, y + 13}, smallMM, "3 in", Start, false, ink, ""})
	return max(at.Y+checkMM, y+14) + 5
}

const (
	checkMM   = 50
	mmPerInch = 25.4
	headMM    = 184 // a head as wide as a page
)

// checkSquare is measured before anything is cut. 50 mm is 1.9685 in, 1 31/32 in to
// a hundredth of a millimetre.
func (s *sketch) checkSquare(at Point) {
	square := corners(Rect{at, at.plus(checkMM, checkMM)})
	square.Pen, square.Class = edgePen, "check-square"
	s.add(square)
	for i, line := range []string{"Measure this square", "before you cut:", "50 mm", "(1 31/32 in)", "on every side"} {
		size := bodyMM
		if i == 2 {
			size = 5
		}
		s.add(Text{at.plus(checkMM/2, 14+5.8*float64(i)), size, line, Middle, false, ink, ""})
	}
}

// paragraphs writes notes below each other, and returns where they end.
func (s *sketch) paragraphs(at Point, size, long float64, notes []string) float64 {
	y := at.Y
	for _, note := range notes {
		for _, line := range wrap(note, size, long) {
			s.add(Text{Point{at.X, y}, size, line, Start, false, ink, "note"})
			y += size * lineGap
		}
		y += size * 0.35
	}
	return y
}

// place adds the first of some texts that lies clear of all texts before it, and of
// the lines too when lines is true. It tells whether there was one.
func (s *sketch) place(lines bool, tries ...Text) bool {
	for _, t := range tries {
		if s.clear(t.box().grown(0.4), lines) {
			s.add(t)
			return true
		}
	}
	return false
}

func (s *sketch) clear(r Rect, lines bool) bool {
	for _, shape := range s.Shapes {
		if t, isText := shape.(Text); isText {
			if r.overlaps(t.box()) {
				return false
			}
		} else if lines && slices.ContainsFunc(shape.edges(), r.crosses) {
			return false
		}
	}
	return true
}

// arrow draws a line with a head at its end.
func (s *sketch) arrow(from, to Point, pen Pen, headMM float64, class string) {
	d := math.Hypot(to.X-from.X, to.Y-from.Y)
	if d == 0 {
		return
	}
	u := Point{(to.X - from.X) / d, (to.Y - from.Y) / d}
	back := to.plus(-headMM*u.X, -headMM*u.Y)
	side := headMM * 0.32
	s.add(Line{from, back, pen, class},
		Poly{[]Point{to, back.plus(-side*u.Y, side*u.X), back.plus(side*u.Y, -side*u.X)}, Pen{}, pen.Colour, class + "-head"})
}

// fileName is a name that is one on every system: small letters, digits and dashes.
func fileName(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9')
	})
	return strings.Join(words, "-")
}
