package picture

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// The colour bar fills the column, but for the key under it.
var (
	detailBar   = rect{1250, 226, 1298, 924}
	detailViews = rect{pageLeft, 140, 1190, pageFoot}
)

// page arranges title, views, scale and column; of the views side by side and
// stacked, those are taken that show the pattern larger.
func (s *heatScene) page(t *typefaces) page {
	p := page{
		heading: t.fit(title, s.title(), pageRight-pageLeft),
		verdict: []string{t.fit(heading, s.caption, pageRight-pageLeft)},
		rule:    s.views.Y0,
		key:     s.key(t),
	}
	size := r3.Sub(s.frame.Max, s.frame.Min)
	p.sizeText = t.fit(figure, "As it stands "+s.words.size([]float64{size.X, size.Y, size.Z}), s.sizeRight-pageLeft)
	p.sizeBelow = t.width(figure, p.sizeText) > s.sizeRight-pageLeft-2*scaleBarRoom-scaleGap-scaleTextRoom-40
	s.placeViews(&p, false)
	stacked := p
	s.placeViews(&stacked, true)
	if stacked.scale > preferred*p.scale {
		p = stacked
	}
	p.bar, p.scaleText = s.scaleBar(t, p.scale)
	return p
}

// scaleBar is a round length; metric where there is no round one in inches.
func (s *heatScene) scaleBar(t *typefaces, scale float64) (mm float64, text string) {
	mm = roundLength(scaleBarRoom/scale, s.words.inches)
	if mm*scale <= 2*scaleBarRoom {
		return mm, t.fit(figure, s.words.length(mm), scaleTextRoom)
	}
	mm = roundLength(scaleBarRoom/scale, false)
	return mm, t.fit(figure, fmt.Sprintf("%g mm", mm), scaleTextRoom)
}

// placeViews shares the room among the views, above the row of the scale, and
// makes the pattern as large as both allow.
func (s *heatScene) placeViews(p *page, stacked bool) {
	const apart = 24.0
	on := s.views
	wide, high := (on.wide()-apart)/2, on.high()-keyRow-14
	if p.sizeBelow {
		high -= keyRow
	}
	step := point{wide + apart, 0}
	if stacked {
		wide, high = on.wide(), high/2
		step = point{0, high}
	}
	first := rect{on.X0, on.Y0 + captionHigh + 8, on.X0 + wide, on.Y0 + high}
	p.views = [2]rect{first, first.moved(step)}
	p.scale = math.Inf(1)
	for i, b := range s.seen {
		room := p.views[i].grown(-s.border)
		least := 1e-6 * s.size
		p.scale = min(p.scale, room.wide()/math.Max(b.wide(), least), room.high()/math.Max(b.high(), least))
	}
}

// key names what is marked, in the column.
func (s *heatScene) key(t *typefaces) []keyEntry {
	const indent = 58
	var out []keyEntry
	at := s.keyAt
	for _, e := range s.rows {
		e.name = t.fit(small, e.name, pageRight-at.X-indent)
		out = append(out, keyEntry{e, at})
		at.Y += keyRow + 6
	}
	return out
}

func (s *heatScene) keyEntries() []entry {
	var all []entry
	rim := func(st stroke) func(*canvas, point) {
		return func(c *canvas, p point) { c.drawRim(st, closed(ellipse(point{p.X + 23, p.Y + 13}, 21, 10))) }
	}
	switch {
	case s.spout.radius > 0 && s.spout.stem > 0:
		all = append(all, entry{"stem of the spout", func(c *canvas, p point) { c.swatch(lamp, 1, amber, p) }})
	case s.spout.radius > 0:
		all = append(all, entry{"spout", rim(spoutSeen)}, entry{"spout, on the far side", rim(spoutHidden)})
	}
	for _, keep := range []bool{true, false} {
		name := "kept clear by hand"
		if !keep {
			name = "plain by hand"
		}
		if s.hasMark(keep) {
			all = append(all, entry{name, func(c *canvas, p point) {
				c.drawMarkLine(keep, [][]point{{{p.X + 3, p.Y + 13}, {p.X + 43, p.Y + 13}}})
			}})
		}
	}
	return all
}

func (s *heatScene) hasMark(keep bool) bool {
	for _, m := range s.marks {
		if m.keep == keep {
			return true
		}
	}
	return false
}

// drawDetailBar draws what the colours mean.
func (c *canvas) drawDetailBar() {
	const tick = 9
	c.heatBar(detailBar)
	name := func(share float64, text string) {
		y := detailBar.Y1 - share*detailBar.high()
		c.draw(line(ink, 1.4), []point{{detailBar.X1, y}, {detailBar.X1 + tick, y}})
		c.text(figure, ink, detailBar.X1+tick+10, y+0.36*sizes[figure], text)
	}
	name(1, "1  worth protecting")
	name(0.75, "0.75")
	name(0.5, "0.5")
	name(0.25, "0.25")
	name(0, "0  plain")
}
