package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// dimension is a length to show: a line beside the block with arrows at both
// ends, thin lines that carry the measured points out to it, and a label.
type dimension struct {
	name, value string
	from, to    point // the dimension line
	carry       [2][2]point
	level       bool // upright, beside the block
	outwards    point
	spot        spot
	turned      bool // the label reads upwards
}

// labelling is where the labels of heights go.
type labelling int

const (
	beside    labelling = iota // level, beside the line
	alongside                  // beside the line, reading upwards
	pastEnds                   // level, over or under the line
)

// dimensions lists what is measured on the box, not yet labelled. Inside sizes
// and walls are rounded up, as in the cut list; the level is read off a rule.
func (s *scene) dimensions(cam camera) []dimension {
	level := s.block.Max.Z
	near := sign(cam.toward.X) // the end wall towards the viewer
	left, right := s.walls.outermost(cam, -near), s.walls.outermost(cam, near)
	if s.inParts() {
		return append(s.acrossWalls(cam, near), s.beside(cam, right, level, "block height", s.words.lengthUp(level)))
	}
	return append(s.acrossWalls(cam, near),
		s.beside(cam, left, s.wallTop, "wall height", s.words.lengthUp(s.wallTop)),
		s.beside(cam, right, level, "rubber level", s.words.length(level)))
}

// acrossWalls measures the inside on the board: length and width, or the diameter
// of a tube.
func (s *scene) acrossWalls(cam camera, near int) []dimension {
	in, up := s.plan.Box.InsideMM, s.words.lengthUp
	front, end := r3.Vec{Y: -1}, r3.Vec{X: float64(near)}
	length, width := "inside length, front", "inside width, "+endName(near)
	switch {
	case s.walls.round():
		length = "inside diameter"
	case s.inParts():
		length, width = "block length, front", "block width, "+endName(near)
	case s.plan.Box.Shape == faceted:
		length, width = "inside length over all", "inside width over all"
	}
	x, y := r3.Vec{X: 1}, r3.Vec{Y: 1}
	all := []dimension{s.along(cam, s.walls.furthest(r3.Scale(-1, x), front), s.walls.furthest(x, front), front, length, up(in[0]))}
	if !s.walls.round() {
		all = append(all, s.along(cam, s.walls.furthest(r3.Scale(-1, y), end), s.walls.furthest(y, end), end, width, up(in[1])))
	}
	return all
}

// faceted is what a plan calls a box of many flat walls.
const faceted = "faceted"

// endName is what the job sheet calls the wall at −x or +x.
func endName(x int) string {
	if x < 0 {
		return "left end"
	}
	return "right end"
}

const (
	carryGap  = 6.0  // px between what is measured and the thin line
	carryPast = 7.0  // px the thin line runs past the dimension line
	labelGap  = 10.0 // px between a dimension line and its label
	// A label further from its line than this is tied to it.
	leaderFrom = 20.0
	// On a shorter line the arrows point at its ends from outside.
	leastInside = 44.0
	arrowTail   = 26.0
)

// along measures how far two places on the board are apart across a direction; the
// line is drawn past the board's edge, in that direction.
func (s *scene) along(cam camera, a, b, away r3.Vec, name, value string) dimension {
	step := cam.at(away).minus(cam.at(r3.Vec{}))
	out := math.Max(r3.Dot(away, s.block.Min), r3.Dot(away, s.block.Max))
	past := func(p r3.Vec) r3.Vec { return r3.Add(p, r3.Scale(out-r3.Dot(away, p), away)) }
	off := step.unit().times(s.boardEdge*step.length() + 30)
	d := between(cam.at(past(a)), cam.at(past(b)), off, name, value)
	for i, p := range []r3.Vec{a, b} {
		d.carry[i][0] = cam.at(p).plus(step.unit().times(carryGap))
	}
	return d
}

// beside measures a height at the outermost corner of the block, past the board.
func (s *scene) beside(cam camera, foot r3.Vec, height float64, name, value string) dimension {
	top := r3.Vec{X: foot.X, Y: foot.Y, Z: height}
	a, mid := cam.at(foot), cam.at(r3.Vec{})
	u := point{math.Copysign(1, a.X-mid.X), 0}
	board := boundsOf(cam.all(rim(s.block, 0, s.boardEdge)))
	edge := board.X1 - a.X
	if u.X < 0 {
		edge = a.X - board.X0
	}
	d := between(a, cam.at(top), u.times(edge+26), name, value)
	d.level = true
	return d
}

func between(a, b, off point, name, value string) dimension {
	u := off.unit()
	d := dimension{name: name, value: value, from: a.plus(off), to: b.plus(off), outwards: u}
	d.carry = [2][2]point{
		{a.plus(u.times(carryGap)), d.from.plus(u.times(carryPast))},
		{b.plus(u.times(carryGap)), d.to.plus(u.times(carryPast))},
	}
	return d
}

func (d dimension) lines() [][2]point {
	all := [][2]point{{d.from, d.to}, d.carry[0], d.carry[1]}
	if d.to.minus(d.from).length() < leastInside {
		u := d.to.minus(d.from).unit().times(arrowTail)
		all = append(all, [2]point{d.from.minus(u), d.from}, [2]point{d.to, d.to.plus(u)})
	}
	return all
}

