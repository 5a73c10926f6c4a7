package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// bridged is the colour of bridges, which are of casting material.
var bridged = poured.mix(ink, 0.45)

// drawCased draws the boards around the block with their straps, and over the mouth
// the lid of a foam or of a hollow cast.
func (k *casting) drawCased() {
	c, cut, cam := k.canvas, k.cut, k.spread.cam
	w, high := cut.wallThick(), cut.s.block.Max.Z
	plate := func(t, z stretch, fill, edge tint) {
		shape := cam.all(cut.rectangle(t, z))
		c.fill(fill, 1, shape)
		c.draw(line(edge, 1.4), closed(shape))
	}
	left, right := cut.behind.lo, cut.behind.hi
	plate(stretch{left - w, right + w}, stretch{high, high + capThick*w}, wallCut, shade)
	plate(stretch{left - w, left}, stretch{0, high}, wallCut, shade)
	plate(stretch{right, right + w}, stretch{0, high}, wallCut, shade)
	thick := strapThick * w
	for _, share := range []float64{0.2, 0.5, 0.8} {
		z := stretch{share*high - 1.2*w, share*high + 1.2*w}
		plate(stretch{left - w - thick, left - w}, z, steel, ink)
		plate(stretch{right + w, right + w + thick}, z, steel, ink)
	}
	if !k.lidded() {
		return
	}
	lid, holes := k.lid()
	at := lid.lo
	for _, h := range holes {
		plate(stretch{at, h.lo}, stretch{-capThick * w, 0}, wallCut, shade)
		at = h.hi
	}
	plate(stretch{at, lid.hi}, stretch{-capThick * w, 0}, wallCut, shade)
	for _, t := range k.lidStraps(lid) {
		band := stretch{t - 0.8*w, t + 0.8*w}
		plate(band, stretch{-capThick*w - thick, -capThick * w}, steel, ink)
		plate(band, stretch{high + capThick*w, high + capThick*w + thick}, steel, ink)
	}
	for _, h := range holes {
		k.drawBleed(cam.at(cut.at((h.lo+h.hi)/2, -capThick*w)))
	}
}

// lid is how far the lid over the spout reaches along the cut, and its bleed
// holes; it leaves vents beside it open.
func (k *casting) lid() (stretch, []stretch) {
	cut := k.cut
	mid, r, hole := cut.spoutAlong(), k.s.spoutR, math.Max(1.5, 2.5/k.spread.cam.scale)
	mouth := k.mouth()
	over := math.Max(0.45*mouth.long(), 2*cut.wallThick())
	lid := stretch{math.Max(mouth.lo-over, cut.behind.lo), math.Min(mouth.hi+over, cut.behind.hi)}
	for _, v := range k.s.vents {
		t, free := r3.Dot(cut.along, v.foot), v.radius+hole
		if t > mouth.hi {
			lid.hi = math.Min(lid.hi, t-free)
		} else if t < mouth.lo {
			lid.lo = math.Max(lid.lo, t+free)
		}
	}
	if k.hollow() { // nothing may run out
		return lid, nil
	}
	var holes []stretch
	for _, side := range []float64{-0.45, 0.45} {
		holes = append(holes, stretch{mid + side*r - hole, mid + side*r + hole})
	}
	if r == 0 || holes[0].hi > holes[1].lo || holes[0].lo < lid.lo || holes[1].hi > lid.hi {
		holes = []stretch{{mid - hole, mid + hole}}
	}
	return lid, holes
}

// mouth is how far along the cut what the lid has to cover reaches: all of the foot, or
// the spout where a plan does not say.
func (k *casting) mouth() stretch {
	mid, r := k.cut.spoutAlong(), k.s.spoutR
	m := stretch{mid - r, mid + r}
	for _, p := range k.s.plan.Cast.Mouth.Outline {
		m = m.with(r3.Dot(k.cut.along, r3.Vec{X: p[0], Y: p[1]}))
	}
	return m
}

// lidStraps are where along the cut straps hold the lid down.
func (k *casting) lidStraps(lid stretch) []float64 {
	mouth, w := k.mouth(), k.cut.wallThick()
	if room := math.Min(mouth.lo-lid.lo, lid.hi-mouth.hi); room > 1.6*w {
		return []float64{(lid.lo + mouth.lo) / 2, (lid.hi + mouth.hi) / 2}
	}
	return []float64{k.cut.spoutAlong()}
}

