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
	normals []r3.Vec // of the faces, unit; zero for one without area
	areas   []r3.Vec // twice the area along the normal
	edges   []hullEdge
}

// hullEdge runs between two corners and two faces.
type hullEdge struct{ from, to, left, right int32 }

func newPolyhedron(hull *Mesh) *polyhedron {
	h := &polyhedron{Mesh: hull, normals: make([]r3.Vec, len(hull.Faces)), areas: make([]r3.Vec, len(hull.Faces))}
	for f := range hull.Faces {
		h.areas[f] = hull.DoubleAreaNormal(f)
		if n := h.areas[f]; n != (r3.Vec{}) {
			h.normals[f] = r3.Unit(n)
		}
	}
	hull.eachEdgeInOrder(func(r edgeRun) {
		left, right := r.uses[0], r.uses[1]
		h.edges = append(h.edges, hullEdge{r.smaller, left.larger(), left.face(), right.face()})
	})
	return h
}

// rim returns the corners that may be at the edge of the polyhedron's shadow along
// n: those where faces to the front meet faces to the back. Faces that are seen
// edge on, as far as rounding can tell, count as both.
func (h *polyhedron) rim(n r3.Vec) []r3.Vec {
	const edgeOn = 1e-9
	facing := make([]int8, len(h.normals)) // 1 front, 2 back, 3 both
	for f, normal := range h.normals {
		d := dot(n, normal)
		if d > -edgeOn {
			facing[f] |= 1
		}
		if d < edgeOn {
			facing[f] |= 2
		}
	}
	seen := make([]bool, len(h.Vertices))
	rim := make([]r3.Vec, 0, len(h.Vertices)/2)
	for _, e := range h.edges {
		if facing[e.left]|facing[e.right] != 3 {
			continue
		}
		for _, v := range [2]int32{e.from, e.to} {
			if !seen[v] {
				seen[v] = true
				rim = append(rim, h.Vertices[v])
			}
		}
	}
	return rim
}

// shadow returns the area of the polyhedron's shadow along n: half of what all its
// faces throw, since each place in the shadow lies under two.
func (h *polyhedron) shadow(n r3.Vec) float64 {
	sum := 0.0
	for f := range h.areas {
		a := &h.areas[f]
		sum += math.Abs(a.X*n.X + a.Y*n.Y + a.Z*n.Z)
	}
	return sum / 4
}

// caliperAxes returns n and the axes of the least rectangle across it.
func (h *polyhedron) caliperAxes(n r3.Vec) [3]r3.Vec { return caliperAxes(h.rim(n), n) }

// squared turns a box about each of its axes to the least.
func (h *polyhedron) squared(b turnedBox) turnedBox {
	for _, n := range b.axes {
		if c := boxAlong(h.Vertices, h.caliperAxes(n)); c.volume < b.volume {
			b = c
		}
	}
	return b
}
