package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Colours of the cutaways.
var (
	poured   = blue.mix(paper, 0.42)  // casting material
	foamed   = blue.mix(paper, 0.66)  // foam that has risen
	trapped  = signal                 // air that stays
	leaving  = signal.mix(paper, 0.6) // air that a vent lets out
	backWall = board.mix(paper, 0.35) // inside of the box behind the cut
	wallCut  = board.mix(ink, 0.16)   // walls and board, cut
	hollow   = paper.mix(ink, 0.07)   // empty cavity
	oakLine  = oak.mix(shadow, 0.55)  // hatching of the pattern
	lampLine = lamp.mix(amber, 0.7)   // hatching of stem and posts
	rubberIn = glass.mix(paper, 0.10) // liquid rubber
	cured    = glass.mix(paper, 0.22) // rubber that has set
)

// How much of what is behind the cut shows in the open, through a liquid and
// through cured rubber.
const (
	shownInAir    = 0.62
	shownInLiquid = 0.13
	shownInRubber = 0.30
)

// coated is how much of the colour of a hollow cast its far wall has.
const coated = 0.35

// paint fills the pixels of the view as they are when the liquid's surface
// stands at a height. Without a liquid the height is that of the beginning.
func (c *canvas) paint(v *cutView, level float64) {
	eachPart(v.high, func(row int) {
		for col := range v.wide {
			if t, ok := v.colour(col, row, level); ok {
				c.img.SetRGBA(v.x0+col, v.y0+row, t.opaque())
			}
		}
	})
}

// colour is what a pixel shows; false outside the block and box.
func (v *cutView) colour(col, row int, level float64) (tint, bool) {
	i := row*v.wide + col
	p := v.place(col, row)
	t := p.X*v.along.X + p.Y*v.along.Y
	if p.Z < 0 || p.Z > v.top() || t < v.behind.lo || t > v.behind.hi {
		return tint{}, false
	}
	if t < v.inside.lo || t > v.inside.hi { // beside the cut: the outside of what is behind it
		if v.pour == castRises {
			return glass.mix(ink, 0.16), true
		}
		return board.mix(ink, 0.07), true
	}
	part, rods := float64(v.part[i])/255, float64(v.rods[i])/255
	if v.pour == castRises {
		cavity := 1 - (1-part)*(1-rods)
		return v.rubberCut(col, row, p.Z, level).mix(v.inCavity(i, p.Z, level), cavity), true
	}
	c := v.inBox(i, p.Z, level)
	if rods > 0 {
		c = c.mix(lamp.mix(lampLine, 0.8*hatching(col+v.x0, row+v.y0, 7)), rods)
	}
	if part > 0 {
		c = c.mix(oak.mix(oakLine, 0.9*hatching(col+v.x0, row+v.y0, 10)), part)
	}
	return c, true
}

// inBox is the space around the pattern while rubber rises.
func (v *cutView) inBox(i int, z, level float64) tint {
	if trap := v.air[i]; trap >= 0 && v.shut(int(trap), level) {
		return trapped
	}
	seen := v.beyond[i]
	open := backWall.mix(seen.colour, shownInAir*seen.cover)
	if bowl := v.bowls[i]; bowl >= 0 && level < v.rims[bowl] { // still dry
		return open
	}
	rubber := rubberIn.mix(seen.colour, shownInLiquid*seen.cover)
	return open.mix(rubber, v.wet(z, level, v.cam.scale))
}

// inCavity is the space that the pattern left while casting material rises.
func (v *cutView) inCavity(i int, z, level float64) tint {
	seen := v.beyond[i]
	open := hollow.mix(seen.colour, shownInAir*seen.cover)
	if v.skinned != nil {
		return open.mix(poured, coated).mix(poured, float64(v.skinned[i])/255) // skin is on the far wall too
	}
	if trap := v.air[i]; trap >= 0 && (v.risen || v.shut(int(trap), level)) {
		if v.traps[trap].vent == nil {
			return trapped
		}
		open = leaving
	}
	if v.risen {
		at := point{float64(v.x0 + i%v.wide), float64(v.y0 + i/v.wide)}
		open = foamed.mix(seen.colour, shownInLiquid*seen.cover).mix(chalk, 0.75*bubbles(at))
	}
	filled := poured.mix(seen.colour, shownInLiquid*seen.cover)
	return open.mix(filled, v.wet(z, level, v.cam.scale))
}

