package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
)

// setStiffener takes the rod that goes into the cast, and the second one of a lap.
func (s *scene) setStiffener(r analysis.Rod) {
	if r.FromMM == nil || r.ToMM == nil || !(r.DiameterMM > 0) {
		return
	}
	s.stiff = append(s.stiff, rod{foot: vec(*r.FromMM), top: vec(*r.ToMM), radius: r.DiameterMM / 2})
	if two := r.Second; two != nil {
		s.stiff = append(s.stiff, rod{foot: vec(two.FromMM), top: vec(two.ToMM), radius: r.DiameterMM / 2})
	}
}

// stiffenerLabel says how thick and how long one of the rods is.
func (s *scene) stiffenerLabel(i int) (name, value string) {
	name = "rod"
	if len(s.stiff) > 1 {
		name = [2]string{"first rod", "second rod"}[i]
	}
	r := s.stiff[i]
	return name + " " + s.words.length(2*r.radius) + " thick", s.words.length(r3.Norm(r3.Sub(r.top, r.foot)))
}

// stiffenerSpots are places for the label of a rod beside the block, both ways and
// above; the rod is pointed at where the line to it is short.
func (s *scene) stiffenerSpots(cam camera, r rod, wide, high float64) []spot {
	return spotsBeside(boundsOf(joined(s.outlines(cam))), []point{cam.at(along(r.foot, r.top, 0.3)), cam.at(along(r.foot, r.top, 0.5)), cam.at(along(r.foot, r.top, 0.7))}, wide, high)
}

// spotsBeside lists places for a label outside of a rectangle, tied to one of
// several points in it.
func spotsBeside(box rect, targets []point, wide, high float64) []spot {
	const gap, tight = 24.0, 140.0 // px; labels past the ends make a long view smaller
	var all []spot
	sides, ends := 0.0, 25.0
	if box.high() > 1.15*box.wide() {
		ends += tight
	} else if box.wide() > 1.15*box.high() {
		sides += tight
	}
	add := func(on, middle point, cost float64) {
		at := around(middle, wide, high)
		end := at.grown(5).nearest(on)
		all = append(all, spot{box: at, leader: [2]point{on, end}, cost: cost + end.minus(on).length()})
	}
	for _, on := range targets {
		for _, out := range []float64{-180, -90, 0, 50, 110, 180, 260, 350} {
			for step := -20.0; step <= 20; step++ {
				y := on.Y + 15*step
				add(on, point{box.X1 + gap + out + wide/2, y}, sides+0.5*math.Abs(15*step))
				add(on, point{box.X0 - gap - out - wide/2, y}, sides+0.5*math.Abs(15*step)+30)
				x := on.X + 22*step
				add(on, point{x, box.Y0 - gap - out - high/2}, ends+0.3*math.Abs(22*step))
				add(on, point{x, box.Y1 + gap + out + high/2}, ends+0.3*math.Abs(22*step))
			}
		}
	}
	return all
}

// drawStiffeners draws the rods and their labels over the view of the block.
func (c *canvas) drawStiffeners(s *scene, l *layout) {
	for i, r := range s.stiff {
		c.drawStiffener(r, l.cam, true)
		if at := l.stiff[i]; at.box != (rect{}) {
			c.drawTie(at)
			name, value := s.stiffenerLabel(i)
			c.drawLabel(at.box, name, value)
		}
	}
}

// drawTie draws the line from a label to what it names.
func (c *canvas) drawTie(at spot) {
	if !at.tied() {
		return
	}
	c.draw(stroke{chalk, 4, 0.8, nil}, at.leader[:])
	c.draw(line(ink, 1.6), at.leader[:])
	c.fill(ink, 1, disc(at.leader[0], 4))
}

// leastStiff is how thin a rod is drawn at the least, px.
const leastStiff = 5.0

// drawStiffener draws a rod as a bar; buried, it is seen through what is before it.
func (c *canvas) drawStiffener(r rod, cam camera, buried bool) {
	wide := math.Max(2*r.radius*cam.scale, leastStiff)
	a, b := cam.at(r.foot), cam.at(r.top)
	u := b.minus(a).unit()
	n := point{-u.Y, u.X}.times(wide / 2)
	bar := []point{a.plus(n), b.plus(n), b.minus(n), a.minus(n)}
	if u == (point{}) { // seen along its axis
		bar = disc(a, wide/2)
	}
	if buried {
		c.fill(steel, 0.5, bar)
		c.draw(stroke{chalk, 3, 0.55, nil}, closed(bar))
		c.draw(dashed(ink, 1.8, 7, 5), []point{bar[0], bar[1]}, bar[2:])
		return
	}
	c.fill(steel, 1, bar)
	c.draw(line(chalk, 3.2), closed(bar))
	c.draw(line(ink, 1.5), closed(bar))
}

// stiffenerSwatch is a row of a key.
func stiffenerSwatch(buried bool) func(*canvas, point) {
	flat := camera{right: r3.Vec{X: 1}, up: r3.Vec{Y: 1}, scale: 1}
	return func(c *canvas, p point) {
		c.drawStiffener(rod{foot: r3.Vec{X: p.X + 2, Y: -p.Y - 13}, top: r3.Vec{X: p.X + 44, Y: -p.Y - 13}, radius: 4.5}, flat, buried)
	}
}
