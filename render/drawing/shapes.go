package drawing

import "math"

// Point is a place on the paper, in mm from its left and its upper edge.
type Point struct{ X, Y float64 }

func (p Point) plus(dx, dy float64) Point { return Point{p.X + dx, p.Y + dy} }

// Colour is red, green and blue, a byte each; 0 draws nothing.
type Colour uint32

// The look shared by all our pictures and paper, in tones that still tell apart
// when they are printed in black and white.
const (
	none  Colour = 0
	ink   Colour = 0x22303A
	shade Colour = 0x616A70 // second text: ink, a third towards paper
	deep  Colour = 0x638E84 // rubber: sea-glass, a third towards ink
	blue  Colour = 0x2F5D8C // cut
	amber Colour = 0x8B702F // spout and posts: lamp, half towards ink
	tint  Colour = 0xE9F2EF // a filler's foot, a part that is cut through: sea-glass, mostly white
	glow  Colour = 0xFBF3E0 // a spout's opening: lamp, mostly white
	paper Colour = 0xFFFFFF
)

// Pen draws a line.
type Pen struct {
	Colour  Colour
	WidthMM float64
	Dash    []float64 // lengths of stroke and gap, mm; nil: one stroke
}

// The pens. Dashes tell lines apart without colour.
var (
	edgePen  = Pen{Colour: ink, WidthMM: 0.35}
	thinPen  = Pen{Colour: shade, WidthMM: 0.18}
	boldPen  = Pen{Colour: ink, WidthMM: 0.6}
	cutPen   = Pen{Colour: blue, WidthMM: 0.4, Dash: []float64{6, 1.5, 1, 1.5}}
	fillPen  = Pen{Colour: deep, WidthMM: 0.4, Dash: []float64{5, 2}}
	scorePen = Pen{Colour: ink, WidthMM: 0.35, Dash: []float64{2, 1.2}}
	holePen  = Pen{Colour: amber, WidthMM: 0.4}
)

// Shape is a Line, Path, Poly, Circle or Text. Its class says what it is, in the SVG too.
type Shape interface {
	// edges are the straight lines that a shape is drawn with; of a circle those of a
	// polygon, of a text those of the box around it.
	edges() [][2]Point
}

// Line is a straight line.
type Line struct {
	A, B  Point
	Pen   Pen
	Class string
}

// Path is a line with bends.
type Path struct {
	Points []Point
	Pen    Pen
	Class  string
}

// Poly is a polygon.
type Poly struct {
	Points []Point
	Pen    Pen
	Fill   Colour
	Class  string
}

// Circle is a circle.
type Circle struct {
	At       Point
	RadiusMM float64
	Pen      Pen
	Class    string
}

// Anchor says which point of a text lies at its place.
type Anchor int

// The anchors, all on the line that letters stand on.
const (
	Start Anchor = iota
	Middle
	End
)

// Text is a line of type.
type Text struct {
	At     Point
	SizeMM float64
	Words  string
	Anchor Anchor
	Up     bool // reads from below to above
	Colour Colour
	Class  string
}

func (l Line) edges() [][2]Point { return [][2]Point{{l.A, l.B}} }

func (p Path) edges() [][2]Point {
	var all [][2]Point
	for i := 1; i < len(p.Points); i++ {
		all = append(all, [2]Point{p.Points[i-1], p.Points[i]})
	}
	return all
}

func (p Poly) edges() [][2]Point {
	var all [][2]Point
	for i, a := range p.Points {
		all = append(all, [2]Point{a, p.Points[(i+1)%len(p.Points)]})
	}
	return all
}

// circleSides is how many sides stand for a circle where edges are asked for.
const circleSides = 48

func (c Circle) edges() [][2]Point {
	var p Poly
	for k := range circleSides {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / circleSides)
		p.Points = append(p.Points, c.At.plus(c.RadiusMM*cos, c.RadiusMM*sin))
	}
	return p.edges()
}

func (t Text) edges() [][2]Point { return corners(t.box()).edges() }

// corners is the rectangle as a polygon.
func corners(r Rect) Poly {
	return Poly{Points: []Point{r.Min, {r.Max.X, r.Min.Y}, r.Max, {r.Min.X, r.Max.Y}}}
}

// Rect is an upright rectangle.
type Rect struct{ Min, Max Point }

func (r Rect) grown(by float64) Rect { return Rect{r.Min.plus(-by, -by), r.Max.plus(by, by)} }

func (r Rect) overlaps(o Rect) bool {
	return r.Min.X < o.Max.X && o.Min.X < r.Max.X && r.Min.Y < o.Max.Y && o.Min.Y < r.Max.Y
}

// holds tells whether o lies in r.
func (r Rect) holds(o Rect) bool {
	return o.Min.X >= r.Min.X && o.Max.X <= r.Max.X && o.Min.Y >= r.Min.Y && o.Max.Y <= r.Max.Y
}

// crosses tells whether a straight line has a part in r (Liang and Barsky's
// clipping, 1984, from memory).
func (r Rect) crosses(e [2]Point) bool {
	from, to := 0.0, 1.0
	d := Point{e[1].X - e[0].X, e[1].Y - e[0].Y}
	for _, side := range [4][2]float64{{-d.X, e[0].X - r.Min.X}, {d.X, r.Max.X - e[0].X}, {-d.Y, e[0].Y - r.Min.Y}, {d.Y, r.Max.Y - e[0].Y}} {
		along, room := side[0], side[1]
		switch {
		case along == 0 && room < 0:
			return false
		case along < 0:
			from = max(from, room/along)
		case along > 0:
			to = min(to, room/along)
		}
	}
	return from <= to
}

// touches tells whether any line of a shape has a part in r, or its fill may have.
func (r Rect) touches(s Shape) bool {
	if p, ok := s.(Poly); ok && p.Fill != none {
		return r.overlaps(bounds(p.Points))
	}
	for _, e := range s.edges() {
		if r.crosses(e) {
			return true
		}
	}
	return false
}

// bounds is the smallest upright rectangle around points.
func bounds(points []Point) Rect {
	r := Rect{points[0], points[0]}
	for _, p := range points {
		r.Min = Point{min(r.Min.X, p.X), min(r.Min.Y, p.Y)}
		r.Max = Point{max(r.Max.X, p.X), max(r.Max.Y, p.Y)}
	}
	return r
}

// Drawing is one drawing, in the order it is drawn.
type Drawing struct {
	Name              string // of its file, without ending
	Title, Job        string
	WidthMM, HeightMM float64
	Shapes            []Shape
}