// rubberCut is the cut face of cured rubber, with the cavity behind it faintly.
func (v *cutView) rubberCut(col, row int, z, level float64) tint {
	seen := v.beyond[row*v.wide+col]
	ghost := seen.colour.mix(poured, 0.75*v.wet(z, level, v.cam.scale))
	face := cured.mix(ghost, shownInRubber*seen.cover)
	return face.mix(deep, 0.55*hatching(col+v.x0, row+v.y0, 13))
}

// hatching is how much of a pixel a slanting line covers, when the lines are so
// many px apart.
func hatching(x, y int, apart float64) float64 {
	const half = 0.6
	at := float64(x+y) * math.Sqrt2 / 2
	off := math.Abs(at - apart*math.Round(at/apart))
	return min(max(half+0.5-off, 0), 1)
}

// bubbles is how much of a pixel the bubbles of foam cover.
func bubbles(at point) float64 {
	const apart, half = 15.0, 2.1
	row := math.Floor(at.Y / apart)
	shift := apart / 2 * math.Mod(row, 2)
	off := point{math.Mod(at.X+shift, apart) - apart/2, math.Mod(at.Y, apart) - apart/2}
	return min(max(half+0.5-off.length(), 0), 1)
}

// drawCutaway draws a view with its edges when the liquid, if there is any, stands
// at a height; pours says that a stream of it comes in.
func (c *canvas) drawCutaway(v *cutView, level float64, liquid, pours bool) {
	if v.pour == rubberRises {
		c.drawBoxCut(v)
	}
	c.paint(v, level)
	if pours {
		c.drawStream(v, level)
	}
	c.drawRodsBeside(v)
	for _, l := range v.loops {
		c.draw(line(shadow, 2), closed(v.cam.all(l)))
	}
	c.drawRodEdges(v)
	c.drawEdgesCut(v)
	if liquid {
		c.drawSurface(v, level)
		c.drawAirLeaving(v, level)
	}
}

// drawAirLeaving draws an arrow out of each vent that lets air out at a level.
func (c *canvas) drawAirLeaving(v *cutView, level float64) {
	const gap, long = 5.0, 26.0
	for i, t := range v.traps {
		if v.pour != castRises || t.vent == nil || !v.shut(i, level) || level < t.at.Z || !v.inCut(*t.vent) {
			continue
		}
		foot := v.cam.at(t.vent.foot)
		from, tip := foot.minus(point{0, gap}), foot.minus(point{0, gap + long})
		c.draw(line(signal, 2.6), []point{from, tip.plus(point{0, 8})})
		c.arrow(signal, from, tip)
	}
}

// drawBoxCut draws walls and board.
func (c *canvas) drawBoxCut(v *cutView) {
	w := v.wallThick()
	slab := v.rectangle(stretch{v.behind.lo - 1.6*w, v.behind.hi + 1.6*w}, stretch{-w, 0})
	behind := v.rectangle(stretch{v.behind.lo - w, v.behind.hi + w}, stretch{0, v.s.wallTop})
	c.fill(board.mix(ink, 0.07), 1, v.cam.all(behind))
	for _, shape := range [][]point{
		v.cam.all(slab),
		v.cam.all(v.rectangle(stretch{v.inside.lo - w, v.inside.lo}, stretch{0, v.s.wallTop})),
		v.cam.all(v.rectangle(stretch{v.inside.hi, v.inside.hi + w}, stretch{0, v.s.wallTop})),
	} {
		c.fill(wallCut, 1, shape)
		c.draw(line(shade, 1.4), closed(shape))
	}
}

// drawEdgesCut draws the outline of the cut block or box.
func (c *canvas) drawEdgesCut(v *cutView) {
	edge := line(deep, 2.4)
	if v.pour == rubberRises {
		edge = line(shade, 1.6)
	}
	z := stretch{0, v.top()}
	if v.behind.long() > v.inside.long() {
		c.draw(stroke{edge.colour, 1.4, 0.6, nil}, closed(v.cam.all(v.rectangle(v.behind, z))))
	}
	shape := v.cam.all(v.rectangle(v.inside, z))
	if v.pour == rubberRises { // open on top
		c.draw(edge, []point{shape[3], shape[0], shape[1], shape[2]})
		return
	}
	c.draw(edge, closed(shape))
}

