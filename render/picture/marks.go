package picture

import (
	"image"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"
)

// boardThick is how thick the board is shown, in mm.
func (s *scene) boardThick() float64 { return 0.014 * s.size }

// blockOnPicture is the part of the picture in which something is solid or
// translucent.
func (s *scene) blockOnPicture(cam camera) (low, high image.Point) {
	all := append(s.walls.around(0, 0), s.walls.around(s.block.Max.Z, 0)...)
	for _, z := range []float64{s.partBox.Min.Z, s.partBox.Max.Z} {
		all = append(all, rim(s.partBox, z, 0)...)
	}
	r := boundsOf(append(cam.all(all), joined(s.holderShapes(cam))...)).grown(2)
	return image.Pt(max(int(r.X0), 0), max(int(r.Y0), 0)), image.Pt(min(int(r.X1)+1, Width), min(int(r.Y1)+1, Height))
}

func sign(x float64) int {
	if x < 0 {
		return -1
	}
	return 1
}

// drawBehind draws what block and pattern stand on and in front of.
func (c *canvas) drawBehind(s *scene, cam camera) {
	c.drawBoard(s, cam)
	if s.spoutR > 0 {
		c.fill(lamp, 1, cam.all(circle(s.spout, s.spoutR)))
	}
	foot, top := s.walls.around(0, 0), s.walls.around(s.block.Max.Z, 0)
	hidden := dashed(ink.mix(glass, 0.35), 1.5, 7, 6)
	for _, run := range s.footRuns(cam, false) {
		c.draw(hidden, cam.all(run))
	}
	for i := range foot {
		if s.walls.edgeAt(i, cam) == hiddenEdge {
			c.draw(hidden, cam.all([]r3.Vec{foot[i], top[i]}))
		}
	}
}

// footRuns are the edges of the block on the board, of the walls that are turned to
// the viewer or of the others, joined where they meet.
func (s *scene) footRuns(cam camera, seen bool) (runs [][]r3.Vec) {
	foot := s.walls.foot
	first := 0 // a corner at which the walls before and after are turned apart
	for s.walls.faces(first, cam) == s.walls.faces(first+len(foot)-1, cam) && first < len(foot)-1 {
		first++
	}
	open := false
	for k := range foot {
		i := (first + k) % len(foot)
		is := s.walls.faces(i, cam) == seen
		if is && !open {
			runs = append(runs, []r3.Vec{foot[i]})
		}
		if open = is; is {
			runs[len(runs)-1] = append(runs[len(runs)-1], foot[(i+1)%len(foot)])
		}
	}
	return runs
}

func (c *canvas) drawBoard(s *scene, cam camera) {
	top, under := rim(s.block, 0, s.boardEdge), rim(s.block, -s.boardThick(), s.boardEdge)
	for i := range top {
		j := (i + 1) % len(top)
		out := r3.Cross(r3.Sub(top[j], top[i]), r3.Vec{Z: 1})
		if r3.Dot(out, cam.toward) > 0 {
			dark := 0.16
			if out.Y != 0 {
				dark = 0.08
			}
			c.fill(board.mix(ink, dark), 1, cam.all([]r3.Vec{top[i], top[j], under[j], under[i]}))
			c.draw(line(faint, 1.2), cam.all([]r3.Vec{top[i], under[i], under[j], top[j]}))
		}
	}
	c.fill(board, 1, cam.all(top))
	c.draw(line(faint, 1.2), cam.all(append(top, top[0])))
	for _, grow := range []float64{0.020, 0.013, 0.006} { // a soft shadow around the block
		c.fill(ink, 0.06, cam.all(s.walls.around(0, grow*s.size)))
	}
}

