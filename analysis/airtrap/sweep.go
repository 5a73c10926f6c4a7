package airtrap

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// A hump of the floor that joins the rest within this share of the least
// persistence is joined without asking what it hangs under: scan noise makes
// thousands of them.
const humpShare = 0.4

// state of a component of the surface above the sweep.
type state uint8

const (
	unknown state = iota // a hump of the floor: under which top, is not known yet
	trapped              // has a top and no opening
	open
)

// event is the end of a trap: liquid reaches its spill level.
type event struct {
	top   int32 // its highest vertex
	spill float64
}

// sweep is one pass from the top down.
type sweep struct {
	s      *Surface
	in     Input
	sign   float64 // +1 Inside, −1 Outside: turns the outward normal out of the liquid
	height []float64
	parent []int32         // −1 until swept
	top    []int32         // of a root: the vertex its component began at
	state  []state         // of a root
	humps  []int32         // vertices that began unknown components
	above  map[int32]int32 // of a hump looked up: a vertex of the ceiling it hangs under
	lines  *mesh.Lines     // made when first needed
	events []event

	under   map[int32][]int32 // above, turned round, for the volumes
	spillOf map[int32]float64 // of each event's top
	nested  map[int32]bool    // tops that are in a larger event's pocket
	// What volume last saw, by the number of its round.
	seenVertex, seenFace []int32
	round                int32
}

func newSweep(s *Surface, in Input) *sweep {
	n := len(s.m.Vertices)
	w := &sweep{s: s, in: in, sign: in.Domain.sign(), height: make([]float64, n), parent: make([]int32, n),
		top: make([]int32, n), state: make([]state, n), above: map[int32]int32{}}
	for v, p := range s.m.Vertices {
		w.height[v] = r3.Dot(in.Up, p)
		w.parent[v] = -1
	}
	return w
}

// run sweeps all vertices; afterwards events holds the traps.
func (w *sweep) run() {
	opens := make([]bool, len(w.height))
	for _, v := range w.in.Open {
		opens[v] = true
	}
	for _, v := range descending(w.height) {
		root := int32(-1)
		for _, n := range w.s.next.Of(int(v)) {
			if w.parent[n] < 0 {
				continue
			}
			if r := w.root(n); root < 0 {
				root = r
			} else if r != root {
				root = w.meet(root, r, w.height[v])
			}
		}
		if root < 0 {
			root = v
			w.begin(v)
		}
		w.parent[v] = root
		if opens[v] {
			w.open(root, w.height[v])
		}
	}
	w.drain()
}

// open marks the component of a root as having an opening at a level.
func (w *sweep) open(root int32, level float64) {
	if w.state[root] == unknown && !w.in.Screen {
		if above, found := w.ceiling(w.top[root]); found {
			root = w.merge(w.root(above), root, level)
		}
	}
	if w.state[root] != open {
		w.end(root, level)
		w.state[root] = open
	}
}

// begin starts a component at a vertex that is higher than all around it: a
// top of the space where the surface faces out of it, else a hump.
func (w *sweep) begin(v int32) {
	w.top[v] = v
	if w.sign*r3.Dot(w.s.normal[v], w.in.Up) > 0 {
		w.state[v] = trapped
		return
	}
	w.humps = append(w.humps, v)
}

// meet joins the components of two roots at a level and returns the new root.
func (w *sweep) meet(a, b int32, level float64) int32 {
	w.resolve(a, b, level)
	w.resolve(b, a, level)
	return w.merge(w.root(a), w.root(b), level)
}

// resolve finds out under what the root r hangs, if it is a hump deep enough
// to matter that meets a known component.
func (w *sweep) resolve(r, other int32, level float64) {
	if w.state[r] != unknown || w.state[other] == unknown || w.height[w.top[r]]-level <= humpShare*w.in.PersistenceMM {
		return
	}
	var above int32
	var found bool
	if !w.in.Screen {
		above, found = w.ceiling(w.top[r])
	}
	switch {
	case found:
		if over := w.root(above); over != r && w.state[over] == unknown {
			w.resolve(over, other, level) // it hangs under something itself
		}
		w.merge(w.root(above), w.root(r), level)
	case w.in.Domain == Outside:
		w.state[r] = open
	}
}

