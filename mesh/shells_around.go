package mesh

import (
	"context"
	"runtime"
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
	around int32
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
// one. It counts signed crossings of upward rays from the places. Those of a closed
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
			s.around, s.aroundMost, met[p.shell] = around, around, true
		}
		s.around, s.aroundMost = min(s.around, around), max(s.aroundMost, around)
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
}

func newAroundCount(m *Mesh, shellOf []int32, list []shell) *aroundCount {
	found := m.probes(shellOf, list)
	items := make([]treeItem, len(found))
	for i, p := range found {
		items[i] = treeItem{boxAround(p.at, p.at, p.at), int32(i)}
	}
	w := &aroundCount{Mesh: m, shellOf: shellOf, nodes: nodesOver(items), places: make([]probe, len(found)), boxes: m.shellBoxes(shellOf, len(list))}
	for i, item := range items {
		w.places[i] = found[item.face]
	}
	for s := range w.boxes {
		if !w.visit(0, &w.boxes[s], int32(s), func(*probe) bool { return true }) {
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

// take counts the rays that go through a face.
func (w *aroundCount) take(f int) {
	own := w.shellOf[f]
	if own < 0 || w.boxes[own].min[0] > w.boxes[own].max[0] {
		return
	}
	a, b, c := w.Corners(f)
	under := boxAround(a, b, c)
	under.min[2] = w.boxes[own].min[2]
	w.visit(0, &under, own, func(p *probe) bool {
		if turn := crossing(p.at, a, b, c); turn != 0 {
			atomic.AddInt32(&p.around, int32(turn))
		}
		return false
	})
}

// visit visits the places of other shells than own that are in a box, and perhaps
// some beside it, in the part of the tree below a node, until one is found.
func (w *aroundCount) visit(node int32, box *box32, own int32, found func(p *probe) bool) bool {
	n := &w.nodes[node]
	if !n.box.touches(box) {
		return false
	}
	if n.count == 0 {
		return w.visit(n.first, box, own, found) || w.visit(n.first+1, box, own, found)
	}
	for i := n.first; i < n.first+n.count; i++ {
		if p := &w.places[i]; p.shell != own && found(p) {
			return true
		}
	}
	return false
}
