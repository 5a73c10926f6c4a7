package mesh

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// cornerTable numbers the corners of one run of triangles in the order in which
// they first appear. It does for the millions of corners of binary STL what
// keyIndex does for everything else: the slots hold enough of a corner that a
// search as a rule touches one cache line of them, and the corner itself was
// used a moment ago.
type cornerTable struct {
	slots   []cornerSlot
	corners []cornerBits
	fetched uint32 // keeps the fetches in number from being left out as useless
}

// cornerBits are the float32 bits of a corner. (A key, being an array, would be
// put together in memory, which stalls.)
type cornerBits struct{ x, y, z uint32 }

// vec returns the point.
func (c cornerBits) vec() r3.Vec { return key{c.x, c.y, c.z}.vec() }

// cornerSlot is eight to a cache line.
type cornerSlot struct {
	place  uint32 // of the corner
	number uint32 // plus one; 0 is free
}

// place spreads corners evenly over 32 bits. Tables of any size put their slots
// in this order, which mergeTables makes use of.
func (c cornerBits) place() uint32 {
	h := (uint64(c.x) | uint64(c.y)<<32) * 0x9e3779b97f4a7c15
	h ^= h >> 29
	h = (h ^ uint64(c.z)) * 0xbf58476d1ce4e5b9
	return uint32(h>>32 ^ h)
}

// newCornerTable returns a table with room for about n corners.
func newCornerTable(n int) *cornerTable {
	return &cornerTable{slots: large.Make[cornerSlot](2*n + 16), corners: large.Make[cornerBits](n)[:0]}
}

// number numbers the corners of some triangles, at most decodeBatch, whose places
// are given. The slots where the searches start are fetched first, in a loop so
// tight that many are under way at a time: waiting for memory in turn would take
// longer than all else.
func (t *cornerTable) number(corners []cornerBits, places []uint32, faces [][3]int32) {
	t.makeRoom(len(corners))
	var starts [3 * decodeBatch]uint32
	size, slots := uint64(len(t.slots)), t.slots
	fetched := uint32(0)
	for i, place := range places {
		starts[i] = uint32(uint64(place) * size >> 32)
		fetched |= slots[starts[i]].number
	}
	t.fetched = fetched
	for f := range faces {
		face, of, place, at := &faces[f], corners[3*f:3*f+3], places[3*f:3*f+3], starts[3*f:3*f+3]
		for k := range face {
			c, slot := &of[k], slots[at[k]]
			if slot.number != 0 && slot.place == place[k] && t.corners[slot.number-1] == *c {
				face[k] = int32(slot.number - 1)
			} else {
				face[k] = t.find(c, place[k], int(at[k]))
			}
		}
	}
}

// find returns the number of a corner, searched for from slot s on. It is the
// next one when the corner is new.
func (t *cornerTable) find(c *cornerBits, place uint32, s int) int32 {
	s, found := t.search(c, place, s)
	if !found {
		t.corners = append(t.corners, *c)
		t.slots[s] = cornerSlot{place, uint32(len(t.corners))}
	}
	return int32(t.slots[s].number - 1)
}

// search returns the slot of a corner, searched for from slot s on, or the free
// one where it belongs.
func (t *cornerTable) search(c *cornerBits, place uint32, s int) (at int, found bool) {
	for {
		slot := t.slots[s]
		if slot.number == 0 {
			return s, false
		}
		if slot.place == place && t.corners[slot.number-1] == *c {
			return s, true
		}
		if s++; s == len(t.slots) {
			s = 0
		}
	}
}

// start returns the slot where the search for a corner starts.
func (t *cornerTable) start(place uint32) int { return int(uint64(place) * uint64(len(t.slots)) >> 32) }

// known returns the number of a corner, −1 when it has none.
func (t *cornerTable) known(c *cornerBits, place uint32) int32 {
	s, found := t.search(c, place, t.start(place))
	if !found {
		return -1
	}
	return int32(t.slots[s].number - 1)
}

// makeRoom sees to it that n more corners find room.
func (t *cornerTable) makeRoom(n int) {
	n += len(t.corners)
	if n > cap(t.corners) {
		t.corners = append(large.Make[cornerBits](2 * n)[:0], t.corners...)
	}
	if 8*n <= 5*len(t.slots) {
		return
	}
	old := t.slots
	t.slots = large.Make[cornerSlot](2*len(old) + 2*n)
	for _, slot := range old {
		if slot.number != 0 {
			s := t.start(slot.place)
			for t.slots[s].number != 0 {
				if s++; s == len(t.slots) {
					s = 0
				}
			}
			t.slots[s] = slot
		}
	}
}

// mergeTables welds runs of triangles that were numbered on their own: faces[p]
// by tables[p]. They are renumbered in place as one table over all runs would
// have numbered them: vertices in order of first appearance.
func mergeTables(tables []*cornerTable, faces [][][3]int32) []r3.Vec {
	to := make([][]int32, len(tables)) // number in the end of each corner of a run
	total := len(tables[0].corners)
	for p := 1; p < len(tables); p++ {
		to[p] = tables[p].seenIn(tables[:p], to)
		for i, n := range to[p] {
			if n < 0 {
				to[p][i] = int32(total)
				total++
			}
		}
		renumber(faces[p], to[p])
	}
	vertices := large.Make[r3.Vec](total)
	for p, t := range tables {
		inParts(len(t.corners), func(_, lo, hi int) {
			for i, c := range t.corners[lo:hi] {
				n := lo + i
				if p > 0 {
					n = int(to[p][n])
				}
				vertices[n] = c.vec()
			}
		})
	}
	return vertices
}

// seenIn returns for each corner its number in the end if it is in a table
// before this one, −1 if not. It goes through the slots, not the corners: since
// all tables are in the same order, it goes through the others in order too.
func (t *cornerTable) seenIn(before []*cornerTable, to [][]int32) []int32 {
	seen := large.Make[int32](len(t.corners))
	inParts(len(t.slots), func(_, lo, hi int) {
		for _, slot := range t.slots[lo:hi] {
			if slot.number == 0 {
				continue
			}
			n, c := int32(-1), &t.corners[slot.number-1]
			for p, b := range before {
				if n = b.known(c, slot.place); n >= 0 {
					if p > 0 {
						n = to[p][n]
					}
					break
				}
			}
			seen[slot.number-1] = n
		}
	})
	return seen
}

// renumber replaces the corners of faces.
func renumber(faces [][3]int32, to []int32) {
	inParts(len(faces), func(_, lo, hi int) {
		for f, t := range faces[lo:hi] {
			faces[lo+f] = [3]int32{to[t[0]], to[t[1]], to[t[2]]}
		}
	})
}
