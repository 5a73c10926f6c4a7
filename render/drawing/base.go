package drawing

import (
	"fmt"
	"math"
	"strconv"

	"pourwright/analysis"
	"pourwright/render/say"
)

// marginAroundMM is what is drawn around a box whose base board is not known.
const marginAroundMM = 20

// basePlan is the base board on paper, seen from above: x to the right, the back wall
// above.
type basePlan struct {
	*sketch
	plan              *analysis.Plan
	origin            Point      // the middle of the box
	half              [2]float64 // of the inside
	board             [2]float64 // half of the base board; zeros: not known
	thick, boardThick float64    // of walls and board; 0: not known
}

// drawBase draws the base board with all that is marked on it.
func drawBase(p *analysis.Plan, show say.Style) []Drawing {
	if !drawable(p.Box.InsideMM[0], p.Box.InsideMM[1]) {
		return nil
	}
	b := &basePlan{sketch: newSketch(p, show, "base", "Base board from above"), plan: p,
		half: [2]float64{p.Box.InsideMM[0] / 2, p.Box.InsideMM[1] / 2}}
	for _, panel := range p.Box.Panels {
		if panel.Name == baseBoard {
			b.board, b.boardThick = [2]float64{panel.LengthMM / 2, panel.WidthMM / 2}, panel.ThicknessMM
		} else {
			b.thick = panel.ThicknessMM
		}
	}
	around := b.board
	if around[0] == 0 {
		around = [2]float64{b.half[0] + marginAroundMM, b.half[1] + marginAroundMM}
	}
	top := b.head(Point{borderMM, borderMM}, headMM, b.notes()...)
	top = b.paragraphs(Point{borderMM, top}, bodyMM, headMM, b.facts())
	top = b.legend(Point{borderMM, top + 1})
	b.origin = Point{borderMM + around[0], top + around[1]}
	b.fillers()
	b.outlines()
	b.cutLine()
	b.spout()
	b.posts()
	b.wallNames(around)
	b.placeLabels()
	return b.done()
}

func (b *basePlan) notes() []string {
	notes := []string{"Lay it on the board, prick the centres through, and draw round the inside of the box."}
	if b.plan.Box.Shape == "faceted" {
		notes = append(notes, "The strip begins at the corner before facet 1.")
	}
	if b.board[0] > 0 {
		notes = append(notes, "Board: "+b.show.SizeUp([]float64{2 * b.board[0], 2 * b.board[1]})+", "+b.show.Length(b.boardThick)+" thick.")
	}
	return notes
}

// at is a point of the board on paper.
func (b *basePlan) at(x, y float64) Point { return b.origin.plus(x, -y) }

func (b *basePlan) polygon(points [][2]float64) []Point {
	var all []Point
	for _, p := range points {
		all = append(all, b.at(p[0], p[1]))
	}
	return all
}

// block is the rectangle from x0, y0 to x1, y1.
func (b *basePlan) block(x0, y0, x1, y1 float64, pen Pen, class string) {
	p := corners(bounds([]Point{b.at(x0, y0), b.at(x1, y1)}))
	p.Pen, p.Class = pen, class
	b.add(p)
}

// outlines draws the board's edge, the walls and the inside of the box.
func (b *basePlan) outlines() {
	box, t := b.plan.Box, b.thick
	if b.board[0] > 0 {
		b.block(-b.board[0], -b.board[1], b.board[0], b.board[1], edgePen, "board-edge")
	}
	x, y := b.half[0], b.half[1]
	switch {
	case box.RadiusMM != nil:
		if t > 0 {
			b.add(Circle{b.at(0, 0), *box.RadiusMM + t, thinPen, "wall"})
		}
		b.add(Circle{b.at(0, 0), *box.RadiusMM, boldPen, "inside"})
		return
	case box.Shape == "rectangle" && t > 0:
		b.block(-x-t, y, x+t, y+t, thinPen, "wall")
		b.block(-x-t, -y-t, x+t, -y, thinPen, "wall")
		b.block(-x-t, -y, -x, y, thinPen, "wall")
		b.block(x, -y, x+t, y, thinPen, "wall")
	}
	if len(box.OutlineMM) > 2 {
		b.add(Poly{b.polygon(box.OutlineMM), boldPen, none, "inside"})
	}
	if box.Shape == "faceted" {
		b.facetNumbers()
	}
}

