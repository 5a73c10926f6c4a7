package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// prism is the space between upright walls, from the board up to a height. From
// above it is convex.
type prism struct {
	foot   []r3.Vec // corners on the board, counter-clockwise; many on the circle of a tube
	sides  []plane  // of the walls, outwards: side i goes from corner i to the next
	radius float64  // of a tube around the origin; 0 of flat walls
	top    float64
}

func newPrism(foot []r3.Vec, radius, top float64) prism {
	b := prism{foot: foot, radius: radius, top: top}
	for i, p := range foot {
		d := r3.Sub(foot[(i+1)%len(foot)], p)
		n := r3.Vec{X: d.Y, Y: -d.X}
		if l := r3.Norm(n); l > 0 {
			n = r3.Scale(1/l, n)
		}
		b.sides = append(b.sides, plane{n, r3.Dot(n, p)})
	}
	return b
}

// round tells that the corners are none that are seen.
func (b *prism) round() bool { return b.radius > 0 }

// around returns its corners at a height, moved outwards.
func (b *prism) around(z, grow float64) []r3.Vec {
	out := make([]r3.Vec, len(b.foot))
	for i, p := range b.foot {
		before, after := b.sides[(i+len(b.foot)-1)%len(b.foot)].n, b.sides[i].n
		if share := 1 + r3.Dot(before, after); grow != 0 && share > 0.1 {
			p = r3.Add(p, r3.Scale(grow/share, r3.Add(before, after)))
		}
		out[i] = r3.Vec{X: p.X, Y: p.Y, Z: z}
	}
	return out
}

// faces tells whether a wall is turned to the viewer.
func (b *prism) faces(side int, cam camera) bool {
	return r3.Dot(b.sides[side%len(b.sides)].n, cam.toward) > 0
}

// edge is how a wall's edge at a corner is seen.
type edge int

const (
	noEdge     edge = iota // of a round wall, within it
	hiddenEdge             // behind the block
	seenEdge
)

// edgeAt says what there is to draw upright at a corner: all edges of flat walls,
// and the two sides of a round one.
func (b *prism) edgeAt(corner int, cam camera) edge {
	before, after := b.faces(corner+len(b.sides)-1, cam), b.faces(corner, cam)
	switch {
	case b.round() && before == after:
		return noEdge
	case !before && !after:
		return hiddenEdge
	}
	return seenEdge
}

// outermost is the corner on the board that is seen furthest to the left, −1, or
// to the right, +1; of two the nearer one.
func (b *prism) outermost(cam camera, side int) r3.Vec {
	best := b.foot[0]
	most := math.Inf(-1)
	for _, p := range b.foot {
		if x := float64(side)*r3.Dot(p, cam.right) - 1e-6*cam.depth(p); x > most {
			best, most = p, x
		}
	}
	return best
}

// nearest is the corner on the board nearest to the viewer.
func (b *prism) nearest(cam camera) r3.Vec {
	best := b.foot[0]
	for _, p := range b.foot {
		if cam.depth(p) < cam.depth(best) {
			best = p
		}
	}
	return best
}

// furthest returns the corner on the board that lies furthest in a direction and,
// of several, nearest to the side that another one points at.
func (b *prism) furthest(along, near r3.Vec) r3.Vec {
	best := b.foot[0]
	most := math.Inf(-1)
	for _, p := range b.foot {
		if x := r3.Dot(p, along) + 1e-6*r3.Dot(p, near); x > most {
			best, most = p, x
		}
	}
	return best
}

// span is where a line of sight is inside a prism: depths, and the outward normal
// of the face that it enters by.
type span struct {
	in, out float64
	normal  r3.Vec
}

// span returns an empty span (in ≥ out) when the line misses the prism. The point
// of the line at depth d is from − d·toward.
func (b *prism) span(from, toward r3.Vec) span {
	s := span{in: math.Inf(-1), out: math.Inf(1)}
	s.cut(r3.Vec{Z: 1}, b.top, from, toward)
	s.cut(r3.Vec{Z: -1}, 0, from, toward)
	if b.round() {
		b.cutRound(&s, from, toward)
		return s
	}
	for _, w := range b.sides {
		if s.in >= s.out {
			break
		}
		s.cut(w.n, w.at, from, toward)
	}
	return s
}

