package picture

import (
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/render/say"
)

// wording is how the picture says quantities.
type wording struct {
	length   func(mm float64) string
	size     func(mm []float64) string
	lengthUp func(mm float64) string   // of the box, to cut boards by
	sizeUp   func(mm []float64) string // the same
	mass     func(g float64) string
	prose    func(text string) string // a sentence of the plan
	inches   bool                     // the scale bar is a round number of inches
}

func wordedBy(s say.Style) wording {
	return wording{length: s.Length, size: s.Size, lengthUp: s.LengthUp, sizeUp: s.SizeUp, mass: s.Mass, prose: s.Prose, inches: s == say.Inch}
}

// drawTitle writes the plan's name and its main figures.
func (c *canvas) drawTitle(s *scene) {
	const left, right = 40, Width - 40
	name := strings.TrimSpace(readable(s.plan.Name))
	if name == "" {
		name = "Block mold"
	}
	c.text(title, ink, left, 70, c.letters.fit(title, name, right-left))
	for i, line := range s.caption() {
		c.text(heading, shade, left, 113+36*float64(i), c.letters.fit(heading, line, right-left))
	}
	c.draw(line(faint, 1.2), []point{{left, 168}, {right, 168}})
}

// caption is the job in two lines.
func (s *scene) caption() []string {
	in, rubber := s.plan.Box.InsideMM, s.plan.Rubber
	size := s.plan.Scan.TightestBoxMM
	if !(size[0] > 0) {
		b := r3.Sub(s.partBox.Max, s.partBox.Min)
		size = [3]float64{b.X, b.Y, b.Z}
	}
	first := "Pattern " + s.words.size(size[:])
	if rubber.MassG > 0 {
		mass := "Rubber " + s.words.mass(rubber.MassG)
		if rubber.MaterialName != "" {
			mass += " of " + readable(rubber.MaterialName)
		}
		first += "  ·  " + mass
	}
	if s.inParts() {
		return []string{first, "Block in two parts, " + s.words.sizeUp(in[:])}
	}
	return []string{first, s.insideWords() + ", filled to " + s.words.length(in[2])}
}

// insideWords says what the box is and how large.
func (s *scene) insideWords() string {
	in, owned := s.plan.Box.InsideMM, ""
	if s.plan.Box.Owned {
		owned = "Your own "
	}
	name := func(kind string) string {
		if owned != "" {
			return owned + kind
		}
		return strings.ToUpper(kind[:1]) + kind[1:]
	}
	switch {
	case s.walls.round():
		return name("tube ") + s.words.lengthUp(in[0]) + " wide inside"
	case s.plan.Box.Shape == faceted:
		return name("box of ") + strconv.Itoa(len(s.walls.foot)) + " facets, " + s.words.sizeUp(in[:2]) + " over all inside"
	}
	return name("box inside ") + s.words.sizeUp(in[:2])
}

// entry is a row of the legend: what is drawn in a 46 × 26 px swatch at the
// given top left corner, and its name.
type entry struct {
	name   string
	swatch func(c *canvas, at point)
}

