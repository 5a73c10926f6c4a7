package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A mold in two parts is drawn as the finished block, in which it is cast: its box lies
// on its side while either part is poured, and is not drawn.

// inParts tells whether the mold is poured in two parts.
func (s *scene) inParts() bool { return s.plan.TwoPart != nil }

// ovals are the keys on the bed, as closed lines in space.
func (s *scene) ovals() [][]r3.Vec {
	if !s.inParts() || !s.hasCut {
		return nil
	}
	var all [][]r3.Vec
	for _, k := range s.plan.TwoPart.Keys {
		along := vec(k.Along)
		side := r3.Cross(s.cut.n, along)
		var line []r3.Vec
		for i := range 32 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 32)
			line = append(line, r3.Add(vec(k.AtMM), r3.Add(r3.Scale(cos*k.LengthMM/2, along), r3.Scale(sin*k.WidthMM/2, side))))
		}
		all = append(all, line)
	}
	return all
}

// drawKeys draws the keys on the face that they lie on.
func (c *canvas) drawKeys(s *scene, f face) {
	for _, oval := range s.ovals() {
		shape := f.all(oval)
		c.fill(blue, 0.25, shape)
		c.draw(line(blue, 1.8), closed(shape))
	}
}

// keySwatch is a key in the legend.
func keySwatch(c *canvas, p point) {
	shape := ellipse(point{p.X + 23, p.Y + 13}, 19, 11)
	c.fill(blue, 0.25, shape)
	c.draw(line(blue, 1.8), closed(shape))
}

// partingName is what the parting sheet is called in the legend.
func (s *scene) partingName() string {
	switch {
	case !s.inParts():
		return "cut (parting plane)"
	case s.plan.Cut.Surface == "plane":
		return "bed of clay (parting plane)"
	}
	return "middle plane of the bed"
}

// standNote says what the picture shows the block like.
func (s *scene) standNote() string {
	if s.inParts() {
		return "The finished block, spout down: poured in two parts lying on its side, turned over to cast."
	}
	return "Stands as rubber is poured; turned over to cast, so that the spout is on top."
}

// behindName is what of the pattern lies behind the parting sheet.
func (s *scene) behindName() string {
	if s.inParts() {
		return "pattern behind the bed"
	}
	return "pattern behind the cut"
}