// drawInFront draws the lines of the block, the cut, the spout and the vents.
// What the pattern hides is dashed.
func (c *canvas) drawInFront(s *scene, cam camera, o *opaque) {
	if poly := s.acrossBlock(); poly != nil {
		seen, _ := o.seen(cam, append(poly, poly[0]), 0)
		c.draw(dashed(blue, 2.4, 13, 7), seen...)
	}
	bias := 0.006*s.size + 2/cam.scale
	for _, loop := range s.outline {
		seen, hidden := o.seen(cam, loop, bias)
		c.draw(stroke{blue.mix(oak, 0.25), 1.4, 0.8, []float64{3, 6}}, hidden...)
		c.draw(stroke{chalk, 5.4, 0.55, nil}, seen...)
		c.draw(line(blue, 3.2), seen...)
	}
	for _, v := range s.vents {
		if v.isPost() {
			_, hidden := o.seen(cam, []r3.Vec{v.foot, v.top}, v.radius+1.5*leastRod/cam.scale)
			c.draw(dashed(lamp, 2.4, 4, 5), hidden...)
		}
		c.draw(line(amber, 1.6), cam.all(circle(r3.Vec{X: v.foot.X, Y: v.foot.Y}, math.Max(v.radius, 1.6*leastRod/cam.scale))))
	}
	if s.spoutR > 0 {
		c.drawSpout(s, cam, o, bias)
	}
	c.drawHidden(s, cam, o)
	c.drawFillers(s, cam, o)
	c.drawEdges(s, cam, o)
}

// drawSpout draws the spout's rim, and the stem where the pattern hides it.
func (c *canvas) drawSpout(s *scene, cam camera, o *opaque, bias float64) {
	under := dashed(lamp, 2.6, 5, 6)
	seen, hidden := o.seen(cam, circle(s.spout, s.spoutR), bias)
	c.draw(under, hidden...)
	c.draw(line(amber, 4.6), seen...)
	c.draw(line(lamp, 2.8), seen...)
	if s.stem == 0 {
		return
	}
	top, side := r3.Add(s.spout, r3.Vec{Z: s.stem}), r3.Scale(s.spoutR, cam.right)
	for _, edge := range [][]r3.Vec{
		circle(top, s.spoutR), {r3.Add(s.spout, side), r3.Add(top, side)}, {r3.Sub(s.spout, side), r3.Sub(top, side)},
	} {
		_, hidden := o.seen(cam, edge, s.spoutR+bias)
		c.draw(under, hidden...)
	}
}

// drawEdges draws the visible edges of block and walls, softly where they
// cross the pattern.
func (c *canvas) drawEdges(s *scene, cam camera, o *opaque) {
	level := s.block.Max.Z
	foot, top, wall := s.walls.around(0, 0), s.walls.around(level, 0), s.walls.around(s.wallTop, 0)
	thick, thin := [][]r3.Vec{append(top, top[0])}, [][]r3.Vec{append(wall, wall[0])}
	for i := range foot {
		edge := s.walls.edgeAt(i, cam)
		if edge == seenEdge {
			thick = append(thick, []r3.Vec{foot[i], top[i]})
		}
		if edge != noEdge {
			thin = append(thin, []r3.Vec{top[i], wall[i]})
		}
	}
	if s.wallTop > level {
		c.drawOver(cam, o, line(faint, 1.4), thin)
	}
	thick = append(thick, s.footRuns(cam, true)...)
	c.drawOver(cam, o, line(deep, 2.6), thick)
}

// drawOver draws lines in front of everything, thinner where something solid
// is behind them.
func (c *canvas) drawOver(cam camera, o *opaque, st stroke, paths [][]r3.Vec) {
	var clear, crossing [][]point
	for _, path := range paths {
		free, over := o.seen(cam, path, -math.MaxFloat64) // nothing solid is that far behind
		clear, crossing = append(clear, free...), append(crossing, over...)
	}
	c.draw(st, clear...)
	st.width, st.cover = 0.7*st.width, 0.55
	c.draw(st, crossing...)
}

// seen parts a line in space into what is visible and what something solid
// hides, given how far behind the surface still counts as on it, in mm.
func (o *opaque) seen(cam camera, path []r3.Vec, bias float64) (visible, hidden [][]point) {
	const step = 1.5 // px
	var run []point
	was, first := false, true
	flush := func() {
		if len(run) > 1 {
			if was {
				visible = append(visible, run)
			} else {
				hidden = append(hidden, run)
			}
		}
	}
	for i := 1; i < len(path); i++ {
		n := max(int(cam.at(path[i]).minus(cam.at(path[i-1])).length()/step), 1)
		for k := range n + 1 {
			if k == 0 && i > 1 {
				continue
			}
			p := along(path[i-1], path[i], float64(k)/float64(n))
			at := cam.at(p)
			is := cam.depth(p) <= o.near(at)+bias
			if !first && is != was {
				run = append(run, at)
				flush()
				run = nil
			}
			run, was, first = append(run, at), is, false
		}
	}
	flush()
	return visible, hidden
}

