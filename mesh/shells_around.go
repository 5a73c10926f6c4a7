package mesh

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"
)

// placesPerShell is how many places of a shell are held against the others.
const placesPerShell = 12

// probe is one place of a shell.
type probe struct {
	at     r3.Vec
	shell  int32
	around int32 // turns of all others
	depth  int32 // turns, counted as those of outward shells
}

// probes returns the middles of faces spread over each shell.
func (m *Mesh) probes(shellOf []int32, list []shell) []probe {
	var all []probe
	passed := make([]int, len(list))
	for f, s := range shellOf {
		if s < 0 {
			continue
		}
		stride := max(1, list[s].faces/placesPerShell)
		if passed[s]%stride == 0 {
			all = append(all, probe{at: m.middle(int32(f)), shell: s})
		}
		passed[s]++
	}
	return all
}

// windAround sets, for each of several closed shells, how often all others wind
// around its places: 0 outside, 1 inside an outward shell, −1 inside an inward
// one; and how many others it lies in. It counts signed crossings of upward rays from the places. Those of a closed
// shell add up to nothing for a place outside its box, so that a face is held only
// against the places under it, but not under its shell. The only error is the
// context's.
func (m *Mesh) windAround(ctx context.Context, shellOf []int32, list []shell) error {
	w := newAroundCount(m, shellOf, list)
	const block = 1 << 10 // faces that are one task
	blocks := (len(m.Faces) + block - 1) / block
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), blocks) {
		wg.Go(func() {
			for b := int(next.Add(1)) - 1; b < blocks && ctx.Err() == nil; b = int(next.Add(1)) - 1 {
				for f := b * block; f < min((b+1)*block, len(m.Faces)); f++ {
					w.take(f)
				}
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	met := make([]bool, len(list))
	for _, p := range w.places {
		s, around := &list[p.shell], int(p.around)
		if !met[p.shell] {
			s.around, s.aroundMost, s.depth, met[p.shell] = around, around, int(p.depth), true
		}
		s.around, s.aroundMost, s.depth = min(s.around, around), max(s.aroundMost, around), min(s.depth, int(p.depth))
	}
	return nil
}

// aroundCount counts for places of shells how often the other shells wind around
// them.
type aroundCount struct {
	*Mesh
	shellOf []int32
	places  []probe
	nodes   []treeNode // of a tree over the places, which are in the order of its leaves
	boxes   []box32    // of the shells; those without a place of another inside are noBox
	inward  []bool     // of the shells
	far     float64    // the largest coordinate
}

func newAroundCount(m *Mesh, shellOf []int32, list []shell) *aroundCount {
	found, b := m.probes(shellOf, list), m.Bounds()
	items := make([]treeItem, len(found))
	for i, p := range found {
		items[i] = treeItem{boxAround(p.at, p.at, p.at), int32(i)}
	}
	w := &aroundCount{Mesh: m, shellOf: shellOf, inward: make([]bool, len(list)), nodes: nodesOver(items), places: make([]probe, len(found)), boxes: m.shellBoxes(shellOf, len(list)), far: max(farthest(b.Min), farthest(b.Max))}
	for i, item := range items {
		w.places[i] = found[item.face]
	}
	for s := range list {
		w.inward[s] = list[s].volume < 0
	}
	for s := range w.boxes {
		if !w.holdsOthers(0, &w.boxes[s], int32(s)) {
			w.boxes[s] = noBox()
		}
	}
	return w
}

// shellBoxes returns the box around each shell.
func (m *Mesh) shellBoxes(shellOf []int32, shells int) []box32 {
	boxes := make([]box32, shells)
	for s := range boxes {
		boxes[s] = noBox()
	}
	for f, s := range shellOf {
		if s >= 0 {
			box := boxAround(m.Corners(f))
			boxes[s].widen(&box)
		}
	}
	return boxes
}

// holdsOthers says whether places of other shells than own are in a box, or near it,
// among those below a node.
func (w *aroundCount) holdsOthers(node int32, box *box32, own int32) bool {
	n := &w.nodes[node]
	if !n.box.touches(box) {
		return false
	}
	if n.count == 0 {
		return w.holdsOthers(n.first, box, own) || w.holdsOthers(n.first+1, box, own)
	}
	return slices.ContainsFunc(w.places[n.first:n.first+n.count], func(p probe) bool { return p.shell != own })
}

// take counts the rays that go through a face.
func (w *aroundCount) take(f int) {
	own := w.shellOf[f]
	if own < 0 || w.boxes[own].min[0] > w.boxes[own].max[0] {
		return
	}
	a, b, c := w.Corners(f)
	under := boxAround(a, b, c)
	under.min[2] = w.boxes[own].min[2]
	r := newRoof(a, b, c, w.far)
	w.below(0, &under, &r, own)
}

// below counts the rays through a face from places in the box under it that are
// below a node.
func (w *aroundCount) below(node int32, under *box32, r *roof, own int32) {
	n := &w.nodes[node]
	if !n.box.touches(under) || r.misses(&n.box) {
		return
	}
	if n.count == 0 {
		w.below(n.first, under, r, own)
		w.below(n.first+1, under, r, own)
		return
	}
	for i := n.first; i < n.first+n.count; i++ {
		p := &w.places[i]
		if p.shell == own {
			continue
		}
		if turn := crossing(p.at, r.a, r.b, r.c); turn != 0 {
			atomic.AddInt32(&p.around, int32(turn))
			if w.inward[own] {
				turn = -turn
			}
			atomic.AddInt32(&p.depth, int32(turn))
		}
	}
}

// roof is a face as seen from below.
type roof struct {
	a, b, c r3.Vec
	// What is above 0 only beyond an edge, or above the face, by more than any
	// rounding in crossing: x·X + y·Y + z·Z − at, of places (X, Y, Z).
	sides [4]struct{ x, y, z, at float64 }
	steep bool // or a needle, so that the sides are of no use
}

const (
	// roofSteep is the least area of a face's shadow that is not steep, as a share of
	// half the product of two of its edges.
	roofSteep = 1e-4
	// roofSlack is how far beyond a side a place is surely beyond it, as a share of
	// the largest coordinate, of which rounding takes less than 1e-15/roofSteep.
	roofSlack = 1e-9
)

func newRoof(a, b, c r3.Vec, far float64) roof {
	r := roof{a: a, b: b, c: c}
	u, v := r3.Sub(b, a), r3.Sub(c, a)
	n := cross(u, v)
	if r.steep = n.Z*n.Z <= roofSteep*roofSteep*dot(u, u)*dot(v, v); r.steep {
		return r
	}
	up := math.Copysign(1, n.Z)
	r.sides[3].x, r.sides[3].y, r.sides[3].z = up*n.X, up*n.Y, up*n.Z
	for k, p := range [3]r3.Vec{a, b, c} {
		q := [3]r3.Vec{b, c, a}[k]
		r.sides[k].x, r.sides[k].y = up*(q.Y-p.Y), up*(p.X-q.X)
	}
	for k, p := range [4]r3.Vec{a, b, c, a} {
		s := &r.sides[k]
		s.at = float64(s.x*p.X) + float64(s.y*p.Y) + float64(s.z*p.Z) + roofSlack*far*(math.Abs(s.x)+math.Abs(s.y)+math.Abs(s.z))
	}
	return r
}

// misses says whether no ray from a box goes through the face, for sure.
func (r *roof) misses(b *box32) bool {
	if r.steep {
		return false
	}
	x0, y0, z0 := float64(b.min[0]), float64(b.min[1]), float64(b.min[2])
	x1, y1, z1 := float64(b.max[0]), float64(b.max[1]), float64(b.max[2])
	for k := range r.sides {
		s := &r.sides[k]
		if float64(min(s.x*x0, s.x*x1))+float64(min(s.y*y0, s.y*y1))+float64(min(s.z*z0, s.z*z1)) > s.at {
			return true
		}
	}
	return false
}
