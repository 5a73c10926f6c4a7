package moldbox

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// The shapes of a box.
const (
	Rectangle = "rectangle"
	Tube      = "tube"    // round: a pipe, a pail or a bent sheet
	Faceted   = "faceted" // one board, scored and bent round the outline
)

// Shapes lists them.
func Shapes() []string { return []string{Rectangle, Tube, Faceted} }

// Floor is the inside of the walls, seen from above, in the stand frame.
type Floor struct {
	Shape    string
	Outline  []r2.Vec // corners, counter-clockwise; none of a tube
	RadiusMM float64  // of a tube round the origin; 0 of others
}

// AreaMM2 returns the area of the floor.
func (f Floor) AreaMM2() float64 {
	if f.RadiusMM > 0 {
		return math.Pi * f.RadiusMM * f.RadiusMM
	}
	return polygonArea(f.Outline)
}

// PerimeterMM returns the length of the inside of the walls.
func (f Floor) PerimeterMM() float64 {
	if f.RadiusMM > 0 {
		return 2 * math.Pi * f.RadiusMM
	}
	sum := 0.0
	for i, p := range f.Outline {
		sum += r2.Norm(r2.Sub(f.Outline[(i+1)%len(f.Outline)], p))
	}
	return sum
}

// GapMM returns the distance from a point to the nearest wall, negative beyond
// it. The floor is convex and walls are upright.
func (f Floor) GapMM(p r3.Vec) float64 {
	if f.RadiusMM > 0 {
		return f.RadiusMM - math.Hypot(p.X, p.Y)
	}
	least := math.Inf(1)
	for _, w := range f.Walls() {
		least = min(least, w.Gap(p))
	}
	return least
}

// ReachMM returns how far the floor reaches along a direction, times its length:
// the greatest product of the direction with a point of it.
func (f Floor) ReachMM(along r2.Vec) float64 {
	if f.RadiusMM > 0 {
		return f.RadiusMM * r2.Norm(along)
	}
	most := math.Inf(-1)
	for _, p := range f.Outline {
		most = max(most, r2.Dot(along, p))
	}
	return most
}

// Wall is one flat wall.
type Wall struct {
	Name     string
	From, To r2.Vec // of its inside, counter-clockwise round the floor
}

// Gap returns the distance of a point to the plane of the wall.
func (w Wall) Gap(p r3.Vec) float64 {
	along := r2.Unit(r2.Sub(w.To, w.From))
	return along.X*(p.Y-w.From.Y) - along.Y*(p.X-w.From.X)
}

// LengthMM returns how wide the wall is inside.
func (w Wall) LengthMM() float64 { return r2.Norm(r2.Sub(w.To, w.From)) }

// Walls lists the flat walls; none of a tube. Those of a rectangle are named by
// their side, those of a faceted box by number from the lap.
func (f Floor) Walls() []Wall {
	walls := make([]Wall, len(f.Outline))
	for i, p := range f.Outline {
		name := fmt.Sprintf("facet %d", i+1)
		if f.Shape == Rectangle {
			name = [4]string{"y0", "x1", "y1", "x0"}[i]
		}
		walls[i] = Wall{name, p, f.Outline[(i+1)%len(f.Outline)]}
	}
	return walls
}

// ChordMM returns how long the line through a point, along a direction, is inside
// the walls.
func (f Floor) ChordMM(point, along r2.Vec) float64 {
	along = r2.Unit(along)
	if f.RadiusMM > 0 {
		off := along.X*point.Y - along.Y*point.X
		return 2 * math.Sqrt(max(0, f.RadiusMM*f.RadiusMM-off*off))
	}
	lo, hi := math.Inf(-1), math.Inf(1)
	for _, w := range f.Walls() {
		side := r2.Unit(r2.Sub(w.To, w.From))
		gap := side.X*(point.Y-w.From.Y) - side.Y*(point.X-w.From.X)
		rate := side.X*along.Y - side.Y*along.X
		switch {
		case rate > 1e-12:
			lo = max(lo, -gap/rate)
		case rate < -1e-12:
			hi = min(hi, -gap/rate)
		case gap < 0:
			return 0
		}
	}
	return max(0, hi-lo)
}

