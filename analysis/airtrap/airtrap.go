package airtrap

import (
	"cmp"
	"errors"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Default thresholds of what counts as a trap: a smaller dent, or a bubble of
// a smaller volume, wets out or is trimmed (common practice, no source).
const (
	DefaultPersistenceMM = 0.5
	DefaultVolumeMM3     = 50
)

// Input says what rises where. Lengths in mm.
type Input struct {
	Domain        Domain
	Up            r3.Vec  // unit, against gravity, in the frame of the mesh
	Open          []int32 // vertices at an opening: the spout, a vent
	PersistenceMM float64 // least depth from top to spill level
	VolumeMM3     float64 // least volume
	// Screen takes humps of the floor to hang under whatever they meet first,
	// and tops of the pattern to see the free surface. It is quicker, and right
	// where no part hangs over another; for searches over many directions.
	Screen bool
}

// Trap is one place air cannot leave.
type Trap struct {
	At            r3.Vec  // its highest point on the surface
	Vertex        int32   // the same
	Spill         float64 // dot(up, point) where liquid closes it off
	PersistenceMM float64 // from its top down to there
	VolumeMM3     float64 // above the spill level
	Nested        bool    // in a larger pocket, whose volume holds this one's too
}

// Find returns the traps of the liquid's space, largest first.
func Find(s *Surface, in Input) ([]Trap, error) {
	if d := r3.Norm(in.Up); !(math.Abs(d-1) < 1e-9) {
		return nil, errors.New("the direction against gravity is not a unit vector")
	}
	w := newSweep(s, in)
	w.run()
	w.under = w.underCeiling()
	w.spillOf, w.nested = make(map[int32]float64, len(w.events)), make(map[int32]bool)
	for _, e := range w.events {
		w.spillOf[e.top] = e.spill
	}
	w.seenVertex, w.seenFace = make([]int32, len(s.m.Vertices)), make([]int32, len(s.m.Faces))
	volumes := make([]float64, len(w.events))
	for i, e := range w.events {
		volumes[i] = w.volume(e)
	}
	var traps []Trap
	for i, e := range w.events {
		t := Trap{Nested: w.nested[e.top], VolumeMM3: volumes[i], Spill: e.spill, PersistenceMM: w.height[e.top] - e.spill}
		if t.VolumeMM3 < in.VolumeMM3 {
			continue
		}
		t.Vertex = w.middle(e.top)
		t.At = s.m.Vertices[t.Vertex]
		traps = append(traps, t)
	}
	slices.SortStableFunc(traps, func(a, b Trap) int { return cmp.Compare(b.VolumeMM3, a.VolumeMM3) })
	return traps, nil
}

// volume returns the volume (mm³) of the space above the spill level that
// hangs together with the top: ∫(h − spill)·n_up dA over its surface, by the
// divergence theorem, exact for the mesh.
func (w *sweep) volume(e event) float64 {
	w.round++
	reached := []int32{e.top}
	w.seenVertex[e.top] = w.round
	add := func(v int32) {
		if w.height[v] > e.spill+w.s.grain && w.seenVertex[v] != w.round {
			w.seenVertex[v] = w.round
			reached = append(reached, v)
		}
	}
	sum := 0.0
	for i := 0; i < len(reached); i++ {
		v := reached[i]
		if spill, isTop := w.spillOf[v]; isTop && spill > e.spill {
			w.nested[v] = true
		}
		for _, n := range w.s.next.Of(int(v)) {
			add(n)
		}
		if c, known := w.above[v]; known && c >= 0 {
			add(c)
		}
		for _, h := range w.under[v] {
			add(h)
		}
		for _, f := range w.s.faces.Of(int(v)) {
			if w.seenFace[f] != w.round {
				w.seenFace[f] = w.round
				a, b, c := w.s.m.Corners(int(f))
				sum += column(w.in.Up, a, b, c, e.spill)
			}
		}
	}
	return w.sign * sum
}

// underCeiling turns above round: the humps that hang under a ceiling vertex.
func (w *sweep) underCeiling() map[int32][]int32 {
	under := make(map[int32][]int32, len(w.above))
	for _, hump := range slices.Sorted(maps.Keys(w.above)) {
		if ceiling := w.above[hump]; ceiling >= 0 {
			under[ceiling] = append(under[ceiling], hump)
		}
	}
	return under
}

// column returns ∫(h − level)·n_up dA over the part of a triangle above level,
// heights h along the unit vector up.
func column(up, a, b, c r3.Vec, level float64) float64 {
	corners := [3]r3.Vec{a, b, c}
	var clip [4]r3.Vec
	n := 0
	for i, p := range corners {
		q := corners[(i+1)%3]
		hp, hq := r3.Dot(up, p)-level, r3.Dot(up, q)-level
		if hp > 0 {
			clip[n] = p
			n++
		}
		if hp > 0 != (hq > 0) {
			clip[n] = r3.Add(p, r3.Scale(hp/(hp-hq), r3.Sub(q, p)))
			n++
		}
	}
	sum := 0.0
	for i := 2; i < n; i++ {
		p, q, r := clip[0], clip[i-1], clip[i]
		area := r3.Dot(up, r3.Cross(r3.Sub(q, p), r3.Sub(r, p))) / 2
		sum += area * ((r3.Dot(up, p)+r3.Dot(up, q)+r3.Dot(up, r))/3 - level)
	}
	return sum
}

// plateauShare of the least persistence is how far below a top its level region
// reaches.
const plateauShare = 0.1

// middle returns the vertex nearest the middle of the level region at top; of
// vertices that are as near, but for rounding, the one first reached from there.
func (w *sweep) middle(top int32) int32 {
	region := w.s.flood(top, func(v int32) bool { return w.height[v] >= w.height[top]-plateauShare*w.in.PersistenceMM })
	var sum r3.Vec
	for _, v := range region {
		sum = r3.Add(sum, w.s.m.Vertices[v])
	}
	centre := r3.Scale(1/float64(len(region)), sum)
	best, least := top, math.Inf(1)
	for _, v := range region {
		if d := r3.Norm(r3.Sub(w.s.m.Vertices[v], centre)); d < least-w.s.grain {
			best, least = v, d
		}
	}
	return best
}