// facetNumbers numbers the facets as on the strip that they are bent from.
func (b *basePlan) facetNumbers() {
	const outsideMM = 5
	outline := b.plan.Box.OutlineMM
	for i, w := range b.sides() {
		a, c := outline[i], outline[(i+1)%len(outline)]
		at := b.at((a[0]+c[0])/2+outsideMM*w[0], (a[1]+c[1])/2+outsideMM*w[1])
		b.add(Text{at.plus(0, 1.3), 3.5, strconv.Itoa(i + 1), Middle, false, shade, "facet"})
	}
}

func (b *basePlan) fillers() {
	for _, f := range b.plan.Box.Fillers {
		if len(f.FootMM) > 2 {
			b.add(Poly{b.polygon(f.FootMM), Pen{deep, 0.3, nil}, tint, "filler"})
		}
	}
}

// cutLine draws where an upright cut meets the board, inside the box.
func (b *basePlan) cutLine() {
	ends, ok := b.cutEnds()
	if ok {
		b.add(Line{b.at(ends[0][0], ends[0][1]), b.at(ends[1][0], ends[1][1]), cutPen, "cut"})
	}
}

// cutEnds clips the cut's line on the board to the inside of the box.
func (b *basePlan) cutEnds() (ends [2][2]float64, ok bool) {
	n, p := b.plan.Cut.Normal, b.plan.Cut.PointMM
	flat := math.Hypot(n[0], n[1])
	if !(flat > 0.5) {
		return ends, false
	}
	// The point of the line next to the point of the cut, and its direction.
	drop := n[2] * p[2] / (flat * flat)
	x, y := p[0]+drop*n[0], p[1]+drop*n[1]
	dx, dy := -n[1]/flat, n[0]/flat
	from, to := math.Inf(-1), math.Inf(1)
	for _, w := range b.sides() {
		toward, room := w[0]*dx+w[1]*dy, w[2]-w[0]*x-w[1]*y
		switch {
		case math.Abs(toward) < 1e-12 && room < 0:
			return ends, false
		case toward > 1e-12:
			to = min(to, room/toward)
		case toward < -1e-12:
			from = max(from, room/toward)
		}
	}
	if !(to > from) || math.IsInf(from, 0) || math.IsInf(to, 0) {
		return ends, false
	}
	return [2][2]float64{{x + from*dx, y + from*dy}, {x + to*dx, y + to*dy}}, true
}

// sides are the walls as lines: outward normal and distance; of a tube those of a
// polygon around it.
func (b *basePlan) sides() (all [][3]float64) {
	box := b.plan.Box
	if box.RadiusMM != nil {
		for k := range 360 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 180)
			all = append(all, [3]float64{cos, sin, *box.RadiusMM})
		}
		return all
	}
	for i, a := range box.OutlineMM {
		c := box.OutlineMM[(i+1)%len(box.OutlineMM)]
		dx, dy := c[0]-a[0], c[1]-a[1]
		if long := math.Hypot(dx, dy); long > 0 {
			n := [2]float64{dy / long, -dx / long}
			all = append(all, [3]float64{n[0], n[1], n[0]*a[0] + n[1]*a[1]})
		}
	}
	return all
}

// wallNames writes the names of the walls and the inside size between box and edge.
func (b *basePlan) wallNames(around [2]float64) {
	x, y := b.half[0]+b.thick, b.half[1]+b.thick
	gap := [2]float64{around[0] - x, around[1] - y}
	size := min(4.5, min(gap[0], gap[1])*0.4)
	b.add(
		Text{b.at(0, -y-gap[1]*0.7), size, "FRONT", Middle, false, shade, "wall-name"},
		Text{b.at(0, y+gap[1]*0.55), size, "BACK", Middle, false, shade, "wall-name"},
		Text{b.at(-x-gap[0]*0.55, 0), size, "LEFT", Middle, true, shade, "wall-name"},
		Text{b.at(x+gap[0]*0.7, 0), size, "RIGHT", Middle, true, shade, "wall-name"},
	)
	b.span(-b.half[0], b.half[0], -y-gap[1]*0.22, false)
	b.span(-b.half[1], b.half[1], -x-gap[0]*0.22, true)
}