// RectangleFloor returns a rectangle round the origin.
func RectangleFloor(length, width float64) Floor {
	x, y := length/2, width/2
	return Floor{Shape: Rectangle, Outline: []r2.Vec{{X: -x, Y: -y}, {X: x, Y: -y}, {X: x, Y: y}, {X: -x, Y: y}}}
}

func polygonArea(p []r2.Vec) float64 {
	sum := 0.0
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum += (a.X-p[0].X)*(b.Y-p[0].Y) - (a.Y-p[0].Y)*(b.X-p[0].X)
	}
	return sum / 2
}

// moved returns the floor shifted.
func (f Floor) moved(by r2.Vec) Floor {
	moved := f
	moved.Outline = make([]r2.Vec, len(f.Outline))
	for i, p := range f.Outline {
		moved.Outline[i] = r2.Add(p, by)
	}
	return moved
}

// overAll returns the size of the floor along x and y.
func (f Floor) overAll() (length, width float64) {
	if f.RadiusMM > 0 {
		return 2 * f.RadiusMM, 2 * f.RadiusMM
	}
	lo, hi := boundsOf(f.Outline)
	return hi.X - lo.X, hi.Y - lo.Y
}

func boundsOf(p []r2.Vec) (lo, hi r2.Vec) {
	lo, hi = p[0], p[0]
	for _, q := range p[1:] {
		lo = r2.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}
		hi = r2.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
	}
	return lo, hi
}

// round lays a tube or a faceted wall round the points, turned as the rectangle
// would be, and returns it with its own centre at the origin, and that centre.
func (in Input) round(points []r3.Vec, a asked, plan layout) (Floor, r2.Vec) {
	pose := turned(plan.angle, r3.Vec{})
	flat := make([]r2.Vec, len(points))
	for i, p := range points {
		q := pose.Point(p)
		flat[i] = r2.Vec{X: q.X, Y: q.Y}
	}
	cutAt, across := pose.Point(in.CutPoint), pose.Dir(in.CutNormal)
	along := r2.Vec{X: -across.Y, Y: across.X}
	if in.Shape == Tube {
		return in.tube(flat, a, along)
	}
	return in.faceted(flat, a, r2.Vec{X: cutAt.X, Y: cutAt.Y}, along)
}

// tube is the least circle round the pattern and its clearance; wider where the
// cut would leave too little for keys.
func (in Input) tube(flat []r2.Vec, a asked, along r2.Vec) (Floor, r2.Vec) {
	c := leastCircle(flat)
	radius := c.radius + a.clearance
	if r2.Norm(along) > 0 {
		reach := 0.0
		for _, p := range flat {
			reach = max(reach, math.Abs(r2.Dot(r2.Unit(along), r2.Sub(p, c.centre))))
		}
		radius = max(radius, reach+a.cut)
	}
	return Floor{Shape: Tube, RadiusMM: in.roundUp(2*radius) / 2}, c.centre
}

// faceted is a wall of flat facets round the outline, wider where the cut
// crosses it.
func (in Input) faceted(flat []r2.Vec, a asked, cutAt, along r2.Vec) (Floor, r2.Vec) {
	n := in.Facets
	if n == 0 {
		n = DefaultFacets
	}
	walls := facets(flat, n)
	usual := moveOut(walls, func(line) float64 { return a.clearance })
	corners := usual
	if r2.Norm(along) > 0 {
		corners = moveOut(walls, func(w line) float64 {
			if crossesFacet(usual, w, cutAt, along) {
				return max(a.cut, a.clearance)
			}
			return a.clearance
		})
	}
	lo, hi := boundsOf(corners)
	centre := r2.Scale(0.5, r2.Add(lo, hi))
	return Floor{Shape: Faceted, Outline: corners}.moved(r2.Scale(-1, centre)), centre
}

// crossesFacet tells whether the line of the cut leaves a floor through the facet
// of that direction.
func crossesFacet(corners []r2.Vec, w line, cutAt, along r2.Vec) bool {
	off := func(p r2.Vec) float64 { return along.X*(p.Y-cutAt.Y) - along.Y*(p.X-cutAt.X) }
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		d := r2.Sub(b, a)
		if r2.Norm(r2.Sub(r2.Unit(r2.Vec{X: d.Y, Y: -d.X}), w.n)) < sameDirection {
			return off(a)*off(b) <= 0
		}
	}
	return false
}
