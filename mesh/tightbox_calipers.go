package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// caliperAxes returns n and the axes of the least rectangle across it.
func caliperAxes(points []r3.Vec, n r3.Vec) [3]r3.Vec {
	x, y := Frame(n)
	flat := make([]r2.Vec, len(points))
	for i, p := range points {
		flat[i] = r2.Vec{X: dot(x, p), Y: dot(y, p)}
	}
	sin, cos := math.Sincos(MinAreaRect(flat).Angle)
	u := r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))
	return [3]r3.Vec{u, r3.Cross(n, u), n}
}

// polyhedron is a small convex hull whose outline is wanted from many sides.
type polyhedron struct {
	*Mesh
	normals []r3.Vec // of the faces, any length
	edges   []hullEdge
}

// hullEdge runs from one corner to another as its left face does, and against
// its right face.
type hullEdge struct{ from, to, left, right int32 }

func newPolyhedron(hull *Mesh) *polyhedron {
	h := &polyhedron{Mesh: hull, normals: make([]r3.Vec, len(hull.Faces))}
	for f := range hull.Faces {
		h.normals[f] = hull.DoubleAreaNormal(f)
	}
	hull.eachEdgeInOrder(func(r edgeRun) {
		left, right := r.uses[0], r.uses[1]
		if left.backward() {
			left, right = right, left
		}
		h.edges = append(h.edges, hullEdge{r.smaller, left.larger(), left.face(), right.face()})
	})
	return h
}

// outline returns the corners of the polyhedron's shadow along n, along x and y,
// counter-clockwise: a walk along the edges between faces to the front and faces
// to the back.
func (h *polyhedron) outline(n, x, y r3.Vec) []r2.Vec {
	front := make([]bool, len(h.normals))
	for f, normal := range h.normals {
		front[f] = dot(n, normal) > 0
	}
	next, edges, first := make([]int32, len(h.Vertices)), 0, int32(0)
	for _, e := range h.edges {
		if front[e.left] != front[e.right] {
			a, b := e.from, e.to
			if front[e.right] {
				a, b = b, a
			}
			next[a], first = b, a
			edges++
		}
	}
	points := make([]r2.Vec, 0, edges)
	for v := first; len(points) < edges; {
		p := &h.Vertices[v]
		points = append(points, r2.Vec{X: dot(x, *p), Y: dot(y, *p)})
		if v = next[v]; v == first {
			break
		}
	}
	if len(points) < edges { // rounding made several loops of one
		points = points[:0]
		for _, p := range h.Vertices {
			points = append(points, r2.Vec{X: dot(x, p), Y: dot(y, p)})
		}
		return Hull2(points)
	}
	return points
}

// caliperAxes returns n and the axes of the least rectangle across it.
func (h *polyhedron) caliperAxes(n r3.Vec) [3]r3.Vec {
	x, y := Frame(n)
	u := leastAlong(h.outline(n, x, y))
	across := r3.Add(r3.Scale(u.X, x), r3.Scale(u.Y, y))
	return [3]r3.Vec{across, r3.Cross(n, across), n}
}

// leastAlong returns the unit direction of a side of the least rectangle around a
// convex polygon, by rotating calipers (see MinAreaRect, whose points need not be
// in order).
func leastAlong(polygon []r2.Vec) r2.Vec {
	best, least := r2.Vec{X: 1}, math.Inf(1)
	var touch [3]int // right, top, left
	for i, a := range polygon {
		side := r2.Sub(polygon[(i+1)%len(polygon)], a)
		length := math.Hypot(side.X, side.Y)
		if length == 0 {
			continue
		}
		u := r2.Scale(1/length, side)
		v := r2.Vec{X: -u.Y, Y: u.X}
		for k, d := range [3]r2.Vec{u, v, r2.Scale(-1, u)} {
			if math.IsInf(least, 1) {
				touch[k] = extreme(polygon, d)
			}
			touch[k] = climb(polygon, touch[k], d)
		}
		along := func(d r2.Vec, k int) float64 { return r2.Dot(d, r2.Sub(polygon[touch[k]], a)) }
		if area := (along(u, 0) - along(u, 2)) * along(v, 1); area < least {
			best, least = u, area
		}
	}
	return best
}

// squared turns a box about each of its axes to the least.
func (h *polyhedron) squared(b turnedBox) turnedBox {
	for _, n := range b.axes {
		if c := boxAlong(h.Vertices, h.caliperAxes(n)); c.volume < b.volume {
			b = c
		}
	}
	return b
}
