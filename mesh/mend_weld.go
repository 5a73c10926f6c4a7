package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// dropUseless leaves out faces that lost a corner and faces that are there more
// than once, whichever way they are wound.
func (w *mending) dropUseless() error {
	if w.choice.Makes(MendDegenerate) {
		if n, _, at := w.without(func(f int32) bool { return collapsed(w.Faces[f]) }); n > 0 {
			w.note(MendDegenerate, n, 0, 0, plural(n, "face", "faces")+" without area left out, the first near "+w.place(w.Vertices[at]))
		}
	}
	if w.choice.Makes(MendDuplicate) {
		w.dropWalls()
		seen := newKeyIndex(len(w.Faces))
		if n, area, at := w.without(func(f int32) bool { return !seen.isNew(cornersKey(w.Faces[f])) }); n > 0 {
			w.note(MendDuplicate, n, area, 0, plural(n, "face that was", "faces that were")+" there twice left out, the first near "+w.place(w.Vertices[at]))
		}
	}
	return nil
}

// cornersKey returns the same key for faces on the same corners.
func cornersKey(t [3]int32) key {
	a, b, c := t[0], t[1], t[2]
	lo, hi := min(a, b, c), max(a, b, c)
	return key{uint32(lo), uint32(a ^ b ^ c ^ lo ^ hi), uint32(hi)}
}

// isNew numbers k and says whether it was new.
func (x *keyIndex) isNew(k key) bool {
	n := len(x.keys)
	return int(x.number(k)) == n
}

// find returns the number of k, −1 when it has none.
func (x *keyIndex) find(k key) int32 {
	mask := len(x.slots) - 1
	for s := int(k.hash() >> x.shift); x.slots[s] != 0; s = (s + 1) & mask {
		if i := x.slots[s] - 1; x.keys[i] == k {
			return int32(i)
		}
	}
	return -1
}

const (
	// weldShare is how far apart corners may be that are joined, as a share of
	// the part's longest side: a tenth of what hand scanners resolve (common
	// practice, no source).
	weldShare = 1e-4
	// weldEdges is the same as a share of the short open edges (the tenth part
	// of them is shorter), so that no edge is drawn together.
	weldEdges = 0.25
)

// weldOpen joins the ends of open edges that lie along each other, where that
// closes them.
func (w *mending) weldOpen() error {
	if !w.choice.Makes(MendWeld) {
		return nil
	}
	open := w.openEdges()
	if len(open) == 0 {
		return nil
	}
	tolerance := min(weldShare*w.size, weldEdges*w.shortOpen(open))
	along := w.partners(open, tolerance)
	if err := w.ctx.Err(); err != nil {
		return err
	}
	joined, moved := w.joinEnds(open, along)
	if moved == 0 {
		return nil
	}
	still := joined.countOpen()
	if still >= len(open) {
		return nil
	}
	far, area := w.weldMoves(joined)
	w.Mesh = joined
	w.note(MendWeld, moved, area, far, plural(moved, "corner", "corners")+" up to "+length(far)+" from another joined to it, which closes "+
		plural(len(open)-still, "open edge", "open edges")+" (tolerance "+length(tolerance)+")")
	return w.dropUseless()
}

// shortOpen returns the length that a tenth of the open edges stay below.
func (w *mending) shortOpen(open []openEdge) float64 {
	lengths := make([]float64, len(open))
	for i, r := range open {
		lengths[i] = r3.Norm(r3.Sub(w.Vertices[r.smaller], w.Vertices[r.larger()]))
	}
	slices.Sort(lengths)
	return lengths[len(lengths)/10]
}

// partner is another open edge that lies along one, −1 for none.
type partner struct {
	edge      int32
	crosswise bool // the smaller end of one is at the larger of the other
	apart     float64
}

