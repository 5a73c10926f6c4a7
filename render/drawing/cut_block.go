package drawing

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/render/say"
)

const (
	faceGapMM   = 17  // around a face, for its measures
	facesWideMM = 372 // of a row of faces: two pages
)

// facePlan is a face of the block on paper.
type facePlan struct {
	*sketch
	blockFace
	plan   *analysis.Plan
	origin Point       // where u = v = 0 lies
	box    Rect        // of the face, u and v
	lines  []entryLine // of the cut
	stop   *Point      // where the knife stops
}

// entryLine is a line on a face, u and v.
type entryLine struct {
	points []Point
	pen    Pen
	class  string
}

// drawBlockFaces draws the faces of the block that the cut enters, with its lines.
func drawBlockFaces(p *analysis.Plan, show say.Style) []Drawing {
	cut, ok := newCutFace(p, show)
	if !ok || !drawable(p.Box.InsideMM[0], p.Box.InsideMM[1]) {
		return nil
	}
	s := newSketch(p, show, "block-faces", "Where the cut enters the block")
	top := s.head(Point{borderMM, borderMM}, headMM, cut.blockNotes()...)
	items := []legendItem{{boldPen, "edge of the block"}, {enterPen, "line to cut along"}}
	if len(cut.cutRim()) > 0 {
		items = append(items, legendItem{wholePen, "left whole: do not cut"})
	}
	top = s.legendRows(Point{borderMM, top + 1}, headMM, append(items, legendItem{thinPen, "measures"}))
	s.layFaces(cut.faces(s), top)
	return s.done()
}

// faces are the faces that the cut enters, walls first.
func (f *cutFace) faces(s *sketch) []*facePlan {
	faces := facesOf(f.plan)
	plans := make([]*facePlan, len(faces))
	put := func(line [][3]float64, closed bool, pen Pen, class string) {
		for _, e := range entries(faces, line, closed) {
			if plans[e.face] == nil {
				plans[e.face] = &facePlan{sketch: s, blockFace: faces[e.face], plan: f.plan}
				plans[e.face].box = plans[e.face].bounds()
			}
			plans[e.face].enter(e.points, pen, class)
		}
	}
	way := f.cutRim()
	if way == nil {
		put(f.plan.Cut.Rim, true, enterPen, "entry")
	} else {
		put(f.plan.Cut.Rim, true, wholePen, "entry")
		var line [][3]float64
		for _, at := range way {
			line = append(line, f.onBlock(at))
		}
		put(line, false, enterPen, "entry-cut")
		at := plans[faceOf(faces, vec(line[0]), vec(line[1]))]
		stop := at.on(line[0])
		at.stop = &stop
	}
	return slices.DeleteFunc(plans, func(f *facePlan) bool { return f == nil })
}

// onBlock is a place of the rim in space.
func (f *cutFace) onBlock(at rimPlace) [3]float64 {
	rim := f.plan.Cut.Rim
	a, b := vec(rim[at.side]), vec(rim[(at.side+1)%len(rim)])
	return array(r3.Add(a, r3.Scale(at.t, r3.Sub(b, a))))
}

// enter lays a line on the face.
func (f *facePlan) enter(points [][3]float64, pen Pen, class string) {
	var line []Point
	for _, q := range points {
		line = append(line, f.next(line, f.on(q)))
	}
	f.lines = append(f.lines, entryLine{line, pen, class})
}

var (
	enterPen = Pen{Colour: blue, WidthMM: 0.8}
	wholePen = Pen{Colour: deep, WidthMM: 0.3, Dash: []float64{1.4, 1.4}}
)

func (f *cutFace) blockNotes() []string {
	p, show := f.plan, f.show
	seen, taken := f.halves()
	notes := []string{
		"Each face as it is seen from outside. Draw its line on the block before you cut; the lines meet at the edges, all the way round.",
		fmt.Sprintf("They part the %s half from the %s half.", seen, taken),
		"Upper edge of the walls: the rubber, " + show.Length(p.Box.RubberLevelMM) + " above the board.",
	}
	if len(f.cutRim()) > 0 {
		notes = append(notes, "Cut along the thick lines only, from the spout to the stop. The rest is the hinge.")
	}
	if p.Box.RadiusMM != nil {
		notes = append(notes, "The wall is rolled out; mark the middle of the front on the block first.")
	}
	return notes
}

// bounds is how far a face reaches, u and v.
func (f *facePlan) bounds() Rect {
	switch f.kind {
	case flatWall:
		_, _, long := f.run()
		return Rect{Max: Point{long, f.levelMM}}
	case roundWall:
		half := math.Pi * f.radius
		return Rect{Point{-half, 0}, Point{half, f.levelMM}}
	}
	return bounds(f.outline())
}

