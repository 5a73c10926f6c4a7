package drawing

import (
	"pourwright/analysis"
	"pourwright/render/say"
)

// drawCut draws what the block is cut by: the face of the cut, and the faces of the
// block with the lines that the cut enters them along.
func drawCut(p *analysis.Plan, show say.Style) []Drawing {
	face, ok := CutFace(p, show)
	if !ok {
		return nil
	}
	return append([]Drawing{face}, drawBlockFaces(p, show)...)
}

// CutFace draws the face of the cut true to size. It tells whether the plan has one.
func CutFace(p *analysis.Plan, show say.Style) (Drawing, bool) {
	f, ok := newCutFace(p, show)
	if !ok {
		return Drawing{}, false
	}
	top := f.head(Point{borderMM, borderMM}, headMM, f.notes()...)
	top = f.legend(Point{borderMM, top + 1})
	f.origin = Point{borderMM + aroundMM - f.bounds.Min.X, top + aroundMM + f.bounds.Max.Y}
	if wide := f.bounds.Max.X - f.bounds.Min.X + 2*aroundMM; wide < headMM {
		f.origin.X += (headMM - wide) / 2
	}
	f.draw()
	return f.done()[0], true
}

// newCutFace lays the cut of a plan flat.
func newCutFace(p *analysis.Plan, show say.Style) (*cutFace, bool) {
	un, ok := newUnroller(&p.Cut)
	if !ok || !drawableCut(p, un) {
		return nil, false
	}
	f := &cutFace{sketch: newSketch(p, show, "cut-face", "Face of the cut"), unroller: un, plan: p}
	f.lay()
	return f, true
}

// aroundMM is what is left around the block for figures and names.
const aroundMM = 24

// drawableCut tells whether the cut's figures are of this world.
func drawableCut(p *analysis.Plan, un *unroller) bool {
	r := bounds(un.flats(p.Cut.Rim))
	return drawable(p.Box.RubberLevelMM, r.Max.X-r.Min.X, r.Max.Y-r.Min.Y)
}

// cutFace is the face of the cut on paper.
type cutFace struct {
	*sketch
	*unroller
	plan   *analysis.Plan
	origin Point // where the cut's own point lies on the paper

	// All laid flat, +y up.
	bounds  Rect
	rim     []Point
	pattern [][]Point // loops
	lands   []flatLine
	keys    []flatLine
	slit    []Point
	hinge   []Point
	stop    *[2]Point
}

// flatLine is a line of the cut, laid flat.
type flatLine struct {
	points []Point
	closed bool
}

// lay lays the plan's lines flat.
func (f *cutFace) lay() {
	c := &f.plan.Cut
	f.rim = f.flats(c.Rim)
	f.bounds = bounds(f.rim)
	for _, loop := range c.Outline {
		if len(loop) > 2 {
			f.pattern = append(f.pattern, f.flats(loop))
		}
	}
	for _, l := range c.Land {
		f.lands = append(f.lands, flatLine{f.flats(l.Points), l.Closed})
	}
	for _, k := range c.KeyLines {
		f.keys = append(f.keys, flatLine{f.flats(k.Points), k.Closed})
	}
	f.slit = f.flats(c.Slit.Path)
	if h := c.Hinge; h != nil {
		f.hinge = f.flats(h.Path)
		if h.Stop != nil {
			f.stop = &[2]Point{f.flat(h.Stop[0]), f.flat(h.Stop[1])}
		}
	}
}

// paper is where a flat point lies on the paper.
func (f *cutFace) paper(p Point) Point { return f.origin.plus(p.X, -p.Y) }

// unpaper is the flat point that lies at a place on the paper.
func (f *cutFace) unpaper(p Point) Point { return Point{p.X - f.origin.X, f.origin.Y - p.Y} }

func (f *cutFace) papers(points []Point) []Point {
	all := make([]Point, len(points))
	for i, p := range points {
		all[i] = f.paper(p)
	}
	return all
}

// line draws a line of the cut.
func (f *cutFace) line(l flatLine, pen Pen, class string) {
	points := f.papers(l.points)
	if len(points) < 2 {
		return
	}
	if l.closed {
		f.add(Poly{points, pen, none, class})
		return
	}
	f.add(Path{points, pen, class})
}
