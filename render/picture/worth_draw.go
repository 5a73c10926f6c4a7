package picture

import "strconv"

func (c *canvas) drawVerdict(p page) {
	c.text(title, ink, pageLeft, 70, p.heading)
	for i, text := range p.verdict {
		c.text(heading, shade, pageLeft, 113+35*float64(i), text)
	}
	c.draw(line(faint, 1.2), []point{{pageLeft, p.rule}, {pageRight, p.rule}})
}

// drawNothing says that there is no view.
func (c *canvas) drawNothing(p page) {
	all := p.views[0].with(p.views[1])
	const text = "There is no face that could be drawn."
	c.text(heading, shade, all.middle().X-c.letters.width(heading, text)/2, all.middle().Y, text)
}

// key names the colours that are used, row after row, the first row at 0.
func (w *worth) key(t *typefaces, left, right float64) []keyEntry {
	const swatchWide, apart = 58.0, 30.0
	var out []keyEntry
	at := point{left, 0}
	for _, e := range w.keyEntries() {
		e.name = t.fit(small, e.name, right-left-swatchWide)
		wide := swatchWide + t.width(small, e.name)
		if at.X > left && at.X+wide > right {
			at = point{left, at.Y + keyRow}
		}
		out = append(out, keyEntry{e, at})
		at.X += wide + apart
	}
	return out
}

func (w *worth) keyEntries() []entry {
	if w.size == 0 {
		return nil
	}
	all := []entry{{"outside of the surface", func(c *canvas, p point) { c.swatch(oak, 1, shadow, p) }}}
	if w.showsBacks() {
		all = append(all, entry{"its back: seen through a hole, or turned", func(c *canvas, p point) { c.swatch(blue, 1, ink, p) }})
	}
	if n := len(w.rims.lines); n > 0 { // none of a heap
		name := "rim of a hole"
		if n < w.rims.all {
			name = "rim of a hole, the " + strconv.Itoa(n) + " largest"
		}
		all = append(all, entry{name, func(c *canvas, p point) {
			c.draw(line(signal, 4.6), []point{{p.X + 3, p.Y + 13}, {p.X + 43, p.Y + 13}})
		}})
	}
	if w.crossed != nil && len(w.crossed.Faces) > 0 {
		all = append(all, entry{"cuts through other surface", func(c *canvas, p point) { c.swatch(signal, 1, ink, p) }})
	}
	if w.patches != nil && len(w.patches.Faces) > 0 {
		all = append(all, entry{"closed by mending", func(c *canvas, p point) { c.swatch(lamp, 1, amber, p) }})
	}
	if w.dropped != nil && len(w.dropped.Faces) > 0 {
		all = append(all, entry{"left out by mending", func(c *canvas, p point) { c.swatch(leftOut, 1, ink, p) }})
	}
	if n := w.ringed(); n > 0 {
		name := "a loose scrap left out"
		if n > mostScraps {
			name = "loose scraps left out, the " + strconv.Itoa(mostScraps) + " largest"
		}
		all = append(all, entry{name, func(c *canvas, p point) { c.ringScrap(point{p.X + 23, p.Y + 13}, scrapRing) }})
	}
	if w.anyPlace() {
		all = append(all, entry{"a place hidden in this view", func(c *canvas, p point) {
			c.draw(dashed(signal, 2.4, 4, 4), closed(disc(point{p.X + 23, p.Y + 13}, hiddenRing)))
		}})
	}
	return all
}

func (w *worth) anyPlace() bool {
	for _, p := range w.in.Problems {
		if p.HasAt && isPlace(p.At) {
			return true
		}
	}
	return false
}

// showsBacks tells whether a view can show the back of a face: those of closed
// outward surfaces are all hidden.
func (w *worth) showsBacks() bool { return w.rims.all > 0 || len(w.in.Problems) > 0 }

func (c *canvas) drawKey(p page) {
	for _, e := range p.key {
		e.swatch(c, point{e.at.X, e.at.Y + 2})
		c.text(small, ink, e.at.X+58, e.at.Y+24, e.name)
	}
}

// drawScale draws the scale bar and the sizes in a row above the key.
func (c *canvas) drawScale(p page) {
	x, y := pageLeft, p.views[1].Y1+14
	long := p.bar * p.scale
	for i := range 4 {
		t := chalk
		if i%2 == 0 {
			t = ink
		}
		c.fill(t, 1, rect{x + long*float64(i)/4, y + 8, x + long*float64(i+1)/4, y + 17}.corners())
	}
	c.draw(line(ink, 1.4), closed(rect{x, y + 8, x + long, y + 17}.corners()))
	x = c.text(figure, ink, x+long+scaleGap, y+22, p.scaleText).X1 + 40
	if p.sizeBelow {
		x, y = pageLeft, y+keyRow
	}
	c.text(figure, ink, x, y+22, p.sizeText)
}

// drawProblems writes the list.
func (c *canvas) drawProblems(p page) {
	for _, r := range p.entries {
		middle := point{r.at.X + markHalf + 1, r.at.Y + lineHigh/2}
		switch {
		case r.number > 0:
			c.number(middle, r.number)
		case r.sign != nil:
			r.sign(c, middle)
		}
		for i, text := range r.lines {
			c.text(normal, ink, r.at.X+entryIndent, r.at.Y+24+lineHigh*float64(i), text)
		}
	}
}

const (
	markHalf   = 18.0 // px
	hiddenRing = 10.0
)

// number draws a round mark.
func (c *canvas) number(at point, n int) {
	c.fill(signal, 1, disc(at, markHalf))
	c.fill(chalk, 1, disc(at, markHalf-2.6))
	text := strconv.Itoa(n)
	c.text(small, ink, at.X-c.letters.width(small, text)/2, at.Y+0.36*sizes[small], text)
}

// hiddenNumber draws a round mark of what neither view shows.
func (c *canvas) hiddenNumber(at point, n int) {
	c.fill(chalk, 1, disc(at, markHalf))
	c.draw(dashed(signal, 2.4, 5, 4), closed(disc(at, markHalf-1.2)))
	text := strconv.Itoa(n)
	c.text(small, ink, at.X-c.letters.width(small, text)/2, at.Y+0.36*sizes[small], text)
}

// tick draws a sign that all is well.
func (c *canvas) tick(at point) {
	c.fill(glass, 1, disc(at, markHalf))
	c.draw(line(chalk, 4), []point{at.plus(point{-8, 0}), at.plus(point{-2, 7}), at.plus(point{9, -7})})
}

// outward draws the sign of what lies outside the picture.
func (c *canvas) outward(at point) { c.away(at, point{1, 0}) }

// away draws an arrow in a disc.
func (c *canvas) away(at, to point) {
	c.fill(ink, 1, disc(at, markHalf))
	to = to.unit()
	c.draw(line(chalk, 3), []point{at.minus(to.times(11)), at.plus(to.times(4))})
	c.arrow(chalk, at, at.plus(to.times(13)))
}
