package mesh

import "pourwright/mesh/large"

// edgePairs brings the two uses of each edge together without sorting, for the
// edges whose smaller end is in a block of vertices. A scan has few other edges;
// blocks that have some are left to edgeSorter.
type edgePairs struct {
	rows []edgeRow // of each vertex of the block
	odd  bool      // some edge is not regular, or a vertex has more edges than its row
}

// edgeRow holds the edges from one vertex to larger ones: an open-addressing hash
// table of two cache lines.
type edgeRow [8]edgePair

// edgePair is an edge with the faces that use it, counted from 1: forward, from
// the smaller end to the larger, and backward.
type edgePair struct {
	larger int32 // 0 when the place is free
	face   [2]int32
}

const (
	// pairBlock is for how many vertices edges are paired at a time: their rows
	// fit in a second-level cache.
	pairBlock = 1 << 12
	// pairScans is how often a face may be looked at on average. Where neighbours
	// are far apart in the file it would be much more often.
	pairScans = 4
)

// pairable says whether the edges are fit to be paired block by block.
func pairable(spans [][2]int32) bool {
	scans := 0
	for _, s := range spans {
		scans += int(s[1]/pairBlock-s[0]/pairBlock) + 1
	}
	return scans <= pairScans*len(spans)
}

// fill pairs the edges whose smaller end is in [lo, hi).
func (e *edgePairs) fill(m *Mesh, lo, hi int, spans [][2]int32) {
	if e.rows == nil {
		e.rows = large.Make[edgeRow](pairBlock)
	}
	clear(e.rows)
	e.odd = false
	first, size := int32(lo), uint32(hi-lo)
	for row, span := range spans {
		if int(span[0]) >= hi || int(span[1]) < lo {
			continue
		}
		start := row * spanFaces
		for f, t := range m.Faces[start:min(start+spanFaces, len(m.Faces))] {
			if collapsed(t) {
				continue
			}
			a := t[2]
			for _, b := range t {
				v, larger, backward := a, b, 0
				if b < a {
					v, larger, backward = b, a, 1
				}
				if uint32(v-first) < size {
					e.add(&e.rows[v-first], larger, backward, int32(start+f+1))
				}
				a = b
			}
		}
	}
}

// add takes in one use of an edge.
func (e *edgePairs) add(row *edgeRow, larger int32, backward int, face int32) {
	const places = uint32(len(row))
	at := uint32(larger) * 0x9e3779b1 >> 29
	for range places {
		pair := &row[at%places]
		if pair.larger == larger || pair.larger == 0 {
			e.odd = e.odd || pair.face[backward&1] != 0
			pair.larger, pair.face[backward&1] = larger, face
			return
		}
		at++
	}
	e.odd = true
}

// regular says whether all edges taken in are regular.
func (e *edgePairs) regular() bool {
	if e.odd {
		return false
	}
	for v := range e.rows {
		for k := range e.rows[v] {
			if pair := &e.rows[v][k]; (pair.face[0] == 0) != (pair.face[1] == 0) {
				return false
			}
		}
	}
	return true
}

// join joins the faces at each edge.
func (e *edgePairs) join(p forest) {
	for v := range e.rows {
		for k := range e.rows[v] {
			if pair := &e.rows[v][k]; pair.larger != 0 {
				p.join(pair.face[0]-1, pair.face[1]-1)
			}
		}
	}
}
