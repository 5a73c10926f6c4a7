package picture

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
)

// pinRadius is that of the dowel that pins are cut from, mm.
const pinRadius = 3.0

// setHold takes the pins through the walls, and the bar across the box with its
// prop on the pattern.
func (s *scene) setHold(h analysis.Hold) {
	radius := math.Min(pinRadius, thickestRod*s.size)
	past := 0.02 * s.size // so much of a pin is seen outside
	for _, p := range h.Pins {
		at := vec(p.AtMM)
		n := s.walls.toWall(at, p.GapMM)
		s.pins = append(s.pins, rod{foot: r3.Add(at, r3.Scale(p.GapMM+past, n)), top: at, radius: radius})
	}
	if h.Bar == nil {
		return
	}
	at := vec(h.Bar.AtMM)
	top := math.Max(s.wallTop, at.Z+radius)
	s.bar = append(s.bar, rod{foot: at, top: r3.Vec{X: at.X, Y: at.Y, Z: top}, radius: radius})
	line := s.walls.around(0, past)
	front, back := math.Inf(1), math.Inf(-1)
	for i, a := range line {
		b := line[(i+1)%len(line)]
		if (a.X-at.X)*(b.X-at.X) <= 0 && a.X != b.X {
			y := along(a, b, (at.X-a.X)/(b.X-a.X)).Y
			front, back = math.Min(front, y), math.Max(back, y)
		}
	}
	if front < back {
		s.bar = append(s.bar, rod{foot: r3.Vec{X: at.X, Y: front, Z: top + radius}, top: r3.Vec{X: at.X, Y: back, Z: top + radius}, radius: radius})
	}
}

// toWall is the direction in which a place is as far from a wall as it is said to
// be.
func (b *prism) toWall(at r3.Vec, gap float64) r3.Vec {
	if far := math.Hypot(at.X, at.Y); b.round() && far > 0 {
		return r3.Vec{X: at.X / far, Y: at.Y / far}
	}
	best, least := r3.Vec{X: 1}, math.Inf(1)
	for _, w := range b.sides {
		if off := math.Abs(w.at - r3.Dot(w.n, at) - gap); off < least {
			best, least = w.n, off
		}
	}
	return best
}

// holders are the surfaces of pins and bar.
func (s *scene) holders(scale float64) (all []body) {
	for _, r := range append(s.pins[:len(s.pins):len(s.pins)], s.bar...) {
		r.radius = math.Max(r.radius, leastRod/scale)
		if r.isPost() {
			all = append(all, shaded(cylinder(r), steel))
		}
	}
	return all
}

// holderShapes are pins and bar as they are seen.
func (s *scene) holderShapes(cam camera) (shapes [][]point) {
	for _, r := range append(s.pins[:len(s.pins):len(s.pins)], s.bar...) {
		half := math.Max(r.radius*cam.scale, leastRod)
		a, b := cam.at(r.foot), cam.at(r.top)
		shapes = append(shapes, hulled(append(around(a, 2*half, 2*half).corners(), around(b, 2*half, 2*half).corners()...)))
	}
	return shapes
}

// drawHidden draws the pins and the bar where the pattern hides them.
func (c *canvas) drawHidden(s *scene, cam camera, o *opaque) {
	for _, r := range append(s.pins[:len(s.pins):len(s.pins)], s.bar...) {
		_, hidden := o.seen(cam, []r3.Vec{r.foot, r.top}, r.radius+1.5*leastRod/cam.scale)
		c.draw(dashed(steel, 2.4, 4, 5), hidden...)
	}
}

// brace is a strap or a row of battens around the box.
type brace struct {
	name   string
	height float64
}

// setBraces takes what goes round the walls.
func (s *scene) setBraces(b analysis.Bow) {
	if b.Bracing == nil {
		return
	}
	name, _, _ := strings.Cut(readable(b.Bracing.Name), ":")
	switch low := strings.ToLower(name); {
	case strings.Contains(low, "batten"):
		name = "battens"
	case strings.Contains(low, "strap"):
		name = "strap"
	}
	for _, z := range b.Bracing.HeightsMM {
		if z > 0 && z < s.wallTop {
			s.braces = append(s.braces, brace{name: name, height: z})
		}
	}
}

// bracesName is the legend's row.
func (s *scene) bracesName() string {
	n, name := len(s.braces), s.braces[0].name
	switch {
	case n == 1:
		return name + " round the box"
	case name == "battens":
		return strconv.Itoa(n) + " rows of battens"
	}
	return strconv.Itoa(n) + " straps round the box"
}

// drawBraces draws them on the walls towards the viewer.
func (c *canvas) drawBraces(s *scene, l *layout) {
	for i, b := range s.braces {
		for _, run := range s.footRuns(l.cam, true) {
			for k := range run {
				run[k].Z = b.height
			}
			c.drawBrace(l.cam.all(run))
		}
		at := l.braces[i]
		c.draw(stroke{chalk, 4, 0.8, nil}, at.leader[:])
		c.draw(stroke{steel, 1.6, 1, nil}, at.leader[:])
		c.drawLabel(at.box, b.name, s.words.length(b.height))
	}
}

// drawBrace draws one along a line on the picture.
func (c *canvas) drawBrace(path []point) {
	c.draw(stroke{steel, 8, 0.75, nil}, path)
	c.draw(stroke{chalk, 1.2, 0.6, nil}, path)
}

// braceSpots are places for the label of a height beside the block, both ways.
func (s *scene) braceSpots(cam camera, height, wide, high float64) []spot {
	board := boundsOf(cam.all(rim(s.block, 0, s.boardEdge)))
	var all []spot
	for _, side := range []int{-1, 1} {
		p := s.walls.outermost(cam, side)
		p.Z = height
		at := cam.at(p)
		edge := board.X1 - at.X
		if side < 0 {
			edge = at.X - board.X0
		}
		for further := 34.0; further < 420; further += 16 {
			for _, lower := range []float64{0, -30, 30, -60, 60, -100, 100, -150, 150} {
				middle := at.plus(point{float64(side) * (math.Max(edge, 0) + further + wide/2), lower})
				box := around(middle, wide, high)
				all = append(all, spot{box: box, leader: [2]point{at, box.grown(7).nearest(at)}, cost: further + 0.5*math.Abs(lower)})
			}
		}
	}
	return all
}
