package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// cornerTable numbers the corners of one run of triangles in the order in which
// they first appear. It does for the millions of corners of binary STL what
// keyIndex does for everything else: most corners were seen a few triangles ago
// and are found among the recent ones, which stay in the processor's cache; the
// others wait until there are some, and are then looked up together.
type cornerTable struct {
	slots   []cornerSlot
	corners []cornerBits
	recent  []recentCorner // recentCorners of them, each corner in its place
	waiting int
	wait    [3 * decodeBatch]cornerBits // those that wait, waiting of them
	fetched uint32                      // keeps the fetches in settle from being left out as useless
}

// recentCorner is a corner that was met a moment ago.
type recentCorner struct {
	corner cornerBits
	number int32 // −1−i for the corner that waits as wait[i]
}

// recentCorners is how many corners are kept at hand: 128 KiB.
const recentCorners = 1 << 13

// recentAt returns where a corner is kept.
func (c cornerBits) recentAt() uint32 {
	h := c.x*0x9e3779b1 ^ c.y*0x85ebca6b ^ c.z*0xc2b2ae35
	return h >> 19
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
	t := &cornerTable{slots: large.Make[cornerSlot](2*n + 16), corners: large.Make[cornerBits](n)[:0],
		recent: make([]recentCorner, recentCorners)}
	for i := range t.recent {
		t.recent[i].corner.x = math.MaxUint32 // no corner: not a number
	}
	return t
}

// number numbers the corners of one triangle. What is below 0 waits for settle.
func (t *cornerTable) number(corners *[3]cornerBits, face *[3]int32) {
	recent := (*[recentCorners]recentCorner)(t.recent)
	for k := range corners {
		c := corners[k]
		r := &recent[c.recentAt()]
		if r.corner != c {
			t.wait[t.waiting] = c
			t.waiting++
			*r = recentCorner{c, int32(-t.waiting)}
		}
		face[k] = r.number
	}
}

// settle gives the corners that wait their numbers, in order, and puts these into
// the triangles, at most decodeBatch, that have been numbered since it was last
// called. The slots where the searches start are fetched first, in a loop so tight
// that many are under way at a time: waiting for memory in turn would take longer
// than all else.
func (t *cornerTable) settle(faces [][3]int32) {
	t.makeRoom(t.waiting)
	var places [3 * decodeBatch]uint32
	var numbers [3 * decodeBatch]int32
	wait, size, fetched := t.wait[:t.waiting], uint64(len(t.slots)), uint32(0)
	for i, c := range wait {
		places[i] = c.place()
		fetched |= t.slots[uint64(places[i])*size>>32].number
	}
	t.fetched = fetched
	for i := range wait {
		c := &wait[i]
		numbers[i] = t.find(c, places[i], t.start(places[i]))
		if r := &t.recent[c.recentAt()]; r.number == int32(-1-i) {
			r.number = numbers[i]
		}
	}
	for f := range faces {
		face := &faces[f]
		for k, n := range face {
			if n < 0 {
				face[k] = numbers[-1-n]
			}
		}
	}
	t.waiting = 0
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