// drawRodEdges outlines stem and posts, or the ways that they leave.
func (c *canvas) drawRodEdges(v *cutView) {
	edge := line(amber, 1.8)
	vent := edge
	if v.pour == castRises {
		edge, vent = line(lamp, 3), line(lamp, 1.8)
	}
	if v.s.stem > 0 && v.s.spoutR > 0 {
		mid := v.spoutAlong()
		shape := v.cam.all(v.rectangle(stretch{mid - v.s.spoutR, mid + v.s.spoutR}, stretch{0, v.s.stem}))
		c.draw(edge, []point{shape[0], shape[3]}, []point{shape[1], shape[2]})
	} else if v.s.spoutR > 0 { // where the pattern itself meets the board
		mid := v.spoutAlong()
		c.draw(line(lamp, 5), v.cam.all(v.rectangle(stretch{mid - v.s.spoutR, mid + v.s.spoutR}, stretch{0, 0}))[:2])
	}
	for _, r := range v.s.vents {
		if r.isPost() && v.inCut(r) {
			shape := v.rodShape(r)
			c.draw(vent, shape[0:2], shape[2:4])
		}
	}
}

// spoutAlong is where the spout is along the cut.
func (c *cutaway) spoutAlong() float64 { return r3.Dot(c.along, c.s.spout) }

// drawRodsBeside draws the vents that are not in the cut, as lines.
func (c *canvas) drawRodsBeside(v *cutView) {
	if v.pour != castRises {
		return
	}
	for _, r := range v.s.vents {
		if r.isPost() && !v.inCut(r) {
			c.draw(dashed(lamp, 2.6, 6, 5), []point{v.cam.at(r.foot), v.cam.at(r.top)})
		}
	}
}

// drawSurface draws the line at which the liquid stands, beyond the walls.
func (c *canvas) drawSurface(v *cutView, level float64) {
	a, b := v.cam.at(v.at(v.inside.lo, level)), v.cam.at(v.at(v.inside.hi, level))
	if a.X > b.X {
		a, b = b, a
	}
	const tail, wide, high = 10.0, 11.0, 7.0
	tip := a.minus(point{v.wallPx(), 0})
	c.draw(dashed(ink, 1.3, 7, 5), []point{tip, b})
	c.draw(line(ink, 1.6), []point{tip.minus(point{tail, 0}), tip})
	mark := tip.minus(point{tail + wide, 0})
	c.fill(ink, 1, []point{{mark.X, mark.Y - high}, {mark.X + wide, mark.Y}, {mark.X, mark.Y + high}})
}

// wallPx is how far what is drawn reaches to the left of the cut, px.
func (v *cutView) wallPx() float64 {
	beside := v.inside.lo - v.behind.lo
	if v.pour == castRises {
		return (v.behind.hi - v.inside.hi) * v.cam.scale
	}
	return (beside + v.wallThick()) * v.cam.scale
}

// drawStream draws what is poured: rubber in a thin stream down the wall at the
// right, casting material through the spout.
func (c *canvas) drawStream(v *cutView, level float64) {
	if v.pour == rubberRises {
		half := 1.2 + 0.003*v.s.size*v.cam.scale
		x := v.cam.at(v.at(v.inside.hi, 0)).X - 4*half
		top := v.cam.at(v.at(v.inside.hi, v.s.wallTop)).Y - 22
		c.fill(deep, 0.9, rect{x - half, top, x + half, v.cam.at(v.at(0, level)).Y}.corners())
		return
	}
	from := v.cam.at(v.at(v.spoutAlong(), 0))
	half := min(1.2+0.003*v.s.size*v.cam.scale, 0.3*v.s.spoutR*v.cam.scale)
	end := v.streamEnd(from, v.cam.at(v.at(v.spoutAlong(), level)).Y)
	c.fill(poured.mix(ink, 0.18), 0.9, rect{from.X - half, from.Y - 22, from.X + half, end}.corners())
}

// streamEnd is where a stream straight down from a place meets the cavity's
// wall, or the liquid.
func (v *cutView) streamEnd(from point, surface float64) float64 {
	col := int(from.X) - v.x0
	if col < 0 || col >= v.wide {
		return from.Y
	}
	y := from.Y + 2
	for ; y < surface; y++ {
		row := int(y) - v.y0
		if row < 0 || row >= v.high || v.part[row*v.wide+col] < 128 && v.rods[row*v.wide+col] < 128 {
			break
		}
	}
	return y
}
