package hold

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Wall is the inner face of one upright panel, as seen from inside the box.
type Wall struct {
	Panel    string  // its name on the cut list
	Start    r2.Vec  // inner left end on the board
	Along    r2.Vec  // unit, to the right
	LengthMM float64 // of the inner face
	PanelXMM float64 // from the panel's left end, seen from inside, to Start
}

// inward points from the wall into the box.
func (w Wall) inward() r2.Vec { return r2.Vec{X: w.Along.Y, Y: -w.Along.X} }

func (w Wall) toWall() r3.Vec {
	n := w.inward()
	return r3.Vec{X: -n.X, Y: -n.Y}
}

// place returns where a point is in front of the wall: along it from Start, and
// how far from it.
func (w Wall) place(p r3.Vec) (x, gap float64) {
	d := r2.Sub(flat(p), w.Start)
	return r2.Dot(d, w.Along), r2.Dot(d, w.inward())
}

// RectangleWalls are the four walls of a box of that inside length (along x)
// and width, whose side panels cover the edges of the end panels: the sides are
// longer than the inside by a board's thickness at either end. They are named
// by panel and wall, as "side y0" for the one at −y.
func RectangleWalls(lengthMM, widthMM, boardMM float64) []Wall {
	x, y := lengthMM/2, widthMM/2
	return []Wall{
		{"end x0", r2.Vec{X: -x, Y: -y}, r2.Vec{Y: 1}, widthMM, 0},
		{"end x1", r2.Vec{X: x, Y: y}, r2.Vec{Y: -1}, widthMM, 0},
		{"side y0", r2.Vec{X: x, Y: -y}, r2.Vec{X: -1}, lengthMM, boardMM},
		{"side y1", r2.Vec{X: -x, Y: y}, r2.Vec{X: 1}, lengthMM, boardMM},
	}
}
