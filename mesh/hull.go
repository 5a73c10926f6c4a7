package mesh

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// ErrFlat tells that all points lie in one plane (or line, or place).
var ErrFlat = errors.New("the points lie in one plane")

// Hull returns the convex hull of points as a closed mesh, wound outward, of
// just the points that are its corners, in the order of points. A point closer
// to the hull than a ten-billionth of its size may be left out. Source: Barber,
// Dobkin & Huhdanpaa, "The quickhull algorithm for convex hulls", 1996 (from
// memory), with exact signs, so that no input can fold it.
func Hull(points []r3.Vec) (*Mesh, error) {
	h, err := newHull(points)
	if err != nil {
		return nil, err
	}
	for _, seeds := range [2][]int32{h.seeds, nil} {
		h.assign(seeds)
		for len(h.todo) > 0 {
			f := h.todo[len(h.todo)-1]
			h.todo = h.todo[:len(h.todo)-1]
			if h.faces[f].alive && len(h.faces[f].outside) > 0 {
				h.extend(f)
			}
		}
	}
	return h.mesh(), nil
}

// hullFace is one face of the hull while it grows.
type hullFace struct {
	corner  [3]int32
	beside  [3]int32 // face across the edge from corner i to i+1
	normal  r3.Vec   // unit
	offset  float64
	outside []int32 // points beyond this face
	alive   bool
	visible int32 // number of the last point that saw it
}

type hull struct {
	points []r3.Vec
	seeds  []int32 // extreme points, tried before the rest
	faces  []hullFace
	todo   []int32
	step   int32
	slack  float64
}

