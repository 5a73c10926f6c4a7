package mesh

import (
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"pourwright/mesh/large"
)

// edgeUse is one face's use of an edge whose smaller end is known: the larger
// end (31 bits), whether the face runs from the larger to the smaller end (1
// bit), and the face (32 bits). Sorting uses brings those of one edge together.
type edgeUse uint64

func newEdgeUse(larger int32, backward bool, face int) edgeUse {
	u := edgeUse(larger)<<33 | edgeUse(face)
	if backward {
		u |= 1 << 32
	}
	return u
}

func (u edgeUse) larger() int32  { return int32(u >> 33) }
func (u edgeUse) backward() bool { return u>>32&1 == 1 }
func (u edgeUse) face() int32    { return int32(uint32(u)) }

// edgeRun is all uses of one edge.
type edgeRun struct {
	smaller int32
	uses    []edgeUse
}

// regular says whether just two faces use the edge, in opposite directions.
func (r edgeRun) regular() bool {
	return len(r.uses) == 2 && r.uses[0].backward() != r.uses[1].backward()
}

// collapsed says whether a face has fewer than three different corners.
func collapsed(t [3]int32) bool {
	return t[0] == t[1] || t[1] == t[2] || t[2] == t[0]
}

// eachEdge visits all edges of the faces that are not collapsed, on several
// processors: each part of the vertices (see inParts) has the edges whose smaller
// end is in it, visited in order of their ends. The uses are sorted and last only
// for the visit.
func (m *Mesh) eachEdge(visit func(part int, r edgeRun)) {
	spans := m.endSpans()
	inParts(len(m.Vertices), func(part, lo, hi int) {
		m.edgesOf(lo, hi, spans, func(r edgeRun) { visit(part, r) })
	})
}

// eachEdgeInOrder visits the same edges one after another, in order of their
// ends.
func (m *Mesh) eachEdgeInOrder(visit func(r edgeRun)) {
	m.edgesOf(0, len(m.Vertices), m.endSpans(), visit)
}

// edgesOf visits the edges whose smaller end is in [lo, hi).
func (m *Mesh) edgesOf(lo, hi int, spans [][2]int32, visit func(r edgeRun)) {
	s := edgeSorter{mesh: m, spans: spans}
	for ; lo < hi; lo += edgeBlock {
		s.sort(lo, min(lo+edgeBlock, hi))
		s.each(visit)
	}
}

const (
	// edgeBlock is for how many vertices edges are sorted at a time; their uses,
	// eight bytes six times a vertex, are the most memory a check takes.
	edgeBlock = 1 << 17
	// spanFaces is how many faces share one span of ends.
	spanFaces = 1 << 11
)

// endSpans returns, for each spanFaces faces in a row, the least and the
// greatest smaller end of their edges. In most files neighbours stand near each
// other, so that a block of vertices concerns few rows.
func (m *Mesh) endSpans() [][2]int32 {
	spans := make([][2]int32, (len(m.Faces)+spanFaces-1)/spanFaces)
	inParts(len(m.Faces), func(_, lo, hi int) {
		for row := (lo + spanFaces - 1) / spanFaces; row*spanFaces < hi; row++ {
			span := [2]int32{math.MaxInt32, -1}
			for _, t := range m.Faces[row*spanFaces : min((row+1)*spanFaces, len(m.Faces))] {
				// The least corner is the smaller end of two edges, the middle one
				// that of the third.
				least, most := min(t[0], t[1], t[2]), max(t[0], t[1], t[2])
				span[0] = min(span[0], least)
				span[1] = max(span[1], t[0]^t[1]^t[2]^least^most)
			}
			spans[row] = span
		}
	})
	return spans
}

// edgeSorter sorts the uses of the edges whose smaller end is in a block of
// vertices, by counting: those of the block's vertex v end up, sorted, in
// uses[start[v]:start[v+1]].
type edgeSorter struct {
	mesh  *Mesh
	spans [][2]int32
	first int
	start []int32
	uses  []edgeUse
}

// sort fills the sorter with the edges whose smaller end is in [lo, hi).
func (s *edgeSorter) sort(lo, hi int) {
	s.first = lo
	s.start = append(s.start[:0], make([]int32, hi-lo+2)...)
	s.eachUse(lo, hi, func(v int32, _ edgeUse) { s.start[v+2]++ })
	for v := 1; v < len(s.start); v++ {
		s.start[v] += s.start[v-1]
	}
	if n := int(s.start[len(s.start)-1]); n > cap(s.uses) {
		s.uses = large.Make[edgeUse](n + n/8)
	} else {
		s.uses = s.uses[:n]
	}
	// While filling, start[v+1] is where the next use of v goes; in the end it
	// is where those of v+1 begin.
	s.eachUse(lo, hi, func(v int32, u edgeUse) {
		s.uses[s.start[v+1]] = u
		s.start[v+1]++
	})
	s.start = s.start[:hi-lo+1]
}