// partners finds for each open edge the one that lies nearest along it, both
// ends within the tolerance.
func (w *mending) partners(open []openEdge, tolerance float64) []partner {
	cells, first, next := newKeyIndex(len(open)), []int32{}, make([]int32, len(open))
	cell := func(p r3.Vec, x, y, z float64) key {
		at := func(v, off float64) uint32 { return uint32(int64(math.Floor((v + off*tolerance) / (2 * tolerance)))) }
		return key{at(p.X-w.bounds.Min.X, x), at(p.Y-w.bounds.Min.Y, y), at(p.Z-w.bounds.Min.Z, z)}
	}
	for e, r := range open {
		n := cells.number(cell(w.middleOf(r.smaller, r.larger()), 0, 0, 0))
		if int(n) == len(first) {
			first = append(first, -1)
		}
		next[e], first[n] = first[n], int32(e)
	}
	found := make([]partner, len(open))
	inParts(len(open), func(_, lo, hi int) {
		for e := lo; e < hi && ((e-lo)%chunk > 0 || w.ctx.Err() == nil); e++ {
			best := partner{edge: -1, apart: math.Inf(1)}
			var looked [8]key
			for corner := range 8 {
				k := cell(w.middleOf(open[e].smaller, open[e].larger()), float64(corner&1*2-1), float64(corner>>1&1*2-1), float64(corner>>2*2-1))
				if looked[corner] = k; slices.Contains(looked[:corner], k) {
					continue
				}
				if n := cells.find(k); n >= 0 {
					for o := first[n]; o >= 0; o = next[o] {
						best = w.nearer(best, open, int32(e), o, tolerance)
					}
				}
			}
			found[e] = best
		}
	})
	return found
}

func (m *Mesh) middleOf(a, b int32) r3.Vec {
	return r3.Scale(0.5, r3.Add(m.Vertices[a], m.Vertices[b]))
}

// nearer returns open edge o as the partner of e when it is better than best.
func (w *mending) nearer(best partner, open []openEdge, e, o int32, tolerance float64) partner {
	if e == o || open[e].use.face() == open[o].use.face() {
		return best
	}
	a, b := w.Vertices[open[e].smaller], w.Vertices[open[e].larger()]
	c, d := w.Vertices[open[o].smaller], w.Vertices[open[o].larger()]
	if r3.Norm(r3.Sub(a, b)) <= 2*tolerance {
		return best
	}
	along, across := max(r3.Norm(r3.Sub(a, c)), r3.Norm(r3.Sub(b, d))), max(r3.Norm(r3.Sub(a, d)), r3.Norm(r3.Sub(b, c)))
	p := partner{o, across < along, min(along, across)}
	if p.apart > tolerance || p.apart > best.apart || p.apart == best.apart && o > best.edge {
		return best
	}
	return p
}

// joinEnds joins the ends of edges that are each other's partner, at the mean of
// their places; moved counts the corners that went into another.
func (w *mending) joinEnds(open []openEdge, partners []partner) (joined *Mesh, moved int) {
	same := newForest(len(w.Vertices))
	for e, p := range partners {
		if p.edge < int32(e) || partners[p.edge].edge != int32(e) {
			continue
		}
		a, b := open[e].smaller, open[e].larger()
		c, d := open[p.edge].smaller, open[p.edge].larger()
		if p.crosswise {
			c, d = d, c
		}
		same.join(a, c)
		same.join(b, d)
	}
	joined = &Mesh{Vertices: slices.Clone(w.Vertices), Faces: make([][3]int32, len(w.Faces))}
	others := make([]int32, len(w.Vertices)) // joined to each root
	for v, p := range w.Vertices {
		if root := same.root(int32(v)); root != int32(v) {
			moved++
			joined.Vertices[root] = r3.Add(joined.Vertices[root], p)
			others[root]++
		}
	}
	for v, n := range others {
		if n > 0 {
			joined.Vertices[v] = r3.Scale(1/float64(n+1), joined.Vertices[v])
		}
	}
	for f, t := range w.Faces {
		joined.Faces[f] = [3]int32{same.root(t[0]), same.root(t[1]), same.root(t[2])}
	}
	return joined, moved
}

// weldMoves returns how far a corner moved at most and the area of the faces
// with moved corners, and adds to the error what the moves may do to the volume:
// each corner carries a third of its faces along.
func (w *mending) weldMoves(joined *Mesh) (far, area float64) {
	for f, t := range w.Faces {
		most := 0.0
		for k, v := range t {
			d := r3.Norm(r3.Sub(w.Vertices[v], joined.Vertices[joined.Faces[f][k]]))
			most = max(most, d)
			w.errorMM3 += d * w.faceArea(int32(f)) / 3
		}
		if most > 0 {
			area += w.faceArea(int32(f))
			far = max(far, most)
		}
	}
	return 2 * far, area
}