// drawBleed draws air leaving upwards.
func (k *casting) drawBleed(from point) {
	tip := from.minus(point{0, 30})
	k.canvas.draw(line(amber, 2), []point{from.minus(point{0, 6}), tip.plus(point{0, 8})})
	k.canvas.arrow(amber, from, tip)
}

// drawInside draws what is in the cavity: the liquid's level, necks and rods.
func (k *casting) drawInside() {
	c, cam := k.canvas, k.spread.cam
	for _, i := range k.shownNecks() {
		k.drawNeck(i)
	}
	if cover := k.s.plan.Rod.CoverMM; cover != nil {
		for _, r := range k.s.stiff {
			c.drawCover(cam.at(r.foot), cam.at(r.top), (r.radius+*cover)*cam.scale)
		}
	}
	for _, r := range k.s.stiff {
		c.drawStiffener(r, cam, !k.shows(r))
	}
	for _, b := range k.s.plan.Rod.Standoffs {
		from, to := cam.at(vec(b.AtMM)), cam.at(vec(b.WallMM))
		c.draw(line(chalk, 9), []point{from, to})
		c.draw(line(bridged, 6), []point{from, to})
	}
	if k.cut.risen {
		k.drawRise()
	}
}

// shows tells whether a rod lies where the cut shows the cavity.
func (k *casting) shows(r rod) bool {
	const places = 8
	for i := range places + 1 {
		if !k.cut.inSection(along(r.foot, r.top, float64(i)/places)) {
			return false
		}
	}
	return true
}

// inSection tells whether a place, seen square to the cut, is where the cut goes
// through the cavity: by the number of its edges above (even-odd rule).
func (c *cutaway) inSection(p r3.Vec) bool {
	t := r3.Dot(c.along, p)
	inside := p.Z > 0 && p.Z < c.s.stem && math.Abs(t-c.spoutAlong()) < c.s.spoutR
	for _, l := range c.loops {
		for i, a := range l {
			b := l[(i+1)%len(l)]
			ta, tb := r3.Dot(c.along, a), r3.Dot(c.along, b)
			if (ta > t) != (tb > t) && a.Z+(b.Z-a.Z)*(t-ta)/(tb-ta) > p.Z {
				inside = !inside
			}
		}
	}
	return inside
}

// drawCover draws how far from a rod material is at the least.
func (c *canvas) drawCover(a, b point, far float64) {
	u := b.minus(a).unit()
	n := point{-u.Y, u.X}
	var shape []point
	for i := range 49 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 24)
		end := b
		if i > 24 {
			end = a
		}
		shape = append(shape, end.plus(n.times(far*cos)).plus(u.times(far*sin)))
	}
	c.draw(dashed(ink, 1.4, 6, 5), closed(shape))
}

// neckMark is where a neck is and two places that point at it from both sides; of
// one that is seen along its axis, or that the cut does not show, a circle.
type neckMark struct {
	at   point
	side point // px
	half float64
	flat bool // seen along its axis
	off  bool // the cut does not show it
}

// neckTail is how long the arrows at a neck are, px.
const neckTail = 20.0

func (k *casting) neck(i int, cam camera) neckMark {
	n := k.s.plan.Cast.Necks[i]
	m := neckMark{at: cam.at(vec(n.AtMM)), half: n.DiameterMM / 2 * cam.scale}
	u := cam.at(r3.Add(vec(n.AtMM), vec(n.Along))).minus(m.at)
	m.off = !k.cut.inSection(vec(n.AtMM))
	if m.flat = m.off || u.length() < 0.4*cam.scale; m.flat {
		m.half, m.side = math.Max(m.half, 10), point{1, 0}
		return m
	}
	m.side = point{-u.Y, u.X}.unit()
	return m
}

// ends are where a label can be tied to it.
func (m neckMark) ends() []point {
	out := m.half
	if !m.flat {
		out += neckTail
	}
	return []point{m.at.plus(m.side.times(out)), m.at.minus(m.side.times(out))}
}

