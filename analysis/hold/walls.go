package hold

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Wall is the inner face of one flat upright panel, or facet of one.
type Wall struct {
	Panel    string  // its name on the cut list
	From, To r2.Vec  // inner ends on the board, counter-clockwise round the box: left to right seen from outside
	PanelXMM float64 // from the panel's left end, seen from outside, to From
}

func (w Wall) lengthMM() float64 { return r2.Norm(r2.Sub(w.To, w.From)) }

// inward points from the wall into the box.
func (w Wall) inward() r2.Vec {
	along := r2.Unit(r2.Sub(w.To, w.From))
	return r2.Vec{X: -along.Y, Y: along.X}
}

func (w Wall) toWall() r3.Vec {
	n := w.inward()
	return r3.Vec{X: -n.X, Y: -n.Y}
}

// place returns where a point is in front of the wall: along it from From, and
// how far from it.
func (w Wall) place(p r3.Vec) (x, gap float64) {
	d := r2.Sub(flat(p), w.From)
	return r2.Dot(d, r2.Unit(r2.Sub(w.To, w.From))), r2.Dot(d, w.inward())
}

// RectangleWalls are the four walls of a box of that inside length (along x)
// and width, whose side panels cover the edges of the end panels: the sides are
// longer than the inside by a board's thickness at either end. They are named
// by panel and wall, as "side y0" for the one at −y.
func RectangleWalls(lengthMM, widthMM, boardMM float64) []Wall {
	x, y := lengthMM/2, widthMM/2
	a, b, c, d := r2.Vec{X: -x, Y: -y}, r2.Vec{X: x, Y: -y}, r2.Vec{X: x, Y: y}, r2.Vec{X: -x, Y: y}
	return []Wall{{"side y0", a, b, boardMM}, {"end x1", b, c, 0}, {"side y1", c, d, boardMM}, {"end x0", d, a, 0}}
}

// WrapWalls are the facets of one scored strip that begins at the first corner
// of the floor; the corners are counter-clockwise, and the strip keeps the
// lengths of the inside.
func WrapWalls(panel string, corners []r2.Vec) []Wall {
	walls := make([]Wall, len(corners))
	x := 0.0
	for i, c := range corners {
		walls[i] = Wall{panel, c, corners[(i+1)%len(corners)], x}
		x += walls[i].lengthMM()
	}
	return walls
}
