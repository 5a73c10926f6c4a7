package picture

import (
	"context"

	"gonum.org/v1/gonum/spatial/r3"
)

// detailBar is the colour bar at the foot of the page.
var detailBar = rect{560, 1124, 1160, 1152}

// page arranges title, views, scale and key; of the views side by side and
// stacked, those are taken that show the pattern larger.
func (s *detailScene) page(t *typefaces) page {
	var best page
	for _, stacked := range []bool{false, true} {
		p := page{
			heading: t.fit(title, s.title(), pageRight-pageLeft),
			verdict: []string{t.fit(heading, s.caption(), pageRight-pageLeft)},
			rule:    140,
			key:     s.key(t, pageLeft, pageRight),
		}
		s.setViews(t, &p, rect{pageLeft, p.rule, pageRight, detailBar.Y0 - 22}, stacked)
		if p.scale > preferred*best.scale {
			best = p
		}
	}
	size := r3.Sub(s.frame.Max, s.frame.Min)
	best.sizeText = "As it stands " + s.words.size([]float64{size.X, size.Y, size.Z})
	return best
}

// key names what is marked.
func (s *detailScene) key(t *typefaces, left, right float64) []keyEntry {
	var out []keyEntry
	x := left
	for _, e := range s.keyEntries() {
		e.name = t.fit(small, e.name, right-left)
		out = append(out, keyEntry{e, point{x, 0}})
		x += 58 + t.width(small, e.name) + 30
	}
	return out
}

func (s *detailScene) keyEntries() []entry {
	var all []entry
	if s.spout.rim != nil {
		all = append(all, entry{"spout", func(c *canvas, p point) {
			oval := ellipse(point{p.X + 23, p.Y + 13}, 21, 10)
			c.fill(lamp, 1, oval)
			c.draw(line(amber, 2), closed(oval))
		}}, entry{"spout, hidden in this view", func(c *canvas, p point) {
			c.draw(spoutHidden, closed(ellipse(point{p.X + 23, p.Y + 13}, 21, 10)))
		}})
	}
	for _, keep := range []bool{true, false} {
		name := "kept clear by hand"
		if !keep {
			name = "said by hand to be plain"
		}
		for _, m := range s.marks {
			if m.keep == keep {
				all = append(all, entry{name, func(c *canvas, p point) {
					c.drawMarkLine(keep, [][]point{{{p.X + 3, p.Y + 13}, {p.X + 43, p.Y + 13}}})
				}})
				break
			}
		}
	}
	return all
}

// drawDetailBar draws what the colours mean.
func (c *canvas) drawDetailBar() {
	c.heatBar(detailBar)
	y := detailBar.Y1 - 5
	c.text(figure, ink, detailBar.X0-16-c.letters.width(figure, "plain 0"), y, "plain 0")
	c.text(figure, ink, detailBar.X1+16, y, "1 worth protecting")
	for i := 1; i < 4; i++ {
		x := detailBar.X0 + detailBar.wide()*float64(i)/4
		c.draw(line(ink, 1.4), []point{{x, detailBar.Y1}, {x, detailBar.Y1 + 7}})
	}
}

// drawViews draws the pattern in both views.
func (s *detailScene) drawViews(ctx context.Context, d *drawnDetail) error {
	names := [2]string{"From the front, right and above", "From behind, left and below"}
	bodies := heatBodies(s.scan, s.score, d.page.scale)
	if s.spout.stem > 0 {
		r := rod{foot: r3.Sub(s.spout.middle, r3.Vec{Z: s.spout.stem}), top: s.spout.middle, radius: s.spout.radius}
		bodies = append(bodies, shaded(cylinder(r), lamp))
	}
	for i, cam := range corners() {
		v := &d.views[i]
		v.name, v.room = names[i], d.page.views[i]
		cam.scale = d.page.scale
		cam.origin = v.room.middle().minus(s.seen[i].middle().times(cam.scale))
		v.cam = cam
		v.solid = s.roomFor(v, s.seen[i])
		if err := v.solid.drawBodies(ctx, bodies, cam, s.size); err != nil {
			return err
		}
		d.canvas.lay(v.solid)
		d.canvas.drawDetailMarks(s, v)
		d.canvas.text(heading, shade, v.room.X0, v.room.Y0-14, d.canvas.letters.fit(heading, v.name, v.room.wide()))
	}
	return nil
}
