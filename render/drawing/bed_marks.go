package drawing

import (
	"math"
	"slices"
	"strconv"

	"pourwright/analysis"
)

// spoutEnd draws the spout on its wall, and the stem that lies between wall and part.
func (b *bedPlan) spoutEnd() {
	s := b.plan.Stand
	a, c, top := b.spoutSides()
	if !(s.SpoutDiameterMM > 0) {
		return
	}
	if s.StemMM > 0 {
		dx, dy := top.X-(a.X+c.X)/2, top.Y-(a.Y+c.Y)/2
		b.add(Poly{[]Point{a, c, c.plus(dx, dy), a.plus(dx, dy)}, holePen, glow, "stem"})
	}
	b.add(Line{a, c, Pen{amber, 1.6, nil}, "spout"})
}

// spoutSides are the ends of the spout's mouth on its wall, and the middle of its top.
func (b *bedPlan) spoutSides() (a, c, top Point) {
	foot := spoutOf(b.plan)
	foot[2] = b.plan.Stand.StemMM
	top = b.lay(foot)
	foot[2] = 0
	mid, ahead := b.lay(foot), b.bed.Turned([3]float64{0, 0, 1})
	r := b.plan.Stand.SpoutDiameterMM / 2
	// Across the box, on paper with y down.
	return mid.plus(-ahead[1]*r, -ahead[0]*r), mid.plus(ahead[1]*r, ahead[0]*r), top
}

// ventPosts draws the posts that lie in the bed, up to their wall.
func (b *bedPlan) ventPosts() {
	for _, v := range b.vents() {
		foot, end := b.lay([3]float64{v.BoardMM[0], v.BoardMM[1], 0}), b.lay(v.FromMM)
		d := math.Hypot(end.X-foot.X, end.Y-foot.Y)
		if d == 0 {
			continue
		}
		x, y := -(end.Y-foot.Y)/d*v.DiameterMM/2, (end.X-foot.X)/d*v.DiameterMM/2
		b.add(Poly{[]Point{foot.plus(x, y), foot.plus(-x, -y), end.plus(-x, -y), end.plus(x, y)}, ventPen, none, "post"})
	}
}

const (
	ovalSides = 60 // of the polygon that stands for an oval
	axisMM    = 2  // that the long axis of a key is drawn past it
)

// keys draws each key as an oval, with the ends of its long axis.
func (b *bedPlan) keys() {
	for _, k := range b.bed.Keys {
		along := b.along(k)
		at := b.lay(k.AtMM)
		on := func(u, v float64) Point { return at.plus(u*along.X-v*along.Y, u*along.Y+v*along.X) }
		var oval []Point
		for i := range ovalSides {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / ovalSides)
			oval = append(oval, on(k.LengthMM/2*cos, k.WidthMM/2*sin))
		}
		b.add(Poly{oval, keyPen, none, "key"})
		for _, end := range [2]float64{-1, 1} {
			b.add(Line{on(end*k.LengthMM/2, 0), on(end*(k.LengthMM/2+axisMM), 0), Pen{blue, 0.3, nil}, "key-axis"})
		}
	}
}

// along is the long axis of a key on paper.
func (b *bedPlan) along(k analysis.BedKey) Point {
	d := b.bed.Turned(k.Along)
	return Point{d[0], -d[1]}
}

// walls draws the walls and the inside, and names them.
func (b *bedPlan) walls() {
	x, y, t := b.half[0], b.half[1], b.thick
	b.block(-x, -y, x, y, boldPen, "inside")
	if t > 0 {
		b.block(-x-t, y, x+t, y+t, thinPen, "wall")
		b.block(-x-t, -y-t, x+t, -y, thinPen, "wall")
		b.block(-x-t, -y, -x, y, thinPen, "wall")
		b.block(x, -y, x+t, y, thinPen, "wall")
	}
	const size = 4.5
	x, y = x+t, y+t
	name := func(dx, dy float64) string { return wallCapitals[b.bed.SideOf([3]float64{dx, dy, 0})] }
	b.add(
		Text{b.at(0, -y-14), size, name(0, -1), Middle, false, shade, "wall-name"},
		Text{b.at(0, y+11), size, name(0, 1), Middle, false, shade, "wall-name"},
		Text{b.at(-x-11, 0), size, name(-1, 0), Middle, true, shade, "wall-name"},
		Text{b.at(x+14, 0), size, name(1, 0), Middle, true, shade, "wall-name"},
	)
	b.span(-b.half[0], b.half[0], -y-4, false)
	b.span(-b.half[1], b.half[1], -x-4, true)
}

var wallCapitals = map[string]string{analysis.SpoutEnd: "SPOUT END", analysis.FarEnd: "FAR END", analysis.RightWall: "RIGHT", analysis.LeftWall: "LEFT"}