// newHull makes the first tetrahedron from extreme points.
func newHull(points []r3.Vec) (*hull, error) {
	if len(points) < 4 {
		return nil, ErrFlat
	}
	b := BoundsOf(points)
	size := r3.Norm(r3.Sub(b.Max, b.Min))
	h := &hull{points: points, slack: 1e-10 * size, seeds: extremes(points)}
	a := h.seeds[0]
	c := h.farthest(h.seeds, func(p r3.Vec) float64 { return r3.Norm(r3.Sub(p, points[a])) })
	line := r3.Sub(points[c], points[a])
	d := h.farthest(nil, func(p r3.Vec) float64 { return r3.Norm(cross(line, r3.Sub(p, points[a]))) })
	normal := cross(line, r3.Sub(points[d], points[a]))
	if !(r3.Norm(normal) > 1e-9*size*size) {
		return nil, ErrFlat
	}
	normal = r3.Unit(normal)
	e := h.farthest(nil, func(p r3.Vec) float64 { return math.Abs(dot(normal, r3.Sub(p, points[a]))) })
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

// extremes returns the points farthest along the axes and diagonals of a cube.
func extremes(points []r3.Vec) []int32 {
	var dirs []r3.Vec
	for x := -1.0; x <= 1; x++ {
		for y := -1.0; y <= 1; y++ {
			for z := -1.0; z <= 1; z++ {
				if x != 0 || y != 0 || z != 0 {
					dirs = append(dirs, r3.Vec{X: x, Y: y, Z: z})
				}
			}
		}
	}
	best := make([][]int32, partsFor(len(points)))
	inParts(len(points), func(part, lo, hi int) {
		at, value := make([]int32, len(dirs)), make([]float64, len(dirs))
		for k := range value {
			value[k] = math.Inf(-1)
		}
		for i := lo; i < hi; i++ {
			p := points[i]
			for k, d := range dirs {
				if s := p.X*d.X + p.Y*d.Y + p.Z*d.Z; s > value[k] {
					at[k], value[k] = int32(i), s
				}
			}
		}
		best[part] = at
	})
	return firstFarthest(points, dirs, best)
}

// firstFarthest picks, for each direction, the best of the parts' candidates.
func firstFarthest(points, dirs []r3.Vec, candidates [][]int32) []int32 {
	var seeds []int32
	for k, d := range dirs {
		win := candidates[0][k]
		for _, c := range candidates[1:] {
			if r3.Dot(points[c[k]], d) > r3.Dot(points[win], d) {
				win = c[k]
			}
		}
		if !slices.Contains(seeds, win) {
			seeds = append(seeds, win)
		}
	}
	return seeds
}

// farthest returns the first of some points, all when nil, with the largest
// measure.
func (h *hull) farthest(some []int32, measure func(p r3.Vec) float64) int32 {
	best, most := int32(0), math.Inf(-1)
	if some == nil {
		for i, p := range h.points {
			if m := measure(p); m > most {
				best, most = int32(i), m
			}
		}
		return best
	}
	for _, i := range some {
		if m := measure(h.points[i]); m > most {
			best, most = i, m
		}
	}
	return best
}

func (h *hull) add(t [3]int32) int32 {
	a, b, c := h.points[t[0]], h.points[t[1]], h.points[t[2]]
	n := cross(r3.Sub(b, a), r3.Sub(c, a))
	if l := r3.Norm(n); l > 0 {
		n = r3.Scale(1/l, n)
	}
	h.faces = append(h.faces, hullFace{corner: t, normal: n, offset: dot(n, a), alive: true})
	return int32(len(h.faces) - 1)
}

// beyond returns how far point i is outside face f.
func (h *hull) beyond(f int32, i int32) float64 {
	p := &h.points[i]
	n := &h.faces[f].normal
	return p.X*n.X + p.Y*n.Y + p.Z*n.Z - h.faces[f].offset
}

// assign gives some points, all when nil, to faces that they are beyond.
func (h *hull) assign(some []int32) {
	var alive []int32
	for f := range h.faces {
		if h.faces[f].alive {
			alive = append(alive, int32(f))
		}
	}
	n := len(h.points)
	if some != nil {
		n = len(some)
	}
	to := make([]int32, n)
	inParts(n, func(_, lo, hi int) {
		for k := lo; k < hi; k++ {
			i := int32(k)
			if some != nil {
				i = some[k]
			}
			to[k] = h.faceOf(alive, i)
		}
	})
	for k, f := range to {
		if f >= 0 {
			i := int32(k)
			if some != nil {
				i = some[k]
			}
			h.faces[f].outside = append(h.faces[f].outside, i)
		}
	}
	h.todo = append(h.todo, alive...)
}

// faceOf returns the first of faces that point i is beyond, −1 for none.
func (h *hull) faceOf(faces []int32, i int32) int32 {
	for _, f := range faces {
		if h.beyond(f, i) > h.slack {
			return f
		}
	}
	return -1
}

// extend takes the farthest point beyond f into the hull.
func (h *hull) extend(f int32) {
	tip, most := int32(-1), 0.0
	for _, i := range h.faces[f].outside {
		if d := h.beyond(f, i); d > most {
			tip, most = i, d
		}
	}
	if !h.sees(f, tip) { // rounding of a sliver's normal
		h.faces[f].outside = slices.DeleteFunc(h.faces[f].outside, func(i int32) bool { return i == tip })
		h.todo = append(h.todo, f)
		return
	}
	h.step++
	visible, horizon := h.seen(f, tip)
	var orphans []int32
	for _, v := range visible {
		h.faces[v].alive = false
		orphans = append(orphans, h.faces[v].outside...)
		h.faces[v].outside = nil
	}
	fan := make([]int32, len(horizon))
	for k, e := range horizon {
		fan[k] = h.add([3]int32{e.from, e.to, tip})
		h.faces[fan[k]].beside[0] = e.behind
		h.faces[e.behind].beside[h.edgeOf(e.behind, e.to)] = fan[k]
	}
	for k := range fan {
		next := (k + 1) % len(fan)
		h.faces[fan[k]].beside[1], h.faces[fan[next]].beside[2] = fan[next], fan[k]
	}
	for _, i := range orphans {
		if to := h.faceOf(fan, i); to >= 0 && i != tip {
			h.faces[to].outside = append(h.faces[to].outside, i)
		}
	}
	h.todo = append(h.todo, fan...)
}

// edgeOf returns which edge of face f starts at a corner.
func (h *hull) edgeOf(f, corner int32) int { return slices.Index(h.faces[f].corner[:], corner) }

// horizonEdge is an edge between a face that the tip sees and one behind.
type horizonEdge struct{ from, to, behind int32 }

// seen returns the faces that the point sees and, in order, the edges around
// them, walking from face f which it sees.
func (h *hull) seen(f, tip int32) (visible []int32, horizon []horizonEdge) {
	type visit struct {
		face int32
		edge int // to cross next
		left int // edges still to cross
	}
	h.faces[f].visible = h.step
	visible = append(visible, f)
	stack := []visit{{f, 0, 3}}
	for len(stack) > 0 {
		top := &stack[len(stack)-1]
		if top.left == 0 {
			stack = stack[:len(stack)-1]
			continue
		}
		face, edge := &h.faces[top.face], top.edge
		top.edge, top.left = (top.edge+1)%3, top.left-1
		other := face.beside[edge]
		switch {
		case h.faces[other].visible == h.step:
		case h.sees(other, tip):
			h.faces[other].visible = h.step
			visible = append(visible, other)
			entry := h.edgeOf(other, face.corner[(edge+1)%3])
			stack = append(stack, visit{other, (entry + 1) % 3, 2})
		default:
			horizon = append(horizon, horizonEdge{face.corner[edge], face.corner[(edge+1)%3], other})
		}
	}
	return visible, horizon
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
