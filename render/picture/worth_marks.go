package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// worthMark is the place of a problem.
type worthMark struct {
	number int
	at     r3.Vec
	shown  [2]bool // nothing lies before it in that view
}

// drawMarks draws the numbers of the problems at their places. A place that a
// view hides is a dashed ring there; one that both hide has its number in the
// first, dashed.
func (c *canvas) drawMarks(w *worth, d *drawnWorth) {
	marks := w.marks(d)
	for i := range d.views {
		v := &d.views[i]
		if w.strays.any {
			to := v.cam.at(w.strays.farthest)
			at := v.freeAtEdge(to)
			v.taken = append(v.taken, around(at, 2*markHalf, 2*markHalf))
			c.away(at, to.minus(v.room.middle()))
		}
		for _, m := range marks { // no number covers the place of another
			if on := v.cam.at(m.at); v.holds(on) {
				v.taken = append(v.taken, around(on, hiddenRing, hiddenRing))
			}
		}
		for _, m := range marks {
			c.drawMark(v, m, m.shown[i], !m.shown[1-i] && (i == 0 || !d.views[0].holds(d.views[0].cam.at(m.at))))
		}
	}
}

func (w *worth) marks(d *drawnWorth) []worthMark {
	var marks []worthMark
	drop := 0.006*w.size + 2/d.page.scale
	for i, p := range w.in.Problems[:d.page.listed()] {
		if !p.HasAt || !isPlace(p.At) {
			continue
		}
		m := worthMark{number: i + 1, at: r3.Sub(p.At, w.middle)}
		for k := range d.views {
			m.shown[k] = d.views[k].shows(m.at, drop)
		}
		marks = append(marks, m)
	}
	return marks
}

// drawMark draws one mark in a view; alone says that a hidden place has its
// number here.
func (c *canvas) drawMark(v *worthView, m worthMark, shown, alone bool) {
	on := v.cam.at(m.at)
	if !v.holds(on) {
		at := v.freeAtEdge(on)
		v.taken = append(v.taken, around(at, 2*markHalf, 2*markHalf))
		tip := at.plus(on.minus(v.room.middle()).unit().times(markHalf + 13))
		c.draw(line(signal, 2.4), []point{at, tip.minus(tip.minus(at).unit().times(8))})
		c.arrow(signal, at, tip)
		c.number(at, m.number)
		return
	}
	if !shown {
		c.hiddenPlace(v, on)
		if !alone {
			return
		}
	}
	at, ok := v.besidePlace(on)
	if !ok {
		return
	}
	v.taken = append(v.taken, around(at, 2*markHalf, 2*markHalf))
	from := on
	if !shown {
		from = on.plus(at.minus(on).unit().times(hiddenRing))
	}
	v.lines = append(v.lines, []point{from, at})
	c.draw(stroke{chalk, 5, 0.85, nil}, []point{from, at})
	if !shown {
		c.draw(dashed(signal, 2.4, 5, 4), []point{from, at})
		c.hiddenNumber(at, m.number)
		return
	}
	c.draw(line(signal, 2.4), []point{from, at})
	c.fill(chalk, 1, disc(on, 7.5))
	c.fill(signal, 1, disc(on, 5.5))
	c.number(at, m.number)
}

// hiddenPlace draws a ring, but for places that have one already.
func (c *canvas) hiddenPlace(v *worthView, on point) {
	for _, r := range v.rings {
		if r.minus(on).length() < 1.5*hiddenRing {
			return
		}
	}
	v.rings = append(v.rings, on)
	c.draw(stroke{chalk, 4.4, 0.75, nil}, closed(disc(on, hiddenRing)))
	c.draw(dashed(signal, 2.4, 4, 4), closed(disc(on, hiddenRing)))
}

// besidePlace finds where a number for a place goes, off the scan where there
// is room near it.
func (v *worthView) besidePlace(on point) (at point, ok bool) {
	least := math.Inf(1)
	for ring := markHalf + 16; ring < 460 && ring < least; ring += 10 {
		for turn := range 24 {
			sin, cos := math.Sincos(2 * math.Pi * (float64(turn) + 0.5) / 24)
			p := on.plus(point{ring * cos, ring * sin})
			cost, free := v.cost(on, p)
			if cost += ring; free && cost < least {
				at, least, ok = p, cost, true
			}
		}
	}
	return at, ok
}

// cost is what speaks against a number at p for the place on, in px of distance;
// false when it meets another mark.
func (v *worthView) cost(on, p point) (float64, bool) {
	box := around(p, 2*markHalf, 2*markHalf)
	if !v.room.holds(box) {
		return 0, false
	}
	cost := 320 * v.solid.share(box.grown(3))
	for _, o := range v.taken {
		if box.grown(4).hits(o) {
			return 0, false
		}
		if !o.holds(rect{on.X, on.Y, on.X, on.Y}) && !disjoint([]point{on, p}, o.corners()) {
			cost += 400
		}
	}
	for _, l := range v.lines {
		if !disjoint(l, box.corners()) {
			cost += 400
		} else if !disjoint(l, []point{on, p}) {
			cost += 80
		}
	}
	return cost, true
}

// freeAtEdge is a place for a mark at the edge of the view, as near as there is
// room to where a line from the middle leaves it.
func (v *worthView) freeAtEdge(to point) point {
	const in = markHalf + 16
	first := v.edge(to, in)
	for far := 0.0; far < v.room.wide()+v.room.high(); far += 6 {
		for _, side := range []float64{1, -1} {
			mid := v.room.middle()
			d := to.minus(mid).unit()
			p := v.edge(to.plus(point{-d.Y, d.X}.times(side*far*math.Max(to.minus(mid).length()/first.minus(mid).length(), 1))), in)
			box := around(p, 2*markHalf, 2*markHalf).grown(4)
			free := true
			for _, o := range v.taken {
				free = free && !box.hits(o)
			}
			if free {
				return p
			}
		}
	}
	return first
}