// labels names what is on the bed, each where it covers no other name.
func (b *bedPlan) labels() {
	for i, k := range b.bed.Keys {
		at := b.lay(k.AtMM)
		b.add(Text{at.plus(0, 1.1), 3, strconv.Itoa(i + 1), Middle, false, ink, "key-number"})
	}
	for _, s := range b.bedSteps() {
		b.stepLabel(s)
	}
	foot := spoutOf(b.plan)
	foot[2] = b.plan.Stand.StemMM / 2
	at, what := b.lay(foot), "spout "
	if b.plan.Stand.StemMM > 0 {
		what = "stem "
	}
	b.near(at, 3, b.plan.Stand.SpoutDiameterMM/2, []string{what + b.show.Length(b.plan.Stand.SpoutDiameterMM)}, bodyMM, "spout-label")
	for _, v := range b.vents() {
		mid := b.lay(v.FromMM)
		foot := b.lay([3]float64{v.BoardMM[0], v.BoardMM[1], 0})
		b.near(Point{(mid.X + foot.X) / 2, (mid.Y + foot.Y) / 2}, v.DiameterMM/2, v.DiameterMM/2, []string{"post " + strconv.Itoa(v.Post)}, bodyMM, "post-label")
	}
	b.heightLabels()
	for _, k := range b.bed.Keys {
		along := b.along(k)
		l, w := k.LengthMM/2, k.WidthMM/2
		x, y := math.Hypot(l*along.X, w*along.Y), math.Hypot(l*along.Y, w*along.X)
		b.near(b.lay(k.AtMM), x, y, b.lengths(k.DepthMM), smallMM, "key-depth")
	}
	b.sideUp()
}

// stepLabel writes how high the clay is along a step.
func (b *bedPlan) stepLabel(s step) {
	words := "clay " + b.show.Length(s.heightMM)
	upright := math.Abs(s.b.Y-s.a.Y) > math.Abs(s.b.X-s.a.X)
	var tries []Text
	for _, t := range []float64{0.08, 0.92, 0.2, 0.8, 0.35, 0.65, 0.5} {
		at := Point{s.a.X + t*(s.b.X-s.a.X), s.a.Y + t*(s.b.Y-s.a.Y)}
		for _, off := range []float64{-1, smallMM + 0.6} {
			for _, anchor := range []Anchor{Middle, Start, End} {
				p := at.plus(0, off)
				if upright {
					p = at.plus(off, 0)
				}
				tries = append(tries, Text{p, smallMM, words, anchor, upright, ink, "bed-step-label"})
			}
		}
	}
	if !b.place(true, tries...) {
		b.place(false, tries...)
	}
}

// near writes short lines beside a shape that reaches rx and ry from its middle, where
// they cover the least.
func (b *bedPlan) near(at Point, rx, ry float64, words []string, size float64, class string) {
	b.nearWhere(at, rx, ry, words, size, class, nil)
}

// nearWhere is near for words that all have to lie where they may, with no line through
// them. It tells whether it wrote them.
func (b *bedPlan) nearWhere(at Point, rx, ry float64, words []string, size float64, class string, may func(Rect) bool) bool {
	const leadFrom = 3 // further away than this a thin line leads to the words
	aways := []float64{0, 1.2, 2.5, 4, 6, 8, 11, 14}
	if may != nil {
		aways = append(aways, 18, 23, 29, 36) // as far as they may
	}
	for _, lines := range []bool{true, false} {
		if !lines && may != nil {
			return false
		}
		for _, away := range aways {
			for _, side := range [][2]float64{{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {0.75, -0.75}, {-0.75, -0.75}, {0.75, 0.75}, {-0.75, 0.75}} {
				to := at.plus(side[0]*(rx+0.8+away), side[1]*(ry+0.8+away))
				if may != nil && away > leadFrom && b.lineOnWords(at, to) {
					continue
				}
				if !b.beneath(to, side, words, size, class, lines, may) {
					continue
				}
				if away > leadFrom {
					b.add(Line{at.plus(side[0]*(rx+0.3), side[1]*(ry+0.3)), to.plus(-0.3*side[0], -0.3*side[1]), Pen{shade, 0.15, nil}, "leader"})
				}
				return true
			}
		}
	}
	return false
}

// lineOnWords tells whether a straight line would pass through a text.
func (b *bedPlan) lineOnWords(from, to Point) bool {
	return slices.ContainsFunc(b.Shapes, func(shape Shape) bool {
		t, isText := shape.(Text)
		return isText && t.box().crosses([2]Point{from, to})
	})
}

// beneath writes lines below each other on the side of a place that a direction points
// to, if they are clear there. It tells whether it did.
func (b *bedPlan) beneath(at Point, side [2]float64, words []string, size float64, class string, lines bool, may func(Rect) bool) bool {
	anchor := Middle
	switch {
	case side[0] > 0.5:
		anchor = Start
	case side[0] < -0.5:
		anchor = End
	}
	pitch := size * 1.12
	top := at.Y + pitch*float64(len(words))*(side[1]-1)/2
	var texts []Text
	for i, w := range words {
		t := Text{Point{at.X, top + pitch*float64(i) + size*0.86}, size, w, anchor, false, ink, class}
		if !b.clear(t.box().grown(0.15), lines) || may != nil && !may(t.box()) {
			return false
		}
		texts = append(texts, t)
	}
	for _, t := range texts {
		b.add(t)
	}
	return true
}

// sideUp writes which side is up into the part, or beside it in the clay.
func (b *bedPlan) sideUp() {
	var tries []Text
	for _, size := range []float64{4.5, 3.5, bodyMM} {
		for _, words := range []string{"THIS SIDE UP at the first pour", "THIS SIDE UP", "UP"} {
			for i := range 19 {
				for k := range 19 {
					x, y := b.half[0]*(float64(i)/10-0.9), b.half[1]*(float64(k)/10-0.9)
					tries = append(tries, Text{b.at(x, y), size, words, Middle, false, shade, "this-side-up"})
				}
			}
		}
	}
	b.place(true, tries...)
}
