package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// face is the view square to the cut: true shape, one scale in every
// direction. Without a cut it is the view from the front.
type face struct {
	right, up r3.Vec
	scale     float64 // px per mm
	origin    point
}

func (f face) at(p r3.Vec) point {
	return point{f.origin.X + f.scale*r3.Dot(p, f.right), f.origin.Y - f.scale*r3.Dot(p, f.up)}
}

func (f face) all(line []r3.Vec) []point {
	out := make([]point, len(line))
	for i, p := range line {
		out[i] = f.at(p)
	}
	return out
}

// square returns the view along the cut's normal with +z up and, like the job
// sheet's drawing, right towards +x (or +y).
func (s *scene) square() face {
	n := r3.Vec{Y: -1}
	if s.hasCut {
		n = s.cut.n
	}
	flat := math.Hypot(n.X, n.Y)
	if flat < 1e-6 { // a level cut is seen from above
		return face{right: r3.Vec{X: 1}, up: r3.Vec{Y: 1}, scale: 1}
	}
	right := r3.Vec{X: -n.Y / flat, Y: n.X / flat}
	if right.X < -1e-9 || math.Abs(right.X) <= 1e-9 && right.Y < 0 {
		right = r3.Scale(-1, right)
	}
	up := r3.Cross(n, right)
	if up.Z < 0 {
		up = r3.Scale(-1, up)
	}
	return face{right: right, up: up, scale: 1}
}

// section is the block's outline in the cut, or as seen from the front.
func (s *scene) section() []r3.Vec {
	if poly := s.acrossBlock(); poly != nil {
		return poly
	}
	level := s.block.Max.Z
	return []r3.Vec{corner(s.block, -1, -1, 0), corner(s.block, 1, -1, 0), corner(s.block, 1, -1, level), corner(s.block, -1, -1, level)}
}

const (
	faceHead   = 58.0 // px for the heading
	faceFoot   = 128.0
	faceRight  = 56.0 // px for the pattern's height
	boardStrip = 10.0 // px
)

// drawFace draws the cut face with the pattern's height and the scale bar in
// the given room, and returns where it ends.
func (c *canvas) drawFace(s *scene, room rect) float64 {
	name := "Cut face, true shape"
	if s.inParts() {
		name = "Bed, seen square"
	}
	if !s.hasCut {
		name = "Seen from the front, true shape"
	}
	c.text(heading, ink, room.X0, room.Y0+24, c.letters.fit(heading, name, room.wide()))
	f := s.square()
	poly := s.section()
	all := f.all(poly)
	for _, v := range s.part.Vertices {
		all = append(all, f.at(v))
	}
	for _, z := range []float64{0, s.block.Max.Z} {
		all = append(all, f.all(s.walls.around(z, 0))...)
	}
	b := boundsOf(all)
	area := rect{room.X0, room.Y0 + faceHead, room.X1 - faceRight, room.Y1 - faceFoot}
	f.scale = math.Min(area.wide()/b.wide(), area.high()/b.high())
	drawn := rect{b.X0 * f.scale, b.Y0 * f.scale, b.X1 * f.scale, b.Y1 * f.scale}
	f.origin = point{area.X0 - drawn.X0, area.Y0 - drawn.Y0}
	if spare := area.wide() - drawn.wide(); spare > 0 {
		f.origin.X += spare / 2
	}
	drawn = drawn.moved(f.origin)
	c.drawSection(s, f, poly)
	y := c.drawHeight(s, f, drawn, room)
	return c.drawScaleBar(s, f, y)
}

func (c *canvas) drawSection(s *scene, f face, poly []r3.Vec) {
	block := f.all(poly)
	whole := boundsOf(append(f.all(s.walls.around(0, 0)), f.all(s.walls.around(s.block.Max.Z, 0))...))
	outline := make([][]point, len(s.outline))
	for i, loop := range s.outline {
		outline[i] = f.all(loop)
	}
	c.fill(board, 1, rect{whole.X0, whole.Y1, whole.X1, whole.Y1 + boardStrip}.corners())
	c.fill(glass, 0.22, whole.corners())
	c.fill(glass, 0.30, block)
	for i := range s.fillers {
		if cut := s.fillers[i].across(s.cut, 2*s.size); s.hasCut && cut != nil {
			c.fill(filler, 1, f.all(cut))
		}
	}
	behind := oak
	if s.hasCut {
		c.hatch(deep, 0.38, block)
		behind = behindCut
	}
	c.fill(behind, 1, s.shade(f)...)
	for _, v := range s.vents {
		if v.isPost() {
			c.draw(line(lamp, math.Max(2*v.radius*f.scale, 3)), f.all([]r3.Vec{v.foot, v.top}))
		}
	}
	c.fill(oak, 1, outline...)
	for _, r := range s.stiff {
		c.draw(line(ink, math.Max(2*r.radius*f.scale, 3)+2), f.all([]r3.Vec{r.foot, r.top}))
		c.draw(line(steel, math.Max(2*r.radius*f.scale, 3)), f.all([]r3.Vec{r.foot, r.top}))
	}
	if s.spoutR > 0 {
		c.drawSpoutSquare(s, f)
	}
	c.drawKeys(s, f)
	for _, trap := range s.unvented {
		c.fill(signal, 1, disc(f.at(trap), 6))
	}
	c.draw(line(deep, 2.2), closed(block))
	for _, loop := range outline {
		c.draw(line(blue, 3), loop)
	}
}