// eachUse visits the uses of edges whose smaller end is lo+v for v in
// [0, hi-lo), in face order.
func (s *edgeSorter) eachUse(lo, hi int, visit func(v int32, u edgeUse)) {
	first, size := int32(lo), uint32(hi-lo)
	for row, span := range s.spans {
		if int(span[0]) >= hi || int(span[1]) < lo {
			continue
		}
		for f := row * spanFaces; f < min((row+1)*spanFaces, len(s.mesh.Faces)); f++ {
			t := s.mesh.Faces[f]
			if collapsed(t) {
				continue
			}
			a := t[2]
			for _, b := range t {
				v, larger, backward := a, b, b < a
				if backward {
					v, larger = b, a
				}
				if uint32(v-first) < size {
					visit(v-first, newEdgeUse(larger, backward, f))
				}
				a = b
			}
		}
	}
}

// each visits the edges in order of their ends.
func (s *edgeSorter) each(visit func(edgeRun)) {
	for v := range s.start[1:] {
		uses := s.uses[s.start[v]:s.start[v+1]]
		slices.Sort(uses)
		for len(uses) > 0 {
			n := 1
			for n < len(uses) && uses[n].larger() == uses[0].larger() {
				n++
			}
			visit(edgeRun{int32(s.first + v), uses[:n:n]})
			uses = uses[n:]
		}
	}
}

// forest is a union-find structure that several goroutines may join in: a
// node's parent is never larger than the node, and a root is linked below a
// smaller one by compare-and-swap, so the root of a set is its smallest member
// whatever the order. Source: Anderson & Woll, "Wait-free parallel algorithms
// for the union-find problem", STOC 1991 (from memory; without ranks).
type forest []int32

func newForest(n int) forest {
	p := forest(large.Make[int32](n))
	inParts(n, func(_, lo, hi int) {
		for i := lo; i < hi; i++ {
			p[i] = int32(i)
		}
	})
	return p
}

func (p forest) root(x int32) int32 {
	for {
		up := atomic.LoadInt32(&p[x])
		if up == x {
			return x
		}
		if top := atomic.LoadInt32(&p[up]); top != up {
			atomic.CompareAndSwapInt32(&p[x], up, top)
		}
		x = up
	}
}

// join joins two sets. A node on the way up is hung below the smaller of the two
// parents as it is passed: Rem's algorithm, as in Patwary, Blair & Manne,
// "Experiments on union-find algorithms for the disjoint-set data structure",
// SEA 2010 (from memory).
func (p forest) join(a, b int32) {
	for {
		up, other := atomic.LoadInt32(&p[a]), atomic.LoadInt32(&p[b])
		if up == other {
			return
		}
		if up < other {
			a, b, up, other = b, a, other, up
		}
		if atomic.CompareAndSwapInt32(&p[a], up, other) {
			if a == up {
				return
			}
			a = up
		}
	}
}

// number replaces each parent by the number of its set, counted in order of
// the sets' smallest members; skipped nodes, which must be sets of their own, get
// −1. It returns how many sets there are. skip is called from several goroutines.
func (p forest) number(skip func(i int) bool) int {
	roots := make([][]int32, partsFor(len(p)))
	inParts(len(p), func(part, lo, hi int) {
		for i := int32(lo); i < int32(hi); i++ {
			switch up := p.root(i); {
			case up != i:
				atomic.StoreInt32(&p[i], up)
			case !skip(int(i)):
				roots[part] = append(roots[part], i)
			}
		}
	})
	// Now each parent is a root. Roots are marked by their numbers, −2 and below,
	// for the others to read.
	n := int32(0)
	for _, r := range slices.Concat(roots...) {
		p[r] = -2 - n
		n++
	}
	inParts(len(p), func(_, lo, hi int) {
		for i := lo; i < hi; i++ {
			switch up := p[i]; {
			case up == int32(i):
				p[i] = -1
			case up >= 0:
				p[i] = -2 - p[up]
			}
		}
	})
	for _, r := range slices.Concat(roots...) {
		p[r] = -2 - p[r]
	}
	return int(n)
}

// faceShells joins faces that share an edge into shells and returns each
// face's shell (−1 when collapsed), how many there are, and the edges that are
// not regular, in order of their ends.
func (m *Mesh) faceShells() (shellOf []int32, shells int, odd oddEdges) {
	p := newForest(len(m.Faces))
	odd = oddEdges{m, make([][]sideUse, partsFor(len(m.Vertices)))}
	spans := sync.OnceValue(m.endSpans)
	rows, paired := m.pairRows()
	inParts(len(m.Vertices), func(part, lo, hi int) {
		take := func(r edgeRun) {
			for _, u := range r.uses[1:] {
				p.join(r.uses[0].face(), u.face())
			}
			if !r.regular() {
				odd.parts[part] = m.appendSides(odd.parts[part], r)
			}
		}
		if !paired {
			m.edgesOf(lo, hi, spans(), take)
			return
		}
		pairs := edgePairs{joined: p}
		for lo < hi {
			block := lo / pairBlock
			end := min((block+1)*pairBlock, hi)
			if pairs.fill(m, lo, end, rows[block]); !pairs.regular() {
				m.edgesOf(lo, end, spans(), take)
			}
			lo = end
		}
	})
	shells = p.number(func(f int) bool { return collapsed(m.Faces[f]) })
	return p, shells, odd
}
