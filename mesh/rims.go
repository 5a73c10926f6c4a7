package mesh

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// rim is the ring of open edges around one hole.
type rim struct {
	edges  int
	span   float64 // between two points of it that are far apart
	center r3.Vec  // mean of its points
}

// rims chains open edges into rings and returns how many there are, and the
// largest: that of the greatest span, or of the most edges. A ring that touches
// itself in a vertex is two rings. Where faces are flipped next to a hole, direction
// is of no use, so edges are followed either way.
func (m *Mesh) rims(open []openEdge) (n int, largest rim) {
	w := newRimWalk(open)
	for e := range open {
		if w.used[e] {
			continue
		}
		w.walk(int32(e), func(points []int32) {
			r := m.newRim(points)
			if n == 0 || cmp.Or(cmp.Compare(r.span, largest.span), cmp.Compare(r.edges, largest.edges)) > 0 {
				largest = r
			}
			n++
		})
	}
	return n, largest
}

// OpenRims returns the rings of open edges as lists of points in mm, in order
// around each ring, the first point not repeated. A ring that touches itself in
// a vertex is two. Where the edges chain to no ring, which takes faces of which
// three or more share an edge, the ends of a list are far apart.
func (m *Mesh) OpenRims() [][]r3.Vec {
	w := newRimWalk(m.openEdges())
	var rings [][]r3.Vec
	for e := range w.ends {
		if w.used[e] {
			continue
		}
		w.walk(int32(e), func(vertices []int32) {
			ring := make([]r3.Vec, len(vertices))
			for i, v := range vertices {
				ring[i] = m.Vertices[v]
			}
			rings = append(rings, ring)
		})
	}
	return rings
}

// rimWalk finds the open edges at a vertex. Vertices are renumbered densely so
// that a scan with few open edges costs little.
type rimWalk struct {
	vertices []int32 // the ends of open edges, ascending
	ends     [][2]int32
	at       Adjacency // open edges at each vertex
	used     []bool
	onPath   []int32 // place in path plus one, 0 when not on it
}

func newRimWalk(open []openEdge) *rimWalk {
	w := &rimWalk{ends: make([][2]int32, len(open)), used: make([]bool, len(open)), vertices: make([]int32, 0, 2*len(open))}
	for _, r := range open {
		w.vertices = append(w.vertices, r.smaller, r.larger())
	}
	slices.Sort(w.vertices)
	w.vertices = slices.Compact(w.vertices)
	for e, r := range open {
		a, _ := slices.BinarySearch(w.vertices, r.smaller)
		b, _ := slices.BinarySearch(w.vertices, r.larger())
		w.ends[e] = [2]int32{int32(a), int32(b)}
	}
	w.at = gather(len(w.vertices), len(open), func(e int) []int32 { return w.ends[e][:] })
	w.onPath = make([]int32, len(w.vertices))
	return w
}

// walk follows unused edges from edge e until none goes on, and hands over each
// ring as soon as the path closes it, then what is left of the path, if any.
func (w *rimWalk) walk(e int32, ring func(vertices []int32)) {
	path := []int32{w.ends[e][0]}
	w.onPath[path[0]] = 1
	for e >= 0 {
		w.used[e] = true
		v := w.ends[e][0] + w.ends[e][1] - path[len(path)-1]
		if k := w.onPath[v]; k > 0 {
			w.close(path[k-1:], ring)
			path = path[:k]
		} else {
			path = append(path, v)
		}
		w.onPath[v] = int32(len(path))
		e = w.next(v)
	}
	if len(path) > 1 {
		w.close(path, ring)
	}
	w.onPath[path[0]] = 0
}

// close hands over the vertices of a ring and takes them off the path.
func (w *rimWalk) close(points []int32, ring func(vertices []int32)) {
	vertices := make([]int32, len(points))
	for i, p := range points {
		vertices[i] = w.vertices[p]
		w.onPath[p] = 0
	}
	ring(vertices)
}

// next returns the first unused edge at v, −1 when there is none.
func (w *rimWalk) next(v int32) int32 {
	for _, e := range w.at.Of(int(v)) {
		if !w.used[e] {
			return e
		}
	}
	return -1
}

// newRim measures a ring. Its span is found by going twice to the farthest
// point, which is exact for a circle and never less than 1/√3 of the true one.
func (m *Mesh) newRim(points []int32) rim {
	r := rim{edges: len(points)}
	for _, p := range points {
		r.center = r3.Add(r.center, m.Vertices[p])
	}
	r.center = r3.Scale(1/float64(len(points)), r.center)
	from := m.Vertices[points[0]]
	for range 2 {
		far, best := from, 0.0
		for _, p := range points {
			if d := r3.Norm(r3.Sub(m.Vertices[p], from)); d > best {
				far, best = m.Vertices[p], d
			}
		}
		from, r.span = far, best
	}
	return r
}
