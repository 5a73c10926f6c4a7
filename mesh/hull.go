package mesh

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// ErrFlat tells that all points lie in one plane (or line, or place).
var ErrFlat = errors.New("the points lie in one plane")

// Hull returns the convex hull of points as a closed mesh, wound outward, of
// just the points that are its corners, in the order of points. It is convex to
// the last bit. Points that stand out of it by no more than rounding, 1e-13 of
// its size, may be left out. Source: Barber, Dobkin & Huhdanpaa, "The quickhull algorithm for
// convex hulls", ACM Transactions on Mathematical Software 22(4), 1996 (from
// memory), with exact signs, so that no input can fold it.
func Hull(points []r3.Vec) (*Mesh, error) {
	if len(points) < 4 {
		return nil, ErrFlat
	}
	some := sampleOf(len(points), min(len(points), hullSample))
	h, err := newHull(points, some)
	if err != nil && len(some) < len(points) {
		some = sampleOf(len(points), len(points))
		h, err = newHull(points, some)
	}
	if err != nil {
		return nil, err
	}
	h.assign(extremes(points, some))
	h.grow()
	h.assign(some)
	h.grow()
	if len(some) < len(points) {
		h.assignAll()
		h.grow()
	}
	// Faces that all but lie in one plane may let a point fall between them: beyond
	// none of a fan by more than rounding, yet far beyond a face beside it.
	for h.assignLost() {
		h.grow()
	}
	m := h.mesh()
	if corners := m.corners(); len(corners) < len(m.Vertices) {
		return Hull(corners)
	}
	return m, nil
}

// hullFace is one face of the hull while it grows.
type hullFace struct {
	corner  [3]int32
	beside  [3]int32 // face across the edge from corner i to i+1
	normal  r3.Vec   // unit
	offset  float64
	doubt   float64 // of beyond, from the rounding of normal
	first   int32   // of the points beyond this face, listed by hull.next; −1 for none
	tip     int32   // the farthest of them
	most    float64
	alive   bool
	visible int32 // number of the last point that saw it
}

type hull struct {
	points []r3.Vec
	next   []int32
	faces  []hullFace
	free   []int32 // dead faces to use again
	todo   []int32
	step   int32
	size   float64 // diagonal of the bounds
	slack  float64
	// Lists that extend fills anew each time.
	seen    []int32
	horizon []horizonEdge
	stack   []visit
	fan     []int32
	orphans []int32
}

// hullSample is how many points are taken into a hull, at most, before all.
const hullSample = 1 << 11

// newHull makes the first tetrahedron from some of the points.
func newHull(points []r3.Vec, some []int32) (*hull, error) {
	b := BoundsOf(points)
	size := r3.Norm(r3.Sub(b.Max, b.Min))
	h := &hull{points: points, next: large.Make[int32](len(points)), size: size}
	h.slack = 1e-13*size + 1e-15*(r3.Norm(b.Min)+r3.Norm(b.Max))
	a := h.farthest(some, func(p r3.Vec) float64 { return -p.X })
	c := h.farthest(some, func(p r3.Vec) float64 { return r3.Norm(r3.Sub(p, points[a])) })
	line := r3.Sub(points[c], points[a])
	d := h.farthest(some, func(p r3.Vec) float64 { return r3.Norm(cross(line, r3.Sub(p, points[a]))) })
	normal := cross(line, r3.Sub(points[d], points[a]))
	if !(r3.Norm(normal) > 1e-9*size*size) {
		return nil, ErrFlat
	}
	normal = r3.Unit(normal)
	e := h.farthest(some, func(p r3.Vec) float64 { return math.Abs(dot(normal, r3.Sub(p, points[a]))) })
	if math.Abs(dot(normal, r3.Sub(points[e], points[a]))) <= 1e-9*size {
		return nil, ErrFlat
	}
	if orient(points[a], points[c], points[d], points[e]) > 0 {
		c, d = d, c
	}
	for _, t := range [4][3]int32{{a, c, d}, {c, a, e}, {d, c, e}, {a, d, e}} {
		h.add(t)
	}
	h.faces[0].beside = [3]int32{1, 2, 3}
	h.faces[1].beside = [3]int32{0, 3, 2}
	h.faces[2].beside = [3]int32{0, 1, 3}
	h.faces[3].beside = [3]int32{0, 2, 1}
	return h, nil
}