// spots lists where the label could go, best first: beside the line, or for a
// height along it or past its ends, which need less room sideways.
func (d *dimension) spots(wide, high float64, how labelling) []spot {
	if d.level && how == pastEnds {
		return d.spotsPastEnds(wide, high)
	}
	if d.level && how == alongside {
		if wide > d.to.minus(d.from).length() {
			return nil
		}
		d.turned = true
		wide, high = high, wide
	}
	reach := (math.Abs(d.outwards.X)*wide+math.Abs(d.outwards.Y)*high)/2 + labelGap
	var all []spot
	for further := 0.0; further < 200; further += 12 {
		for _, t := range []float64{0.5, 0.42, 0.58, 0.33, 0.67, 0.25, 0.75, 0.15, 0.85, 0, 1} {
			on := d.from.to(d.to, t)
			box := around(on.plus(d.outwards.times(reach+further)), wide, high)
			s := spot{box: box, cost: further + 60*math.Abs(t-0.5)}
			if further > leaderFrom {
				s.leader = [2]point{on, box.nearest(on)}
			}
			all = append(all, s)
		}
	}
	return all
}

func (d *dimension) spotsPastEnds(wide, high float64) []spot {
	top, foot := d.to, d.from
	var all []spot
	for further := 0.0; further < 400; further += 8 {
		for _, lean := range []float64{-0.35, -0.2, 0, 0.25, 0.45} {
			x := top.X + d.outwards.X*lean*wide
			for _, end := range []struct {
				at   point
				sign float64
			}{{top, -1}, {foot, 1}} {
				box := around(point{x, end.at.Y + end.sign*(high/2+labelGap+4+further)}, wide, high)
				s := spot{box: box, cost: further + 40*math.Abs(lean+0.35) + 12*end.sign}
				if further > leaderFrom {
					s.leader = [2]point{end.at, {end.at.X, box.nearest(end.at).Y}}
				}
				all = append(all, s)
			}
		}
	}
	return all
}

// drawDimensions draws all lengths and what the spout's label says. Thin lines go
// behind what is solid.
func (c *canvas) drawDimensions(l *layout, o *opaque) {
	for _, d := range l.dimensions {
		for _, thin := range d.carry {
			c.draw(line(faint, 1.3), o.clear(thin)...)
		}
		c.drawDimension(d)
	}
	if l.hasSpout {
		c.draw(line(ink, 1.6), l.spout.leader[:])
		c.fill(ink, 1, disc(l.spout.leader[0], 4))
		c.drawLabel(l.spout.box, l.spoutName, l.spoutValue)
	}
}

func (c *canvas) drawDimension(d dimension) {
	if d.spot.tied() {
		c.draw(line(faint, 1.3), d.spot.leader[:])
	}
	c.arrows(d.from, d.to)
	if d.turned {
		c.drawUprightLabel(d.spot.box, d.name, d.value)
		return
	}
	c.drawLabel(d.spot.box, d.name, d.value)
}

// clear is what of a line has nothing solid on it.
func (o *opaque) clear(path [2]point) (all [][]point) {
	n := max(int(path[1].minus(path[0]).length()/2), 1)
	var run []point
	for k := range n + 1 {
		p := path[0].to(path[1], float64(k)/float64(n))
		if math.IsInf(o.near(p), 1) {
			run = append(run, p)
		}
		if len(run) > 1 && (k == n || !math.IsInf(o.near(p), 1)) {
			all = append(all, run)
		}
		if !math.IsInf(o.near(p), 1) {
			run = nil
		}
	}
	return all
}

// drawUprightLabel draws a label that reads upwards.
func (c *canvas) drawUprightLabel(box rect, name, value string) {
	t, mid := c.letters, box.middle().Y
	x := box.X0 + t.ascent(small)
	c.upright(small, shade, x, mid+t.width(small, name)/2, name)
	x += t.descent(small) + lineGap + t.ascent(figure)
	c.upright(figure, ink, x, mid+t.width(figure, value)/2, value)
}

// arrows draws a dimension line; where the arrows would not fit between its
// ends they point at them from outside.
func (c *canvas) arrows(a, b point) {
	if b.minus(a).length() >= leastInside {
		u := b.minus(a).unit().times(8)
		c.draw(line(ink, 1.8), []point{a.plus(u), b.minus(u)})
		c.arrow(ink, b, a)
		c.arrow(ink, a, b)
		return
	}
	u := b.minus(a).unit()
	for _, end := range []struct{ tip, from point }{{a, a.minus(u.times(arrowTail))}, {b, b.plus(u.times(arrowTail))}} {
		c.draw(line(ink, 1.8), []point{end.from, end.tip.to(end.from, 0.3)})
		c.arrow(ink, end.from, end.tip)
	}
}

// labelSize is the room for a name over a quantity.
func (t *typefaces) labelSize(name, value string) (wide, high float64) {
	return math.Ceil(math.Max(t.width(small, name), t.width(figure, value))),
		t.ascent(small) + t.descent(small) + lineGap + t.ascent(figure) + t.descent(figure)
}

const lineGap = 3.0 // px between the lines of a label

func (c *canvas) drawLabel(box rect, name, value string) { c.drawTinted(box, name, value, ink) }

// drawTinted draws a label with its quantity in a colour.
func (c *canvas) drawTinted(box rect, name, value string, colour tint) {
	t, mid := c.letters, box.middle().X
	y := box.Y0 + t.ascent(small)
	c.text(small, shade, mid-t.width(small, name)/2, y, name)
	y += t.descent(small) + lineGap + t.ascent(figure)
	c.text(figure, colour, mid-t.width(figure, value)/2, y, value)
}