func (s *scene) legend() []entry {
	all := []entry{
		{"pattern (the original)", func(c *canvas, p point) { c.swatch(oak, 1, shadow, p) }},
		{"rubber block", func(c *canvas, p point) { c.swatch(glass, 0.6, deep, p) }},
	}
	if s.hasCut {
		all = append(all, entry{s.partingName(), func(c *canvas, p point) {
			c.fill(blue, planeCover, rect{p.X, p.Y, p.X + 46, p.Y + 26}.corners())
			c.draw(dashed(blue, 2.4, 13, 7), closed(rect{p.X, p.Y, p.X + 46, p.Y + 26}.corners()))
		}})
	}
	if s.hasCut {
		all = append(all, entry{s.behindName(), func(c *canvas, p point) { c.swatch(behindCut, 1, shadow, p) }})
	}
	if len(s.ovals()) > 0 {
		all = append(all, entry{"keys on the bed", keySwatch})
	}
	if len(s.outline) > 0 {
		all = append(all, entry{"its line on the pattern", func(c *canvas, p point) {
			c.draw(line(blue, 3.2), []point{{p.X, p.Y + 13}, {p.X + 46, p.Y + 13}})
		}})
	}
	if s.spoutR > 0 {
		all = append(all, entry{"spout", func(c *canvas, p point) {
			oval := ellipse(point{p.X + 23, p.Y + 13}, 21, 10)
			c.fill(lamp, 1, oval)
			c.draw(line(amber, 2), closed(oval))
		}})
		if s.stem > 0 {
			all = append(all, entry{"stem, " + s.words.length(s.stem), func(c *canvas, p point) {
				c.fill(lamp, 1, rect{p.X + 12, p.Y, p.X + 34, p.Y + 26}.corners())
				c.draw(line(amber, 1.6), closed(rect{p.X + 12, p.Y, p.X + 34, p.Y + 26}.corners()))
			}})
		}
	}
	if len(s.vents) > 0 {
		all = append(all, entry{s.ventsName(), func(c *canvas, p point) {
			c.draw(line(lamp, 6), []point{{p.X + 3, p.Y + 13}, {p.X + 43, p.Y + 13}})
		}})
	}
	if n := len(s.stiff); n > 0 {
		all = append(all, entry{counted(n, "rod") + " inside the cast", stiffenerSwatch(true)})
	}
	if len(s.unvented) > 0 {
		all = append(all, entry{"air trapped, no vent", func(c *canvas, p point) {
			c.warning(point{p.X + 23, p.Y + 13})
		}})
	}
	if n := len(s.fillers); n > 0 {
		all = append(all, entry{counted(n, "filler") + ", no rubber there", func(c *canvas, p point) { c.swatch(filler, 0.8, filler.mix(ink, 0.55), p) }})
	}
	if n := len(s.pins); n > 0 {
		all = append(all, entry{counted(n, "pin") + " through the walls", (*canvas).steelRod})
	}
	if len(s.bar) > 0 {
		all = append(all, entry{"bar with a prop", (*canvas).steelRod})
	}
	if len(s.braces) > 0 {
		all = append(all, entry{s.bracesName(), func(c *canvas, p point) {
			c.drawBrace([]point{{p.X + 3, p.Y + 13}, {p.X + 43, p.Y + 13}})
		}})
	}
	if s.wallTop > s.block.Max.Z {
		all = append(all, entry{"inside of the walls", func(c *canvas, p point) {
			c.draw(line(faint, 1.6), closed(rect{p.X, p.Y, p.X + 46, p.Y + 26}.corners()))
		}})
	}
	if s.inParts() {
		return append(all, entry{"wall at the spout's end", func(c *canvas, p point) { c.swatch(board, 1, faint, p) }})
	}
	return append(all, entry{"base board", func(c *canvas, p point) { c.swatch(board, 1, faint, p) }})
}

func (s *scene) ventsName() string {
	n, posts := len(s.vents), 0
	for _, v := range s.vents {
		if v.isPost() {
			posts++
		}
	}
	switch {
	case posts < n && n == 1:
		return "vent, at the board"
	case posts < n:
		return strconv.Itoa(n) + " vents"
	case n == 1:
		return "vent, left by a post"
	}
	return strconv.Itoa(n) + " vents, left by posts"
}

// counted is one thing by its name, or several with their number.
func counted(n int, name string) string {
	if n == 1 {
		return name
	}
	return strconv.Itoa(n) + " " + name + "s"
}

func (c *canvas) steelRod(p point) {
	c.draw(line(steel, 6), []point{{p.X + 3, p.Y + 13}, {p.X + 43, p.Y + 13}})
}

func (c *canvas) swatch(t tint, cover float64, edge tint, at point) {
	box := rect{at.X, at.Y, at.X + 46, at.Y + 26}.corners()
	c.fill(t, cover, box)
	c.draw(line(edge, 1.6), closed(box))
}

func closed(shape []point) []point { return append(shape[:len(shape):len(shape)], shape[0]) }

// drawColumn draws the legend at the foot of the column and the cut face over
// it.
func (c *canvas) drawColumn(s *scene) {
	const row, indent = 42.0, 62.0
	entries := s.legend()
	room := columnRoom
	room.Y1 -= row*float64(len(entries)) + 26
	y := c.drawFace(s, room) + 38
	for _, e := range entries {
		e.swatch(c, point{columnRoom.X0, y + 7})
		c.text(normal, ink, columnRoom.X0+indent, y+28, c.letters.fit(normal, e.name, columnRoom.wide()-indent))
		y += row
	}
	c.text(small, shade, viewRoom.X0, columnRoom.Y1, c.letters.fit(small, s.standNote(), viewRoom.wide()))
}
