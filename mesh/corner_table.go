package mesh

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// cornerTable numbers the corners of one run of triangles in the order in which
// they first appear. It does for the millions of corners of binary STL what
// keyIndex does for everything else: the slots hold the corners themselves, so
// that a search as a rule touches one cache line.
type cornerTable struct {
	slots   []cornerSlot
	corners []cornerBits
	fetched uint32 // keeps the fetches in number from being left out as useless
}

// cornerBits are the float32 bits of a corner, x in the low half of xy.
type cornerBits struct {
	xy uint64
	z  uint32
}

// cornerSlot is four to a cache line.
type cornerSlot struct {
	xy     uint64
	z      uint32
	number uint32 // plus one; 0 is free
}

// vec returns the point.
func (c cornerBits) vec() r3.Vec { return key{uint32(c.xy), uint32(c.xy >> 32), c.z}.vec() }

// place spreads corners evenly over 32 bits. Tables of any size put their slots
// in this order, which mergeTables makes use of.
func (c cornerBits) place() uint64 {
	h := c.xy * 0x9e3779b97f4a7c15
	h ^= h >> 29
	h = (h ^ uint64(c.z)) * 0xbf58476d1ce4e5b9
	return (h ^ h<<32) >> 32
}

// newCornerTable returns a table with room for about n corners.
func newCornerTable(n int) *cornerTable {
	return &cornerTable{slots: large.Make[cornerSlot](2*n + 16), corners: large.Make[cornerBits](n)[:0]}
}

// number numbers the corners of some triangles, at most decodeBatch. The slots
// where the searches start are fetched first, in a loop so tight that many are
// under way at a time: waiting for memory in turn would take longer than all
// else.
func (t *cornerTable) number(corners []cornerBits, faces [][3]int32) {
	if 8*(len(t.corners)+len(corners)) > 5*len(t.slots) {
		t.grow()
	}
	var starts [3 * decodeBatch]uint32
	size, slots := uint64(len(t.slots)), t.slots
	for i, c := range corners {
		starts[i] = uint32(c.place() * size >> 32)
	}
	fetched := uint32(0)
	for _, s := range starts[:len(corners)] {
		fetched |= slots[s].number
	}
	t.fetched = fetched
	for f := range faces {
		face, of, at := &faces[f], corners[3*f:3*f+3], starts[3*f:3*f+3]
		for k := range face {
			c, slot := &of[k], &slots[at[k]]
			if slot.xy == c.xy && slot.z == c.z && slot.number != 0 {
				face[k] = int32(slot.number - 1)
			} else {
				face[k] = t.find(*c, int(at[k]))
			}
		}
	}
}

// find returns the number of a corner, searched for from slot s on. It is the
// next one when the corner is new.
func (t *cornerTable) find(c cornerBits, s int) int32 {
	s, found := t.search(c, s)
	if !found {
		t.corners = append(t.corners, c)
		t.slots[s] = cornerSlot{c.xy, c.z, uint32(len(t.corners))}
	}
	return int32(t.slots[s].number - 1)
}

// search returns the slot of a corner, searched for from slot s on, or the free
// one where it belongs.
func (t *cornerTable) search(c cornerBits, s int) (at int, found bool) {
	for {
		slot := &t.slots[s]
		if slot.number == 0 {
			return s, false
		}
		if slot.xy == c.xy && slot.z == c.z {
			return s, true
		}
		if s++; s == len(t.slots) {
			s = 0
		}
	}
}

// start returns the slot where the search for a corner starts.
func (t *cornerTable) start(c cornerBits) int {
	return int(c.place() * uint64(len(t.slots)) >> 32)
}

// known returns the number of a corner, −1 when it has none.
func (t *cornerTable) known(c cornerBits) int32 {
	s, found := t.search(c, t.start(c))
	if !found {
		return -1
	}
	return int32(t.slots[s].number - 1)
}

func (t *cornerTable) grow() {
	t.slots = large.Make[cornerSlot](2 * len(t.slots))
	for i, c := range t.corners {
		s, _ := t.search(c, t.start(c))
		t.slots[s] = cornerSlot{c.xy, c.z, uint32(i + 1)}
	}
	t.corners = append(large.Make[cornerBits](len(t.slots) / 2)[:0], t.corners...)
}

// mergeTables welds runs of triangles that were numbered on their own: faces[p]
// by tables[p]. They are renumbered in place as one table over all runs would
// have numbered them: vertices in order of first appearance.
func mergeTables(tables []*cornerTable, faces [][][3]int32) []r3.Vec {
	to := make([][]int32, len(tables)) // number in the end of each corner of a run
	total := len(tables[0].corners)
	for p := 1; p < len(tables); p++ {
		to[p] = tables[p].seenIn(tables[:p], to)
		t, kept := tables[p], 0
		for i, n := range to[p] {
			if n < 0 {
				to[p][i] = int32(total + kept)
				t.corners[kept] = t.corners[i]
				kept++
			}
		}
		t.corners = t.corners[:kept]
		total += kept
		renumber(faces[p], to[p])
	}
	vertices := large.Make[r3.Vec](total)
	rest := vertices
	for _, t := range tables {
		inParts(len(t.corners), func(_, lo, hi int) {
			for i := lo; i < hi; i++ {
				rest[i] = t.corners[i].vec()
			}
		})
		rest = rest[len(t.corners):]
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
			n := int32(-1)
			for p, b := range before {
				if n = b.known(cornerBits{slot.xy, slot.z}); n >= 0 {
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
