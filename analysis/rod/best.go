package rod

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// best keeps the longest segments that differ.
type best struct {
	apartMM float64
	most    int
	sure    []Segment // by the field, longest first
	hopes   []Segment // may be a little too near to the surface, longest first
}

func newBest(apartMM float64, most int) *best { return &best{apartMM: apartMM, most: most} }

// longest returns the length of the longest sure one.
func (b *best) longest() float64 {
	if len(b.sure) == 0 {
		return 0
	}
	return b.sure[0].Length()
}

func (b *best) add(s Segment)  { b.sure = b.insert(b.sure, s) }
func (b *best) hope(s Segment) { b.hopes = b.insert(b.hopes, s) }

// insert puts s into a list unless it is like a longer one there, and takes
// shorter ones out that are like it.
func (b *best) insert(list []Segment, s Segment) []Segment {
	l := s.Length()
	if len(list) == b.most && l <= list[len(list)-1].Length() {
		return list
	}
	for _, other := range list {
		if other.Length() < l {
			break
		}
		if b.alike(s, other) {
			return list
		}
	}
	list = slices.DeleteFunc(list, func(o Segment) bool { return o.Length() < l && b.alike(s, o) })
	at, _ := slices.BinarySearchFunc(list, l, func(o Segment, l float64) int { return cmp.Compare(l, o.Length()) })
	list = slices.Insert(list, at, s)
	return list[:min(len(list), b.most)]
}

// alike says whether the ends of two segments lie close, whichever way round.
func (b *best) alike(s, o Segment) bool {
	apart := max(b.apartMM, 0.05*o.Length())
	near := func(p, q r3.Vec) bool { return r3.Norm2(r3.Sub(p, q)) < apart*apart }
	return near(s.From, o.From) && near(s.To, o.To) || near(s.From, o.To) && near(s.To, o.From)
}

// all returns the best of both kinds.
func (b *best) all() []Segment {
	both := &best{apartMM: b.apartMM, most: b.most}
	var list []Segment
	for _, s := range b.sure {
		list = both.insert(list, s)
	}
	// Hopes are longer than what they turn into: half of the places are for them.
	n := len(list)
	list = list[:min(n, b.most/2+b.most%2)]
	for _, s := range b.hopes {
		if len(list) == b.most {
			break
		}
		if !slices.ContainsFunc(list, func(o Segment) bool { return b.alike(s, o) }) {
			list = append(list, s)
		}
	}
	return list
}