// near is the depth of what is solid at a place.
func (o *opaque) near(p point) float64 {
	x, y := math.Floor((p.X-float64(o.left))*grain), math.Floor((p.Y-float64(o.top))*grain)
	if math.Abs(x) > 1e9 || math.Abs(y) > 1e9 {
		return math.Inf(1)
	}
	return float64(o.sample(int(x), int(y)))
}

// drawVentNumbers puts a number beside every vent, clear of the pattern where
// there is room.
func (c *canvas) drawVentNumbers(s *scene, l *layout, o *opaque) {
	const half = 18.0
	for i, v := range s.vents {
		at, on, ok := l.besideVent(v, half, o)
		if !ok {
			continue
		}
		l.taken.rects = append(l.taken.rects, around(at, 2*half, 2*half))
		c.draw(line(amber, 1.6), []point{on, at})
		c.fill(amber, 1, disc(at, half))
		c.fill(chalk, 1, disc(at, half-2.2))
		number := strconv.Itoa(i + 1)
		c.text(small, ink, at.X-c.letters.width(small, number)/2, at.Y+0.36*sizes[small], number)
	}
}

// drawWarnings puts a sign beside every trap that has no vent.
func (c *canvas) drawWarnings(s *scene, l *layout, o *opaque) {
	for _, trap := range s.unvented {
		at, on, ok := l.besideVent(rod{foot: trap, top: trap}, warningHalf, o)
		if !ok {
			continue
		}
		l.taken.rects = append(l.taken.rects, around(at, 2*warningHalf, 2*warningHalf))
		c.draw(line(chalk, 5), []point{on, at})
		c.draw(line(signal, 2.4), []point{on, at})
		c.fill(chalk, 1, disc(on, 7))
		c.fill(signal, 1, disc(on, 5))
		c.warning(at)
	}
}

const warningHalf = 17.0 // px

// warning draws a sign that something is wrong, which also reads without
// colour.
func (c *canvas) warning(at point) {
	const wide, up, down = 17.0, 17.0, 13.0
	sign := []point{{at.X, at.Y - up}, {at.X + wide, at.Y + down}, {at.X - wide, at.Y + down}}
	c.draw(line(chalk, 5), closed(sign))
	c.fill(signal, 1, sign)
	c.draw(line(signal, 2), closed(sign))
	c.draw(line(chalk, 3.6), []point{{at.X, at.Y - 7}, {at.X, at.Y + 2}})
	c.fill(chalk, 1, disc(point{at.X, at.Y + 8}, 2.4))
}

// besideVent finds a place for a number near a vent and the point of the vent
// that it is tied to.
func (l *layout) besideVent(v rod, half float64, o *opaque) (at, on point, ok bool) {
	foot, top := l.cam.at(v.foot), l.cam.at(v.top)
	least := math.Inf(1)
	for ring := half + 9; ring < 320; ring += 9 {
		if ok && ring > least {
			break
		}
		for _, t := range []float64{0.25, 0.5, 0.1, 0.75, 0} {
			from := foot.to(top, t)
			for turn := range 16 {
				sin, cos := math.Sincos(2 * math.Pi * float64(turn) / 16)
				p := from.plus(point{ring * cos, ring * sin})
				box := around(p, 2*half, 2*half)
				if !l.isFree(box) {
					continue
				}
				if cost := ring + 500*o.share(box.grown(3)) + 20*math.Abs(t-0.25) + 8*math.Abs(sin); cost < least {
					at, on, least, ok = p, from, cost, true
				}
			}
		}
	}
	return at, on, ok
}

func (l *layout) isFree(box rect) bool {
	if !viewRoom.grown(10).holds(box) {
		return false
	}
	for _, r := range l.taken.rects {
		if box.grown(4).hits(r) {
			return false
		}
	}
	for _, line := range l.taken.lines[:l.measured] {
		if !disjoint(box.grown(2).corners(), line[:]) {
			return false
		}
	}
	return true
}

// share is how much of a rectangle has something solid in it, 0–1.
func (o *opaque) share(r rect) float64 {
	const across = 6
	var n int
	for j := range across {
		for i := range across {
			p := point{r.X0 + r.wide()*(float64(i)+0.5)/across, r.Y0 + r.high()*(float64(j)+0.5)/across}
			if !math.IsInf(o.near(p), 1) {
				n++
			}
		}
	}
	return float64(n) / (across * across)
}