// outline is the edge of a face, u and v, counter-clockwise as it is seen.
func (f *facePlan) outline() []Point {
	if f.kind == flatWall || f.kind == roundWall {
		b := f.box
		return []Point{b.Min, {b.Max.X, b.Min.Y}, b.Max, {b.Min.X, b.Max.Y}}
	}
	var all []Point
	if r := f.plan.Box.RadiusMM; r != nil {
		return []Point{{-*r, -*r}, {*r, -*r}, {*r, *r}, {-*r, *r}}
	}
	for _, q := range f.plan.Box.OutlineMM {
		p := f.on([3]float64{q[0], q[1], 0})
		all = append(all, p)
	}
	if f.kind == lowerFace { // a mirror image
		all = reversed(all)
	}
	return all
}

func reversed(points []Point) []Point {
	all := slices.Clone(points)
	slices.Reverse(all)
	return all
}

// next keeps a line round a tube from jumping where u begins anew.
func (f *facePlan) next(line []Point, p Point) Point {
	if f.kind == roundWall && len(line) > 0 {
		turn := 2 * math.Pi * f.radius
		p.X += turn * math.Round((line[len(line)-1].X-p.X)/turn)
	}
	return p
}

// layFaces lays faces in rows, and draws them.
func (s *sketch) layFaces(all []*facePlan, top float64) {
	x, y, high := float64(borderMM), top, 0.0
	for _, f := range all {
		w, h := f.box.Max.X-f.box.Min.X, f.box.Max.Y-f.box.Min.Y
		wide := max(w+2*faceGapMM, room(f.heading(), nameMM)+4)
		if x+wide > borderMM+facesWideMM && x > borderMM {
			x, y, high = borderMM, y+high, 0
		}
		left := x + (wide-w)/2
		f.origin = Point{left - f.box.Min.X, y + 8 + faceGapMM + f.box.Max.Y}
		s.add(Text{Point{x + 2, y + 4}, nameMM, f.heading(), Start, false, ink, "face-name"})
		f.draw()
		x, high = x+wide, max(high, h+2*faceGapMM+10)
	}
}

// heading names a face with its size.
func (f *facePlan) heading() string {
	name := f.title()
	switch f.kind {
	case roundWall:
		name = "wall, rolled out"
	case lowerFace:
		name = "spout end, from below"
	}
	return name
}

func (f *facePlan) at(p Point) Point { return f.origin.plus(p.X, -p.Y) }

func (f *facePlan) draw() {
	round := f.plan.Box.RadiusMM != nil && f.kind != roundWall
	if round {
		f.add(Circle{f.at(Point{}), *f.plan.Box.RadiusMM, boldPen, "face"})
		f.add(Line{f.at(Point{0, f.frontSign() * *f.plan.Box.RadiusMM}), f.at(Point{0, f.frontSign() * (*f.plan.Box.RadiusMM - 6)}), scorePen, "front-mark"})
	} else {
		var points []Point
		for _, p := range f.outline() {
			points = append(points, f.at(p))
		}
		f.add(Poly{points, boldPen, none, "face"})
	}
	if f.kind == roundWall {
		f.add(Line{f.at(Point{0, 0}), f.at(Point{0, f.levelMM}), scorePen, "front-mark"})
	}
	f.openings()
	for _, line := range f.lines {
		var points []Point
		for _, p := range line.points {
			points = append(points, f.at(p))
		}
		f.add(Path{points, line.pen, line.class})
	}
	for _, line := range f.lines {
		if n := len(line.points); line.class == "entry" && !round {
			f.measureEnd(line.points[0])
			f.measureEnd(line.points[n-1])
		}
	}
	f.stopMark()
	f.words()
}

// frontSign is on which side of a level face the front is, in v.
func (f *facePlan) frontSign() float64 {
	if f.kind == lowerFace {
		return 1
	}
	return -1
}

// openings draws the spout and the vents where they leave the block.
func (f *facePlan) openings() {
	if f.kind != lowerFace {
		return
	}
	hole := func(x, y, diameter float64, class string) {
		if diameter > 0 {
			f.add(Circle{f.at(f.on([3]float64{x, y, 0})), diameter / 2, holePen, class})
		}
	}
	s := spoutOf(f.plan)
	hole(s[0], s[1], f.plan.Stand.SpoutDiameterMM, "spout")
	for _, v := range ventsOf(f.plan) {
		hole(v.BoardMM[0], v.BoardMM[1], v.DiameterMM, "post")
	}
}

