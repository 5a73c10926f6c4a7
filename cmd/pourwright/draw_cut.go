package main

import (
	"context"

	"pourwright/render/drawing"
)

// drawCut draws the face of the cut, or the bed of a mold in two parts, true to size: an SVG, since it is measured and
// printed, not only looked at.
func (con *console) drawCut(_ context.Context, s *solved) ([]byte, error) {
	draw := drawing.CutFace
	if s.TwoPart != nil {
		draw = drawing.Bed // nothing is cut
	}
	d, ok := draw(s.Plan, s.style)
	if !ok {
		return nil, &usageError{"the cut of " + s.Name + " does not meet the block, so there is no face to draw", "plan it another way up with --down"}
	}
	return d.SVG(), nil
}

// article is what stands before the name of a kind of file.
func article(kind string) string {
	if kind == "SVG" { // spoken letter by letter
		return "an"
	}
	return "a"
}