// farthest returns the first of some points with the largest measure.
func (h *hull) farthest(some []int32, measure func(p r3.Vec) float64) int32 {
	best, most := some[0], math.Inf(-1)
	for _, i := range some {
		if m := measure(h.points[i]); m > most {
			best, most = i, m
		}
	}
	return best
}

func (h *hull) add(t [3]int32) int32 {
	a, b, c := h.points[t[0]], h.points[t[1]], h.points[t[2]]
	u, v := r3.Sub(b, a), r3.Sub(c, a)
	n := cross(u, v)
	doubt := math.Inf(1)
	if l := math.Sqrt(dot(n, n)); l > 0 {
		n = r3.Scale(1/l, n)
		doubt = 1e-15 * h.size * math.Sqrt(dot(u, u)*dot(v, v)) / l
	}
	face := hullFace{corner: t, normal: n, offset: dot(n, a), doubt: doubt, alive: true, first: -1, tip: -1}
	if last := len(h.free) - 1; last >= 0 {
		f := h.free[last]
		h.free = h.free[:last]
		h.faces[f] = face
		return f
	}
	h.faces = append(h.faces, face)
	return int32(len(h.faces) - 1)
}

// beyond returns how far point i is outside face f.
func (h *hull) beyond(f, i int32) float64 {
	t, p := &h.faces[f], &h.points[i]
	return p.X*t.normal.X + p.Y*t.normal.Y + p.Z*t.normal.Z - t.offset
}

// alive lists the faces of the hull as it is now.
func (h *hull) alive() []int32 {
	var alive []int32
	for f := range h.faces {
		if h.faces[f].alive {
			alive = append(alive, int32(f))
		}
	}
	return alive
}

// assign gives some points to faces that they are beyond.
func (h *hull) assign(some []int32) {
	alive := h.alive()
	for _, i := range some {
		h.place(alive, i)
	}
	h.todo = append(h.todo, alive...)
}

// place gives a point to the first of faces that it is beyond. Where a sliver's
// normal is too rough to tell, exact arithmetic does.
func (h *hull) place(faces []int32, i int32) {
	for _, f := range faces {
		d, doubt := h.beyond(f, i), h.faces[f].doubt
		if d > h.slack && d > doubt || doubt > h.slack && d > -doubt && h.sees(f, i) {
			h.give(f, i)
			return
		}
	}
}

func (h *hull) give(f, i int32) {
	t := &h.faces[f]
	h.next[i], t.first = t.first, i
	if d := h.beyond(f, i); d > t.most || t.tip < 0 {
		t.tip, t.most = i, d
	}
}

// grow takes in the farthest point beyond each face until there are none. Faces
// wait in a queue, so that the hull grows evenly: then few points are taken in
// that others cover later.
func (h *hull) grow() {
	for ; len(h.todo) > 0; h.todo = h.todo[1:] {
		f := h.todo[0]
		if t := &h.faces[f]; t.alive && t.first >= 0 {
			h.extend(f, t.tip)
		}
	}
}

