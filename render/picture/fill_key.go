package picture

// scaleSlot is the room for the scale bar at the beginning of the key, px.
const scaleSlot = 400.0

const notInCut = "not in this cut"

// keyRows are the colours that are used, in rows, the first one at 0, after the
// scale bar.
func (f *filling) keyRows(t *typefaces) []keyEntry {
	const swatchWide, apart = 58.0, 30.0
	var out []keyEntry
	at := point{pageLeft + scaleSlot, 0}
	for _, e := range f.keyEntries() {
		wide := swatchWide + t.width(small, e.name)
		if at.X > pageLeft && at.X+wide > pageRight {
			at = point{pageLeft, at.Y + keyRow}
		}
		out = append(out, keyEntry{e, at})
		at.X += wide + apart
	}
	return out
}

func (f *filling) keyEntries() []entry {
	rubber, cast := f.panels[rubberRises].cut, f.panels[castRises].cut
	plain := func(fill, edge tint) func(*canvas, point) {
		return func(c *canvas, p point) { c.swatch(fill, 1, edge, p) }
	}
	hatched := func(fill, lines, edge tint, apart float64) func(*canvas, point) {
		return func(c *canvas, p point) {
			box := rect{p.X, p.Y, p.X + 46, p.Y + 26}.corners()
			c.fill(fill, 1, box)
			c.hatch(lines, 0.9, box)
			c.draw(line(edge, 1.6), closed(box))
		}
	}
	all := []entry{
		{"pattern, cut", hatched(oak, oakLine, shadow, 10)},
		{"liquid rubber", plain(rubberIn, deep)},
		{"cured rubber, cut", hatched(cured, deep, deep, 13)},
		{"casting material", plain(poured, ink)},
	}
	if len(rubber.traps) > 0 || anyStays(cast.traps) {
		all = append(all, entry{"air that stays", plain(trapped, ink)})
	}
	if anyVented(cast.traps) {
		all = append(all, entry{"air that a vent lets out", plain(leaving, signal)})
	}
	if name := f.lampName(); name != "" {
		all = append(all, entry{name, plain(lamp, amber)})
	}
	if len(rubber.traps) > 0 || len(cast.traps) > 0 {
		all = append(all, entry{notInCut, func(c *canvas, p point) {
			c.draw(dashed(signal, 2.4, 4, 4), closed(disc(point{p.X + 23, p.Y + 13}, hiddenRing)))
		}})
	}
	return all
}

func anyStays(traps []air) bool {
	for _, t := range traps {
		if t.vent == nil {
			return true
		}
	}
	return false
}

func anyVented(traps []air) bool {
	for _, t := range traps {
		if t.vent != nil {
			return true
		}
	}
	return false
}

// lampName says what is drawn in the colour of ways in and out.
func (f *filling) lampName() string {
	posts := false
	for _, v := range f.s.vents {
		posts = posts || v.isPost()
	}
	switch stem := f.s.stem > 0 && f.s.spoutR > 0; {
	case stem && posts:
		return "stem and posts; spout, vents"
	case stem:
		return "stem, and the spout it leaves"
	case posts:
		return "posts; spout, vents"
	case f.s.spoutR > 0:
		return "spout"
	}
	return ""
}

// drawKey draws the scale bar and the key.
func (f *filling) drawKey() {
	c := f.canvas
	y := f.key[0].at.Y
	mm := roundLength(130/f.scale, f.s.words.inches)
	c.scaleBar(pageLeft, y+8, mm, f.scale)
	x := pageLeft + mm*f.scale + scaleGap
	c.text(figure, ink, x, y+24, c.letters.fit(figure, f.s.words.length(mm), pageLeft+scaleSlot-20-x))
	for _, e := range f.key {
		if e.name == notInCut && !f.anyBeside { // the last one: whether it is needed shows late
			continue
		}
		e.swatch(c, point{e.at.X, e.at.Y + 2})
		c.text(small, ink, e.at.X+58, e.at.Y+24, e.name)
	}
}

// scaleBar draws a bar in four parts.
func (c *canvas) scaleBar(x, y, mm, scale float64) {
	long := mm * scale
	for i := range 4 {
		t := chalk
		if i%2 == 0 {
			t = ink
		}
		c.fill(t, 1, rect{x + long*float64(i)/4, y, x + long*float64(i+1)/4, y + 9}.corners())
	}
	c.draw(line(ink, 1.4), closed(rect{x, y, x + long, y + 9}.corners()))
}