// stopMark draws where the knife stops, and says how far up or along that is.
func (f *facePlan) stopMark() {
	if f.stop == nil {
		return
	}
	at := f.at(*f.stop)
	f.add(Line{at.plus(-5, 0), at.plus(5, 0), stopPen, "stop"})
	r := Rect{f.at(Point{f.box.Min.X, f.box.Max.Y}), f.at(Point{f.box.Max.X, f.box.Min.Y})}
	write := func(words string, ys ...float64) {
		var tries []Text
		for _, y := range ys {
			tries = append(tries, Text{at.plus(2, y), bodyMM, words, Start, false, ink, "stop-label"}, Text{at.plus(-2, y), bodyMM, words, End, false, ink, "stop-label"})
		}
		f.placeIn(r, tries...)
	}
	write("STOP HERE", -1.8, -5, 8)
	if f.kind == flatWall || f.kind == roundWall {
		write(f.show.Length(f.stop.Y)+" up", 4, 8, -5)
	}
}

// words writes into a face which way it was up and what lies along its edges.
func (f *facePlan) words() {
	r := Rect{f.at(Point{f.box.Min.X, f.box.Max.Y}), f.at(Point{f.box.Max.X, f.box.Min.Y})}
	mid := Point{(r.Min.X + r.Max.X) / 2, (r.Min.Y + r.Max.Y) / 2}
	inside := func(class string, at Point, up bool, words ...string) {
		var tries []Text
		for _, w := range words {
			for _, size := range []float64{bodyMM, smallMM, 2} {
				for _, aside := range []float64{0, 0.2, -0.2, 0.35, -0.35} {
					p := at.plus(aside*(r.Max.X-r.Min.X), 0)
					if up {
						p = at.plus(0, aside*(r.Max.Y-r.Min.Y))
					}
					tries = append(tries, Text{p, size, w, Middle, up, shade, class})
				}
			}
		}
		f.placeIn(r, tries...)
	}
	if f.kind == flatWall || f.kind == roundWall {
		f.upArrow(r)
		inside("level-label", Point{mid.X, r.Min.Y + 4}, false, "rubber level "+f.show.Length(f.levelMM), "rubber level", "level")
		inside("foot-label", Point{mid.X, r.Max.Y - 2}, false, "spout end, on the board", "spout end")
		inside("outside", Point{mid.X, r.Min.Y + 0.3*(r.Max.Y-r.Min.Y)}, false, "outside of the block", "outside")
		if f.kind == roundWall {
			inside("front-label", f.at(Point{3.5, f.levelMM * 0.75}), true, "middle of the front")
		}
		return
	}
	above, below := "back", "front"
	if f.kind == lowerFace {
		above, below = below, above
	}
	if f.plan.Box.Shape == "faceted" {
		f.facets()
		return
	}
	inside("edge", Point{mid.X, r.Min.Y + 4}, false, above)
	inside("edge", Point{mid.X, r.Max.Y - 2}, false, below)
	inside("edge", Point{r.Min.X + 4, mid.Y}, true, "left")
	inside("edge", Point{r.Max.X - 2, mid.Y}, true, "right")
}

// upArrow draws an arrow that points up on a wall, where it covers no line, as near to
// the middle as that is.
func (f *facePlan) upArrow(r Rect) {
	const columns, wide = 24, 12
	long := min(24, (r.Max.Y-r.Min.Y)*0.3)
	for _, share := range []float64{0.5, 0.3, 0.7, 0.18, 0.82} {
		y := r.Min.Y + share*(r.Max.Y-r.Min.Y)
		for k := range columns {
			aside := float64((k+1)/2) * math.Copysign(1, float64(k%2)-0.5) / (columns + 1)
			x := (r.Min.X+r.Max.X)/2 + aside*(r.Max.X-r.Min.X)
			around := Rect{Point{x - 3, y - long/2 - 2}, Point{x + wide, y + long/2 + 2}}
			if r.holds(around) && f.clear(around, true) {
				f.arrow(Point{x, y + long/2}, Point{x, y - long/2}, edgePen, min(4, long/3), "up")
				f.add(Text{Point{x + 2.5, y + 1}, bodyMM, "UP", Start, false, ink, "up-label"})
				return
			}
		}
	}
}

// facets numbers the facets along the edge of a level face.
func (f *facePlan) facets() {
	outline := f.plan.Box.OutlineMM
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		mid := f.on([3]float64{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, 0})
		if long := math.Hypot(mid.X, mid.Y); long > 0 {
			f.place(true, Text{f.at(mid.plus(-5*mid.X/long, -5*mid.Y/long)).plus(0, 1.2), 3.5, strconv.Itoa(i + 1), Middle, false, shade, "facet"})
		}
	}
}