// span is an inside length, drawn outside the walls: along x at a height y, or along y.
func (b *basePlan) span(from, to, across float64, up bool) {
	middle := Point{(from + to) / 2, across}
	a, c := b.at(from, across), b.at(to, across)
	if up {
		a, c, middle = b.at(across, from), b.at(across, to), Point{across, (from + to) / 2}
	}
	b.add(Line{a, c, thinPen, "inside-span"})
	for _, end := range []Point{a, c} {
		tick := Line{end.plus(0, -1.5), end.plus(0, 1.5), thinPen, "span-end"}
		if up {
			tick = Line{end.plus(-1.5, 0), end.plus(1.5, 0), thinPen, "span-end"}
		}
		b.add(tick)
	}
	words := "inside " + b.show.Length(to-from)
	label := b.at(middle.X, middle.Y)
	if up {
		b.add(Text{label.plus(-1.2, 0), smallMM, words, Middle, true, ink, "inside-label"})
		return
	}
	b.add(Text{label.plus(0, 3.4), smallMM, words, Middle, false, ink, "inside-label"})
}

// legend shows what each kind of line is.
func (b *basePlan) legend(at Point) float64 {
	items := []struct {
		pen   Pen
		words string
	}{{boldPen, "inside of the box"}, {cutPen, "cut"}, {holePen, "spout and posts"}, {thinPen, "walls, measures"}}
	x := at.X
	for _, item := range items {
		b.add(Line{Point{x, at.Y - 0.9}, Point{x + 14, at.Y - 0.9}, item.pen, "legend"},
			Text{Point{x + 15.5, at.Y}, smallMM, item.words, Start, false, shade, ""})
		x += 15.5 + room(item.words, smallMM) + 7
	}
	return at.Y + 5
}

// facts are the figures of spout, posts and fillers in words.
func (b *basePlan) facts() []string {
	spout := b.spoutAt()
	d := b.plan.Stand.SpoutDiameterMM
	what := "Spout"
	if b.plan.Stand.StemMM > 0 {
		what = "Stem, " + b.show.Length(b.plan.Stand.StemMM) + " high"
	}
	facts := []string{fmt.Sprintf("%s: %s across; its centre %s.", what, b.show.Length(d), b.fromTwoWalls(spout[0], spout[1]))}
	for _, v := range b.vents() {
		text := fmt.Sprintf("Post %d: %s across, %s long; its foot %s", v.Post, b.show.Length(v.DiameterMM), b.show.Length(v.LengthMM), b.fromTwoWalls(v.BoardMM[0], v.BoardMM[1]))
		if len(v.LeanToward) > 0 {
			text += ", leaning " + say.Angle(v.SlantDeg) + " off upright the way of its arrow"
		}
		facts = append(facts, text+".")
	}
	for i, f := range b.plan.Box.Fillers {
		facts = append(facts, fmt.Sprintf("Filler %d: a %s, %s high.", i+1, fillerWords[f.Kind], b.show.Length(f.HeightMM)))
	}
	return facts
}

var fillerWords = map[string]string{"fillet": "fillet in the corner", "block": "block"}

var wallWords = map[string]string{"x0": "left", "x1": "right", "y0": "front", "y1": "back"}

// nearWall is the nearer of two walls across from each other and how far it is.
func nearWall(at, half float64, low, high string) (wall string, mm float64) {
	if at > 0 {
		return high, half - at
	}
	return low, half + at
}

// fromTwoWalls words a place on the board. A box with no straight walls is measured from
// the board's edges.
func (b *basePlan) fromTwoWalls(x, y float64) string {
	half, what := b.half, "wall"
	if b.plan.Box.Shape != "rectangle" {
		what = "side of the box"
		if b.board[0] > 0 {
			half, what = b.board, "edge of the board"
		}
	}
	wx, dx := nearWall(x, half[0], "x0", "x1")
	wy, dy := nearWall(y, half[1], "y0", "y1")
	return fmt.Sprintf("%s from the %s and %s from the %s %s", b.show.Length(dx), wallWords[wx], b.show.Length(dy), wallWords[wy], what)
}
