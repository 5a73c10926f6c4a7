package mesh

import (
	"cmp"
	"slices"

	"pourwright/mesh/large"
)

// edgePairs brings the two uses of each edge together without sorting, for the
// edges whose smaller end is in a block of vertices, and joins their faces. A scan
// has few other edges; blocks that have some are left to edgeSorter.
type edgePairs struct {
	rows   []edgeRow   // of each vertex of the block
	more   []vertexUse // of edges that found no place in the row of their vertex
	open   int         // edges in rows that one face has used
	odd    bool        // some edge is not regular
	joined forest
}

// edgeRow holds the edges from one vertex to larger ones: an open-addressing hash
// table of a cache line.
type edgeRow [8]edgePair

// edgePair is an edge with the face that waits for another, counted from 1, below
// 0 when it runs from the larger end to the smaller; 0 once both were there.
type edgePair struct {
	larger int32 // 0 when the place is free
	face   int32
}

// vertexUse is the use of an edge with its smaller end.
type vertexUse struct {
	smaller int32
	edgeUse
}

const (
	// pairBlock is for how many vertices edges are paired at a time: their rows
	// fit in a second-level cache.
	pairBlock = 1 << 12
	// pairFaces is how many faces in a row are looked at together ...
	pairFaces = 1 << 9
	// pairScans ... and how often on average. Where neighbours are far apart in the
	// file it would be much more often.
	pairScans = 4
)

// pairRows lists, for each pairBlock vertices in a row, which pairFaces faces in a
// row have an edge whose smaller end is among them. It returns false where that is
// too many to be worth it.
func (m *Mesh) pairRows() (rowsOf [][]int32, ok bool) {
	rows := (len(m.Faces) + pairFaces - 1) / pairFaces
	blocks := (len(m.Vertices) + pairBlock - 1) / pairBlock
	parts := partsFor(len(m.Faces))
	inPart, scans := make([][][]int32, parts), make([]int, parts)
	inParts(len(m.Faces), func(part, lo, hi int) {
		of, last := make([][]int32, blocks), make([]int32, blocks) // last: the row that came last, plus one
		take := func(v, row int32) {
			if block := v / pairBlock; last[block] <= row {
				last[block] = row + 1
				of[block] = append(of[block], row)
				scans[part]++
			}
		}
		for row := (lo + pairFaces - 1) / pairFaces; row*pairFaces < hi && scans[part] <= pairScans*rows; row++ {
			for _, t := range m.Faces[row*pairFaces : min((row+1)*pairFaces, len(m.Faces))] {
				// The least corner is the smaller end of two edges, the middle one that
				// of the third.
				least, most := min(t[0], t[1], t[2]), max(t[0], t[1], t[2])
				take(least, int32(row))
				take(t[0]^t[1]^t[2]^least^most, int32(row))
			}
		}
		inPart[part] = of
	})
	rowsOf = make([][]int32, blocks)
	for block := range rowsOf {
		for _, of := range inPart {
			rowsOf[block] = append(rowsOf[block], of[block]...)
		}
	}
	return rowsOf, sumOf(scans) <= pairScans*rows
}

func sumOf(list []int) (sum int) {
	for _, n := range list {
		sum += n
	}
	return sum
}

// fill pairs the edges whose smaller end is in [lo, hi), which are of faces in rows.
func (e *edgePairs) fill(m *Mesh, lo, hi int, rows []int32) {
	if e.rows == nil {
		e.rows = large.Make[edgeRow](pairBlock)
	}
	clear(e.rows)
	e.more, e.open, e.odd = e.more[:0], 0, false
	first, size := int32(lo), uint32(hi-lo)
	for _, row := range rows {
		start := int(row) * pairFaces
		for f, t := range m.Faces[start:min(start+pairFaces, len(m.Faces))] {
			if collapsed(t) {
				continue
			}
			face, a := int32(start+f+1), t[2]
			for _, b := range t {
				v, larger := min(a, b), max(a, b)
				if uint32(v-first) < size {
					backward := (b - a) >> 31 // −1, else 0
					e.add(v, larger, (face^backward)-backward, &e.rows[v-first])
				}
				a = b
			}
		}
	}
	e.pairMore()
}

// add takes in one use of an edge.
func (e *edgePairs) add(smaller, larger, face int32, row *edgeRow) {
	const places = uint32(len(row))
	at := uint32(larger) * 0x9e3779b1 >> 29
	for range places {
		pair := &row[at%places]
		if pair.larger == larger {
			e.close(pair, face)
			return
		}
		if pair.larger == 0 {
			*pair = edgePair{larger, face}
			e.open++
			return
		}
		at++
	}
	e.more = append(e.more, vertexUse{smaller, newEdgeUse(larger, face < 0, int(max(face, -face)-1))})
}

// close takes in another use of an edge.
func (e *edgePairs) close(pair *edgePair, face int32) {
	if pair.face == 0 || (pair.face < 0) == (face < 0) {
		e.odd = true
		return
	}
	e.joined.join(max(pair.face, -pair.face)-1, max(face, -face)-1)
	pair.face = 0
	e.open--
}

// pairMore pairs the uses that found no place.
func (e *edgePairs) pairMore() {
	slices.SortFunc(e.more, func(a, b vertexUse) int {
		return cmp.Or(cmp.Compare(a.smaller, b.smaller), cmp.Compare(a.edgeUse, b.edgeUse))
	})
	e.odd = e.odd || len(e.more)%2 == 1
	for i := 1; i < len(e.more); i += 2 {
		// Of an edge that two pairs use, these are both forward.
		a, b := e.more[i-1], e.more[i]
		if a.smaller != b.smaller || a.larger() != b.larger() || a.backward() || !b.backward() {
			e.odd = true
			return
		}
		e.joined.join(a.face(), b.face())
	}
}

// regular says whether all edges taken in are regular.
func (e *edgePairs) regular() bool { return !e.odd && e.open == 0 }
