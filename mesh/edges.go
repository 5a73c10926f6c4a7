package mesh

import (
	"slices"
	"sync/atomic"
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

// edgeTable holds the uses of all edges of the faces that are not collapsed,
// grouped by the edge's smaller end v: uses[start[v]:start[v+1]], sorted.
type edgeTable struct {
	start []int32
	uses  []edgeUse
}

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

// newEdgeTable sorts the edge uses by counting: each processor owns a range of
// vertices and takes from all faces what belongs there.
func newEdgeTable(m *Mesh) *edgeTable {
	e := &edgeTable{start: makeLarge[int32](len(m.Vertices) + 2)}
	inParts(len(m.Vertices), func(_, lo, hi int) {
		count := e.start[lo+2 : hi+2]
		m.eachUse(lo, hi, func(v int32, _ edgeUse) { count[v]++ })
	})
	for v := 1; v < len(e.start); v++ {
		e.start[v] += e.start[v-1]
	}
	e.uses = makeLarge[edgeUse](int(e.start[len(e.start)-1]))
	// While filling, start[v+1] is where the next use of v goes; in the end it
	// is where those of v+1 begin.
	inParts(len(m.Vertices), func(_, lo, hi int) {
		next := e.start[lo+1 : hi+1]
		m.eachUse(lo, hi, func(v int32, u edgeUse) {
			e.uses[next[v]] = u
			next[v]++
		})
	})
	e.start = e.start[:len(m.Vertices)+1]
	inParts(len(m.Vertices), func(_, lo, hi int) {
		for v := lo; v < hi; v++ {
			slices.Sort(e.uses[e.start[v]:e.start[v+1]])
		}
	})
	return e
}

// eachUse visits the uses of edges whose smaller end is lo+v for v in
// [0, hi-lo), in face order.
func (m *Mesh) eachUse(lo, hi int, visit func(v int32, u edgeUse)) {
	first, size := int32(lo), uint32(hi-lo)
	for f, t := range m.Faces {
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

// each visits the edges whose smaller end is in [lo, hi), in order of their
// ends.
func (e *edgeTable) each(lo, hi int, visit func(edgeRun)) {
	for v := lo; v < hi; v++ {
		uses := e.uses[e.start[v]:e.start[v+1]]
		for len(uses) > 0 {
			n := 1
			for n < len(uses) && uses[n].larger() == uses[0].larger() {
				n++
			}
			visit(edgeRun{int32(v), uses[:n:n]})
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
	p := forest(makeLarge[int32](n))
	for i := range p {
		p[i] = int32(i)
	}
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

func (p forest) join(a, b int32) {
	for {
		a, b = p.root(a), p.root(b)
		if a == b {
			return
		}
		if a > b {
			a, b = b, a
		}
		if atomic.CompareAndSwapInt32(&p[b], b, a) {
			return
		}
	}
}

// number replaces each parent by the number of its set, counted in order of
// the sets' smallest members; skipped nodes get −1. It returns how many sets
// there are.
func (p forest) number(skip func(i int) bool) int {
	n := int32(0)
	for i, up := range p {
		switch {
		case skip(i):
			p[i] = -1
		case up == int32(i):
			p[i] = n
			n++
		default:
			p[i] = p[up] // up < i, so it is numbered already
		}
	}
	return int(n)
}

// faceShells joins faces that share an edge into shells and returns each
// face's shell (−1 when collapsed), how many there are, and the edges that are
// not regular, in order of their ends.
func (e *edgeTable) faceShells(m *Mesh) (shellOf []int32, shells int, odd []edgeRun) {
	p := newForest(len(m.Faces))
	oddIn := make([][]edgeRun, partsFor(len(m.Vertices)))
	inParts(len(m.Vertices), func(part, lo, hi int) {
		e.each(lo, hi, func(r edgeRun) {
			for _, u := range r.uses[1:] {
				p.join(r.uses[0].face(), u.face())
			}
			if !r.regular() {
				oddIn[part] = append(oddIn[part], r)
			}
		})
	})
	shells = p.number(func(f int) bool { return collapsed(m.Faces[f]) })
	return p, shells, slices.Concat(oddIn...)
}