// drawNeck points at a neck from both sides.
func (k *casting) drawNeck(i int) {
	c, m, colour := k.canvas, k.neck(i, k.spread.cam), ink
	if passes := k.s.plan.Cast.Necks[i].Passes; passes != nil && !*passes {
		colour = signal
	}
	if k.hollow() {
		colour = ink
	}
	if m.flat {
		edge := line(colour, 2)
		if m.off {
			edge = dashed(colour, 2, 5, 4)
		}
		c.draw(line(chalk, 4.4), closed(disc(m.at, m.half)))
		c.draw(edge, closed(disc(m.at, m.half)))
		return
	}
	for _, out := range []point{m.side, m.side.times(-1)} {
		tip := m.at.plus(out.times(m.half))
		from := tip.plus(out.times(neckTail))
		c.draw(line(chalk, 5), []point{from, tip})
		c.draw(line(colour, 2), []point{from, tip.to(from, 0.5)})
		c.arrow(colour, from, tip)
	}
}

// drawRise draws the liquid's surface, measured beside the block, and that it rises
// from there.
func (k *casting) drawRise() {
	c, m := k.canvas, k.spread.rise
	right := k.spread.cam.at(k.cut.at(k.cut.inside.lo, k.level))
	left := k.spread.cam.at(k.cut.at(k.cut.inside.hi, k.level))
	if left.X > right.X {
		left, right = right, left
	}
	c.draw(dashed(ink, 1.6, 7, 5), []point{left, right})
	for _, y := range []float64{m.low, m.top} {
		c.draw(line(faint, 1.3), []point{{m.x - carryPast, y}, {k.spread.cased.X0 - 4, y}})
	}
	c.arrows(point{m.x, m.low}, point{m.x, m.top})
	k.drawLines(m.lines, m.label)
	if m.top-m.rim > 40 {
		from, tip := point{m.x, m.top - 6}, point{m.x, m.rim}
		c.draw(dashed(blue, 2.4, 8, 6), []point{from, tip.plus(point{0, 12})})
		c.arrow(blue, from, tip)
		k.drawLines(m.after, m.then)
	}
}

// drawLines writes short lines that end at the right of their place; figures stand
// out.
func (k *casting) drawLines(lines []string, box rect) {
	for i, text := range lines {
		s, t := small, shade
		if text[0] >= '0' && text[0] <= '9' || text[0] == '(' {
			s, t = figure, ink
		}
		k.canvas.text(s, t, box.X1-k.canvas.letters.width(s, text), box.Y0+levelLine*float64(i)+23, text)
	}
}

// drawTieDashed ties a label to what lies in front of the cut.
func (c *canvas) drawTieDashed(at spot) {
	if at.tied() {
		c.draw(stroke{chalk, 4, 0.8, nil}, at.leader[:])
		c.draw(dashed(ink, 1.6, 7, 5), at.leader[:])
	}
}

// drawLabels draws the labels and marks over everything.
func (k *casting) drawLabels() {
	c := k.canvas
	for _, m := range k.marks {
		c.draw(stroke{chalk, 5.5, 0.9, nil}, []point{m.on, m.at})
		tie := line(m.tie, 2.2)
		if m.before {
			tie = dashed(m.tie, 2.2, 6, 4)
		}
		c.draw(tie, []point{m.on, m.at})
		c.fill(chalk, 1, disc(m.on, 6.5))
		c.fill(m.tie, 1, disc(m.on, 4.5))
	}
	for _, m := range k.marks {
		m.draw(c, m.at)
	}
	for _, g := range k.spread.tags {
		if !g.placed {
			continue
		}
		if g.before {
			c.drawTieDashed(g.spot)
		} else {
			c.drawTie(g.spot)
		}
		if g.letter != "" {
			c.fill(g.tint, 1, disc(g.leader[0], 5))
			mid := g.box.Y0 + markHalf
			c.ring(point{g.box.X0 + markHalf, mid}, g.letter, g.tint)
			c.text(figure, ink, g.box.X0+2*markHalf+10, mid+0.36*sizes[figure], g.value)
			if g.name != "" {
				c.text(small, shade, g.box.X0+2*markHalf+10, mid+0.36*sizes[figure]+levelLine, g.name)
			}
			continue
		}
		c.drawTinted(g.box, g.name, g.value, g.tint)
	}
}
