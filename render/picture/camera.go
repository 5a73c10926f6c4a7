package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// point is a place on the picture in pixels, y downwards.
type point struct{ X, Y float64 }

func (a point) plus(b point) point          { return point{a.X + b.X, a.Y + b.Y} }
func (a point) minus(b point) point         { return point{a.X - b.X, a.Y - b.Y} }
func (a point) times(s float64) point       { return point{a.X * s, a.Y * s} }
func (a point) length() float64             { return math.Hypot(a.X, a.Y) }
func (a point) dot(b point) float64         { return a.X*b.X + a.Y*b.Y }
func (a point) to(b point, t float64) point { return a.plus(b.minus(a).times(t)) }

// unit is a as one pixel long; zero stays zero.
func (a point) unit() point {
	if l := a.length(); l > 0 {
		return a.times(1 / l)
	}
	return point{}
}

// camera is a parallel view. Its three unit directions are a right-handed
// frame.
type camera struct {
	right, up, toward r3.Vec // toward points at the viewer
	scale             float64
	origin            point // where the stand frame's origin is drawn
}

// lookFrom returns the view from the front (−y), turned to the right end by
// azimuth and raised by elevation, both in degrees; 1 px to the mm.
func lookFrom(azimuth, elevation float64) camera {
	s, c := math.Sincos(azimuth * math.Pi / 180)
	e, k := math.Sincos(elevation * math.Pi / 180)
	return camera{
		right:  r3.Vec{X: c, Y: s},
		up:     r3.Vec{X: -s * e, Y: c * e, Z: k},
		toward: r3.Vec{X: s * k, Y: -c * k, Z: e},
		scale:  1,
	}
}

// at projects a point.
func (c camera) at(p r3.Vec) point {
	return point{c.origin.X + c.scale*r3.Dot(p, c.right), c.origin.Y - c.scale*r3.Dot(p, c.up)}
}

// all projects points.
func (c camera) all(line []r3.Vec) []point {
	out := make([]point, len(line))
	for i, p := range line {
		out[i] = c.at(p)
	}
	return out
}

// depth is how far behind the plane through the origin p lies, in mm: less is
// nearer to the viewer.
func (c camera) depth(p r3.Vec) float64 { return -r3.Dot(p, c.toward) }

// ray returns the point at depth 0 that is drawn at a place.
func (c camera) ray(at point) r3.Vec {
	x, y := (at.X-c.origin.X)/c.scale, (c.origin.Y-at.Y)/c.scale
	return r3.Add(r3.Scale(x, c.right), r3.Scale(y, c.up))
}