// extend replaces the faces that tip sees, f among them, by a fan to tip.
func (h *hull) extend(f, tip int32) {
	h.step++
	h.look(f, tip)
	h.orphans = h.orphans[:0]
	for _, v := range h.seen {
		for i := h.faces[v].first; i >= 0; i = h.next[i] {
			h.orphans = append(h.orphans, i)
		}
		h.faces[v].alive = false
	}
	h.free = append(h.free, h.seen...)
	h.fan = h.fan[:0]
	for _, e := range h.horizon {
		n := h.add([3]int32{e.from, e.to, tip})
		h.fan = append(h.fan, n)
		h.faces[n].beside[0] = e.behind
		h.faces[e.behind].beside[h.edgeOf(e.behind, e.to)] = n
	}
	for k, n := range h.fan {
		next := h.fan[(k+1)%len(h.fan)]
		h.faces[n].beside[1], h.faces[next].beside[2] = next, n
	}
	for _, i := range h.orphans {
		if i != tip {
			h.place(h.fan, i)
		}
	}
	for _, n := range h.fan {
		if h.faces[n].first >= 0 {
			h.todo = append(h.todo, n)
		}
	}
}

// edgeOf returns which edge of face f starts at a corner.
func (h *hull) edgeOf(f, corner int32) int {
	switch t := &h.faces[f]; corner {
	case t.corner[0]:
		return 0
	case t.corner[1]:
		return 1
	}
	return 2
}

// horizonEdge is an edge between a face that the tip sees and one behind.
type horizonEdge struct{ from, to, behind int32 }

// visit is a face that is being looked around from.
type visit struct {
	face int32
	edge int // to cross next
	left int // edges still to cross
}

// look lists the faces that the point sees and, in order, the edges around
// them, walking from face f which it sees.
func (h *hull) look(f, tip int32) {
	h.faces[f].visible = h.step
	h.seen, h.horizon = append(h.seen[:0], f), h.horizon[:0]
	h.stack = append(h.stack[:0], visit{f, 0, 3})
	for len(h.stack) > 0 {
		top := &h.stack[len(h.stack)-1]
		if top.left == 0 {
			h.stack = h.stack[:len(h.stack)-1]
			continue
		}
		face, edge := &h.faces[top.face], top.edge
		top.edge, top.left = (top.edge+1)%3, top.left-1
		other := face.beside[edge]
		switch {
		case h.faces[other].visible == h.step:
		case h.sees(other, tip):
			h.faces[other].visible = h.step
			h.seen = append(h.seen, other)
			entry := h.edgeOf(other, face.corner[(edge+1)%3])
			h.stack = append(h.stack, visit{other, (entry + 1) % 3, 2})
		default:
			h.horizon = append(h.horizon, horizonEdge{face.corner[edge], face.corner[(edge+1)%3], other})
		}
	}
}

func (h *hull) sees(f, tip int32) bool {
	c := h.faces[f].corner
	return orient(h.points[c[0]], h.points[c[1]], h.points[c[2]], h.points[tip]) > 0
}

// mesh returns the living faces on the points they use.
func (h *hull) mesh() *Mesh {
	used := make([]int32, len(h.points))
	m := &Mesh{}
	for _, f := range h.faces {
		if f.alive {
			for _, v := range f.corner {
				used[v] = 1
			}
			m.Faces = append(m.Faces, f.corner)
		}
	}
	for i, u := range used {
		if u > 0 {
			used[i] = int32(len(m.Vertices))
			m.Vertices = append(m.Vertices, h.points[i])
		}
	}
	for f := range m.Faces {
		for k, v := range m.Faces[f] {
			m.Faces[f][k] = used[v]
		}
	}
	return m
}

// corners returns the vertices of a convex mesh at which at least three edges
// bend: others lie within a flat side or a straight edge.
func (m *Mesh) corners() []r3.Vec {
	bends := make([]int32, len(m.Vertices))
	m.eachEdgeInOrder(func(r edgeRun) {
		larger := r.uses[0].larger()
		a, b, c := m.Corners(int(r.uses[0].face()))
		for _, v := range m.Faces[r.uses[1].face()] {
			if v != r.smaller && v != larger && orient(a, b, c, m.Vertices[v]) != 0 {
				bends[r.smaller]++
				bends[larger]++
			}
		}
	})
	var out []r3.Vec
	for v, n := range bends {
		if n > 2 {
			out = append(out, m.Vertices[v])
		}
	}
	return out
}