// merge joins two roots at a level. Of two traps the lower ends there.
func (w *sweep) merge(a, b int32, level float64) int32 {
	if a == b {
		return a
	}
	if w.before(b, a) {
		a, b = b, a
	}
	if w.state[a] == open || w.state[b] == trapped {
		w.end(b, level)
	}
	w.parent[b] = a
	return a
}

// before tells whether root a outlives root b: open ones do, then the one with
// the higher top; an unknown one never outlives a known one.
func (w *sweep) before(a, b int32) bool {
	if w.state[a] != w.state[b] {
		return w.state[a] > w.state[b]
	}
	ha, hb := w.height[w.top[a]], w.height[w.top[b]]
	if ha != hb {
		return ha > hb
	}
	return w.top[a] < w.top[b]
}

// end records that the trap of root r, if it is one, spills at level.
func (w *sweep) end(r int32, level float64) {
	if w.state[r] != trapped || w.height[w.top[r]]-level < w.in.PersistenceMM {
		return
	}
	if !w.in.Screen {
		w.lookUpHumps(level)
	}
	w.events = append(w.events, event{top: w.top[r], spill: level})
}

// lookUpHumps finds the ceiling of every deep hump that is still unknown, so
// that what stands in a trap is not counted as air.
func (w *sweep) lookUpHumps(level float64) {
	kept := w.humps[:0]
	for _, v := range w.humps {
		if r := w.root(v); w.state[r] == unknown && w.top[r] == v {
			kept = append(kept, v)
			if w.height[v]-level > humpShare*w.in.PersistenceMM {
				w.ceiling(v)
			}
		}
	}
	w.humps = kept
}

// ceiling returns the highest corner of the first face above the hump v where
// the liquid's space ends, and remembers it.
func (w *sweep) ceiling(v int32) (int32, bool) {
	if c, known := w.above[v]; known {
		return c, c >= 0
	}
	if w.lines == nil {
		w.lines = mesh.NewLines(w.s.m, w.in.Up)
	}
	w.above[v] = -1
	for _, c := range w.lines.Through(w.s.m.Vertices[v], nil) {
		if c.Height <= w.height[v]+1e-5*w.in.PersistenceMM || c.Leaves != (w.in.Domain == Inside) {
			continue
		}
		t := w.s.m.Faces[c.Face]
		best := t[0]
		for _, x := range t[1:] {
			if w.height[x] > w.height[best] {
				best = x
			}
		}
		if w.parent[best] >= 0 {
			w.above[v] = best
		}
		break
	}
	return w.above[v], w.above[v] >= 0
}

// drain ends the traps that no opening ever freed, at the lowest level.
func (w *sweep) drain() {
	if len(w.height) == 0 {
		return
	}
	low := slices.Min(w.height)
	for v := range w.parent {
		if w.parent[v] == int32(v) {
			w.end(int32(v), low)
		}
	}
}

func (w *sweep) root(v int32) int32 {
	for w.parent[v] != v {
		w.parent[v] = w.parent[w.parent[v]]
		v = w.parent[v]
	}
	return v
}

// descending returns the indices of heights from the highest to the lowest,
// equal ones (to the range / 2³²) by index: a radix sort of three passes.
func descending(heights []float64) []int32 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, h := range heights {
		lo, hi = min(lo, h), max(hi, h)
	}
	scale := 0.0
	if hi > lo {
		scale = math.MaxUint32 / (hi - lo)
	}
	type item struct {
		key uint32
		v   int32
	}
	from, to := make([]item, len(heights)), make([]item, len(heights))
	for v, h := range heights {
		from[v] = item{uint32((hi - h) * scale), int32(v)}
	}
	for shift := 0; shift < 33; shift += 11 {
		var count [2049]int
		for _, x := range from {
			count[x.key>>shift&2047+1]++
		}
		for i := 1; i < len(count); i++ {
			count[i] += count[i-1]
		}
		for _, x := range from {
			b := x.key >> shift & 2047
			to[count[b]] = x
			count[b]++
		}
		from, to = to, from
	}
	order := make([]int32, len(from))
	for i, x := range from {
		order[i] = x.v
	}
	return order
}