// drawSpoutSquare draws the stem, and the spout as a bar on the board.
func (c *canvas) drawSpoutSquare(s *scene, f face) {
	side := r3.Scale(s.spoutR, f.right)
	a, b := r3.Sub(s.spout, side), r3.Add(s.spout, side)
	if s.stem > 0 {
		up := r3.Vec{Z: s.stem}
		c.fill(lamp, 1, f.all([]r3.Vec{a, b, r3.Add(b, up), r3.Add(a, up)}))
	}
	left, right := f.at(a), f.at(b)
	bar := rect{left.X, left.Y, right.X, left.Y + boardStrip}.corners()
	c.fill(lamp, 1, bar)
	c.draw(line(amber, 1.6), closed(bar))
}

// shade is the pattern's outline as seen: its faces towards the viewer, all
// the same way round.
func (s *scene) shade(f face) [][]point {
	m := s.part
	if len(m.Faces) > mostFaces/3 {
		m, _ = m.Clustered(1.2 / f.scale)
	}
	toward := r3.Cross(f.right, f.up)
	var shapes [][]point
	for i := range m.Faces {
		if r3.Dot(m.DoubleAreaNormal(i), toward) > 0 {
			a, b, d := m.Corners(i)
			shapes = append(shapes, []point{f.at(a), f.at(b), f.at(d)})
		}
	}
	return shapes
}

// hatch draws slanting lines across a convex shape, as sections are drawn.
func (c *canvas) hatch(t tint, cover float64, shape []point) {
	const apart = 13.0
	slope := point{math.Sqrt2 / 2, math.Sqrt2 / 2} // across the lines
	low, high := reach(shape, slope)
	var lines [][]point
	for at := math.Ceil(low/apart) * apart; at < high; at += apart {
		var ends []point
		for i, p := range shape {
			q := shape[(i+1)%len(shape)]
			a, b := p.dot(slope)-at, q.dot(slope)-at
			if (a < 0) != (b < 0) {
				ends = append(ends, p.to(q, a/(a-b)))
			}
		}
		if len(ends) == 2 {
			lines = append(lines, ends)
		}
	}
	c.draw(stroke{t, 1.2, cover, nil}, lines...)
}

// drawHeight measures the pattern at the right of the drawing; it returns
// where there is room below.
func (c *canvas) drawHeight(s *scene, f face, drawn, room rect) float64 {
	const off = 24
	x, below := drawn.X1+off, drawn.Y1+boardStrip+22
	if math.Abs(f.up.Z) < 0.5 {
		return below
	}
	low, high := f.at(r3.Vec{Z: s.partBox.Min.Z}).Y, f.at(r3.Vec{Z: s.partBox.Max.Z}).Y
	if !s.hasCut || math.Abs(f.up.Z) > 0.999 {
		for _, y := range []float64{low, high} {
			c.draw(line(faint, 1.3), []point{{drawn.X1 + carryGap, y}, {x + carryPast, y}})
		}
	}
	c.arrows(point{x, low}, point{x, high})
	text := "pattern " + s.words.length(s.partBox.Max.Z-s.partBox.Min.Z)
	wide := c.letters.width(figure, text)
	if wide < low-high {
		c.upright(figure, ink, x+off, (low+high)/2+wide/2, text)
		return below
	}
	text = c.letters.fit(figure, text, room.wide())
	wide = c.letters.width(figure, text)
	y := below + 34
	from := low + carryPast
	if low-high < leastInside {
		from = low + arrowTail
	}
	c.draw(line(faint, 1.3), []point{{x, from}, {x, y - 22}})
	c.text(figure, ink, math.Max(math.Min(x+12, room.X1)-wide, room.X0), y, text)
	return y + 10
}

// drawScaleBar draws a bar of a round length below the cut face, and
// returns where it ends.
func (c *canvas) drawScaleBar(s *scene, f face, y float64) float64 {
	mm := roundLength(120/f.scale, s.words.inches)
	long, x := mm*f.scale, columnRoom.X0
	y += 18
	for i := range 4 {
		t := chalk
		if i%2 == 0 {
			t = ink
		}
		c.fill(t, 1, rect{x + long*float64(i)/4, y, x + long*float64(i+1)/4, y + 9}.corners())
	}
	c.draw(line(ink, 1.4), closed(rect{x, y, x + long, y + 9}.corners()))
	text := s.words.length(mm)
	c.text(small, ink, x+long+14, y+13, c.letters.fit(small, text, columnRoom.X1-x-long-14))
	return y + 18
}

// roundLength is the largest of 1, 2, 5, 10, … millimetres, or 1/8, 1/4, 1/2,
// 1, 2, 5, 10, … inches, that is at most the given one.
func roundLength(most float64, inches bool) float64 {
	unit := 1.0
	if inches {
		unit = 25.4
		for _, part := range []float64{8, 4, 2} {
			if most < 2*unit/part && most < unit {
				return unit / part
			}
		}
	}
	ten := unit * math.Pow(10, math.Floor(math.Log10(most/unit)))
	for _, times := range []float64{5, 2} {
		if times*ten <= most {
			return times * ten
		}
	}
	return ten
}

func ellipse(centre point, across, up float64) []point {
	shape := disc(point{}, 40)
	for i, p := range shape {
		shape[i] = centre.plus(point{p.X / 40 * across, p.Y / 40 * up})
	}
	return shape
}
