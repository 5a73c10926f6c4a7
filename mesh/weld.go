package mesh

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// key is three words compared bit for bit: a corner's float32 bits, a grid
// cell, or a face.
type key [3]uint32

// cornerKey returns the key of a corner; −0 and 0 are the same place.
func cornerKey(x, y, z uint32) key {
	return key{positiveZero(x), positiveZero(y), positiveZero(z)}
}

func positiveZero(b uint32) uint32 {
	if b == 1<<31 {
		return 0
	}
	return b
}

// vec returns the point of a corner's key.
func (k key) vec() r3.Vec {
	return r3.Vec{
		X: float64(math.Float32frombits(k[0])),
		Y: float64(math.Float32frombits(k[1])),
		Z: float64(math.Float32frombits(k[2])),
	}
}

// keyIndex numbers keys in the order in which they first appear. It is an
// open-addressing hash table of positions in keys: a Go map with the same
// content is several times slower and larger.
type keyIndex struct {
	keys    []key
	slots   []uint32 // position in keys plus one; 0 is free
	shift   uint
	fetched uint32 // keeps the fetch in numberAll from being left out as useless
}

// newKeyIndex returns an index with room for about n keys.
func newKeyIndex(n int) *keyIndex {
	x := &keyIndex{keys: large.Make[key](n)[:0]}
	x.resize(max(4, bits.Len(uint(2*max(n, 1)-1))))
	return x
}

func (x *keyIndex) resize(log2 int) {
	x.slots = large.Make[uint32](1 << log2)
	x.shift = uint(64 - log2)
	mask := len(x.slots) - 1
	for i, k := range x.keys {
		s := int(k.hash() >> x.shift)
		for x.slots[s] != 0 {
			s = (s + 1) & mask
		}
		x.slots[s] = uint32(i + 1)
	}
}

// hash mixes the key by multiplication; the high bits are the good ones.
func (k key) hash() uint64 {
	h := (uint64(k[0]) | uint64(k[1])<<32) * 0x9e3779b97f4a7c15
	h ^= h >> 29
	h = (h ^ uint64(k[2])) * 0xbf58476d1ce4e5b9
	return h ^ h<<32
}

// batch is how many keys numberAll looks up together.
const batch = 96

// numberAll numbers up to batch keys. The places where their searches start are
// fetched first, all at once: waiting for memory in turn would take longer than
// all else.
func (x *keyIndex) numberAll(keys []key, numbers []int32) {
	var hashes [batch]uint64
	fetched := uint32(0)
	for i, k := range keys {
		hashes[i] = k.hash()
		fetched |= x.slots[hashes[i]>>x.shift]
	}
	x.fetched = fetched
	for i, k := range keys {
		numbers[i] = x.numberHashed(k, hashes[i])
	}
}

// number returns the number of k, the next free one when k is new.
func (x *keyIndex) number(k key) int32 { return x.numberHashed(k, k.hash()) }

func (x *keyIndex) numberHashed(k key, hash uint64) int32 {
	mask := len(x.slots) - 1
	s := int(hash >> x.shift)
	for x.slots[s] != 0 {
		i := x.slots[s] - 1
		if x.keys[i] == k {
			return int32(i)
		}
		s = (s + 1) & mask
	}
	x.keys = append(x.keys, k)
	x.slots[s] = uint32(len(x.keys))
	if 8*len(x.keys) > 5*len(x.slots) {
		x.resize(bits.Len(uint(len(x.slots))))
	}
	return int32(len(x.keys) - 1)
}

// weld joins the corners of parts of a triangle soup that were numbered on
// their own. faces[p] holds the faces of part p, numbered by indexes[p]; they
// are renumbered in place. The result is what one index over the parts in turn
// would give: vertices in order of first appearance.
func weld(indexes []*keyIndex, faces [][][3]int32) []r3.Vec {
	all := indexes[0]
	for p := 1; p < len(indexes); p++ {
		keys := indexes[p].keys
		to := large.Make[int32](len(keys))
		for i := 0; i < len(keys); i += batch {
			end := min(i+batch, len(keys))
			all.numberAll(keys[i:end], to[i:end])
		}
		part := faces[p]
		inParts(len(part), func(_, lo, hi int) {
			for f, t := range part[lo:hi] {
				part[lo+f] = [3]int32{to[t[0]], to[t[1]], to[t[2]]}
			}
		})
	}
	vertices := large.Make[r3.Vec](len(all.keys))
	inParts(len(vertices), func(_, lo, hi int) {
		for i := lo; i < hi; i++ {
			vertices[i] = all.keys[i].vec()
		}
	})
	return vertices
}
