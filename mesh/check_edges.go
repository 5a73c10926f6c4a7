package mesh

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// oddEdges reports what the edges that are not regular amount to.
func (i *inspection) oddEdges(odd oddEdges) {
	open, shared, against := odd.open(), odd.shared(), false
	odd.each(func(r edgeRun) { against = against || len(r.uses) == 2 })
	i.report.Closed = len(open)+len(shared) == 0 && i.report.Shells > 0
	i.openLoops(open)
	if n := len(shared); n > 0 {
		i.addAt(KindSharedEdge, n, i.middleOf(shared[0].smaller, shared[0].uses[0].larger()), plural(n, "edge is", "edges are")+
			" shared by three or more faces, the first")
	}
	if against {
		i.winding()
	}
	i.duplicates(odd)
}

func (i *inspection) openLoops(open []openEdge) {
	if len(open) == 0 {
		return
	}
	n, largest := i.rims(open)
	i.report.OpenLoops = n
	text := plural(largest.edges, "edge", "edges") + ", " + length(largest.span) + " across,"
	if n == 1 {
		text = "hole with a rim of " + text
	} else {
		text = plural(n, "", "holes, the largest with a rim of ") + text
	}
	i.addAt(KindOpenLoop, n, largest.center, text)
}

// winding reports faces that are wound against their neighbours: in each
// patch of faces joined over two-face edges, the smaller side is called
// flipped.
func (i *inspection) winding() {
	sides := newSides(len(i.Faces))
	var twist []edgeRun
	i.eachEdgeInOrder(func(r edgeRun) {
		if len(r.uses) == 2 && !sides.join(r.uses[0].face(), r.uses[1].face(), !r.regular()) {
			twist = append(twist, edgeRun{r.smaller, slices.Clone(r.uses)})
		}
	})
	if n := len(twist); n > 0 {
		i.addAt(KindOneSided, n, i.middleOf(twist[0].smaller, twist[0].uses[0].larger()), "the surface has no outside: it closes on itself with a twist")
		return
	}
	if flipped := sides.fewer(); len(flipped) > 0 {
		n := len(flipped)
		i.addAt(KindFlippedFace, n, i.middle(flipped[0]), plural(n, "face is", "faces are")+
			" wound against the neighbours, the first")
	}
}

// duplicates reports faces on the same three corners as another. Such faces
// meet on an edge that is not regular, unless two of them are a shell of their
// own, which pairs reports.
func (i *inspection) duplicates(odd oddEdges) {
	type corner struct{ third, face int32 }
	var again []int32
	var at []corner
	odd.each(func(r edgeRun) {
		at = at[:0]
		for _, u := range r.uses {
			t := i.Faces[u.face()]
			at = append(at, corner{t[0] ^ t[1] ^ t[2] ^ r.smaller ^ u.larger(), u.face()})
		}
		slices.SortFunc(at, func(a, b corner) int {
			return cmp.Or(cmp.Compare(a.third, b.third), cmp.Compare(a.face, b.face))
		})
		for k := 1; k < len(at); k++ {
			if at[k].third == at[k-1].third {
				again = append(again, at[k].face)
			}
		}
	})
	slices.Sort(again)
	again = slices.Compact(again)
	if n := len(again); n > 0 {
		i.addAt(KindDuplicateFace, n, i.middle(again[0]), plural(n, "face is", "faces are")+" there twice, the first")
	}
}

// pairs reports closed shells of two faces: the same face with both windings.
func (i *inspection) pairs(list []shell) {
	n := 0
	var at r3.Vec
	for _, s := range list {
		if s.faces == 2 && i.report.Closed && !i.report.has(KindFlippedFace) {
			if n++; n == 1 {
				at = s.at
			}
		}
	}
	if n > 0 {
		i.addAt(KindDuplicateFace, n, at, plural(n, "face is", "faces are")+" there twice, back to back, the first")
	}
}

// sides is a union-find structure that also knows on which of two sides of its
// set each face is.
type sides struct {
	parent []int32
	other  []bool // not on the side of the parent
}

func newSides(n int) sides {
	return sides{parent: newForest(n), other: make([]bool, n)}
}

// root returns the root of f and whether f is on its other side.
func (s sides) root(f int32) (int32, bool) {
	other := false
	for s.parent[f] != f {
		up := s.parent[f]
		if top := s.parent[up]; top != up {
			s.other[f] = s.other[f] != s.other[up]
			s.parent[f] = top
		}
		other = other != s.other[f]
		f = s.parent[f]
	}
	return f, other
}

// join says that f and g are on the same or on opposite sides; false when it
// is known that they are not.
func (s sides) join(f, g int32, opposite bool) bool {
	f, fo := s.root(f)
	g, g2 := s.root(g)
	if f == g {
		return (fo != g2) == opposite
	}
	if f > g {
		f, g = g, f
	}
	s.parent[g], s.other[g] = f, (fo != g2) != opposite
	return true
}

// fewer returns the faces on the smaller side of each set, ascending; on a tie
// those not with the set's first face.
func (s sides) fewer() []int32 {
	balance := make([]int32, len(s.parent))
	for f := range s.parent {
		root, other := s.root(int32(f))
		if other {
			balance[root]--
		} else {
			balance[root]++
		}
	}
	var flipped []int32
	for f := range s.parent {
		if root, other := s.root(int32(f)); other == (balance[root] >= 0) {
			flipped = append(flipped, int32(f))
		}
	}
	return flipped
}