// cut leaves of a span what is on the inner side of a plane n·x = at.
func (s *span) cut(n r3.Vec, at float64, from, toward r3.Vec) {
	off, slope := r3.Dot(n, from)-at, r3.Dot(n, toward)
	switch d := off / slope; {
	case slope > 0 && d > s.in:
		s.in, s.normal = d, n
	case slope < 0 && d < s.out:
		s.out = d
	case slope == 0 && off > 0:
		s.out = math.Inf(-1)
	}
}

// cutRound leaves of a span what is inside the tube.
func (b *prism) cutRound(s *span, from, toward r3.Vec) {
	tt := toward.X*toward.X + toward.Y*toward.Y
	ft := from.X*toward.X + from.Y*toward.Y
	root := ft*ft - tt*(from.X*from.X+from.Y*from.Y-b.radius*b.radius)
	if root <= 0 || tt == 0 {
		s.out = math.Inf(-1)
		return
	}
	root = math.Sqrt(root)
	if d := (ft - root) / tt; d > s.in {
		s.in = d
		at := r3.Sub(from, r3.Scale(d, toward))
		s.normal = r3.Vec{X: at.X / b.radius, Y: at.Y / b.radius}
	}
	s.out = math.Min(s.out, (ft+root)/tt)
}

// longest is the longest way through along a line of sight from the side and above: of a
// convex outline one of the longest chords in a direction ends in a corner.
func (b *prism) longest(cam camera) float64 {
	level := r3.Vec{X: cam.toward.X, Y: cam.toward.Y}
	across := 0.0
	for _, p := range b.foot {
		s := span{in: math.Inf(-1), out: math.Inf(1)}
		for _, w := range b.sides {
			s.cut(w.n, w.at+1e-9*math.Abs(w.at), p, level)
		}
		across = math.Max(across, s.out-s.in)
	}
	if b.round() {
		across = 2 * b.radius / r3.Norm(level)
	}
	return math.Min(b.top/math.Abs(cam.toward.Z), across)
}

// shape is the prism's outline as it is seen, up to a height.
func (b *prism) shape(cam camera, top float64) []point {
	return hulled(cam.all(append(b.around(0, 0), b.around(top, 0)...)))
}

// hulled is the smallest convex shape around points on the picture.
func hulled(points []point) []point {
	flat := make([]r2.Vec, len(points))
	for i, p := range points {
		flat[i] = r2.Vec{X: p.X, Y: p.Y}
	}
	hull := mesh.Hull2(flat)
	out := make([]point, len(hull))
	for i, p := range hull {
		out[i] = point{p.X, p.Y}
	}
	return out
}

// across returns where a plane cuts the prism, nil when it misses it.
func (b *prism) across(cut plane, reach float64) []r3.Vec {
	x, y := mesh.Frame(cut.n)
	mid := r3.Scale(cut.at, cut.n)
	reach += 2 * r3.Norm(mid)
	corner := func(i, j float64) r3.Vec {
		return r3.Add(mid, r3.Add(r3.Scale(i*reach, x), r3.Scale(j*reach, y)))
	}
	poly := []r3.Vec{corner(1, 1), corner(-1, 1), corner(-1, -1), corner(1, -1)}
	for _, side := range append([]plane{{r3.Vec{Z: 1}, b.top}, {r3.Vec{Z: -1}, 0}}, b.sides...) {
		poly = clipped(poly, side)
	}
	if len(poly) < 3 {
		return nil
	}
	return poly
}

// clipped keeps what a convex polygon has on the inner side of a plane.
func clipped(poly []r3.Vec, side plane) []r3.Vec {
	var kept []r3.Vec
	for i, b := range poly {
		a := poly[(i+len(poly)-1)%len(poly)]
		da, db := side.at-r3.Dot(side.n, a), side.at-r3.Dot(side.n, b)
		if (da < 0) != (db < 0) {
			kept = append(kept, along(a, b, da/(da-db)))
		}
		if db >= 0 {
			kept = append(kept, b)
		}
	}
	return kept
}
