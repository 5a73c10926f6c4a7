package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// seamRoundings is how many roundings of a coordinate a corner may be off an
	// edge that it is on: its own, and those of the ends of the edge.
	seamRoundings = 4
	// mostSeamEdges is how many open edges are looked at; the time grows with their
	// square.
	mostSeamEdges = 20_000
	// seamRounds is how often faces are cut: once for each of their edges.
	seamRounds = 3
)

// joinSeams cuts faces at an open edge where corners of other open edges are on it,
// as where parts of the surface with small and with large faces meet, if that closes
// them.
func (w *mending) joinSeams() error {
	if !w.choice.Makes(MendWeld) {
		return nil
	}
	for range seamRounds {
		open := w.openEdges()
		if len(open) == 0 || len(open) > mostSeamEdges {
			return nil
		}
		cut, corners, at := w.cutAlong(open)
		if corners == 0 {
			return nil
		}
		still := cut.countOpen()
		if still >= len(open) {
			return nil
		}
		w.Mesh = cut
		w.note(MendWeld, corners, 0, 0, plural(corners, "corner", "corners")+" on the edge of a larger face joined to it, the first near "+w.place(w.Vertices[at])+
			", which closes "+plural(len(open)-still, "open edge", "open edges"))
	}
	return nil
}

// cutAlong returns the mesh with faces cut at the corners on one of their open
// edges, how many corners those are, and one of them.
func (w *mending) cutAlong(open []openEdge) (cut *Mesh, corners int, at int32) {
	rim := make([]int32, 0, 2*len(open))
	for _, r := range open {
		rim = append(rim, r.smaller, r.larger())
	}
	slices.SortFunc(rim, func(a, b int32) int { return cmp.Or(cmp.Compare(w.Vertices[a].X, w.Vertices[b].X), cmp.Compare(a, b)) })
	rim = slices.Compact(rim)
	cut = &Mesh{Vertices: w.Vertices, Faces: slices.Clone(w.Faces)}
	taken := map[int32]bool{} // faces that are cut already
	for _, r := range open {
		f := r.use.face()
		a, b := r.smaller, r.larger()
		if r.use.backward() {
			a, b = b, a
		}
		apex := w.Faces[f][0] ^ w.Faces[f][1] ^ w.Faces[f][2] ^ a ^ b
		on := w.onEdge(a, b, apex, rim)
		if taken[f] || len(on) == 0 {
			continue
		}
		taken[f] = true
		if corners == 0 {
			at = on[0]
		}
		corners += len(on)
		cut.Faces[f] = [3]int32{a, on[0], apex}
		for k, v := range on {
			next := b
			if k+1 < len(on) {
				next = on[k+1]
			}
			cut.Faces = append(cut.Faces, [3]int32{v, next, apex})
		}
	}
	return cut, corners, at
}

// onEdge returns those of some corners, sorted by x, that are on the edge from a to
// b, in order, without its ends and the apex of its face.
func (w *mending) onEdge(a, b, apex int32, rim []int32) []int32 {
	tolerance := seamRoundings * math.Sqrt(3) * coordinateTolerance(w.bounds)
	from, to := w.Vertices[a], w.Vertices[b]
	along := r3.Sub(to, from)
	length := r3.Norm(along)
	lo, hi := min(from.X, to.X)-tolerance, max(from.X, to.X)+tolerance
	first, _ := slices.BinarySearchFunc(rim, lo, func(v int32, x float64) int { return cmp.Compare(w.Vertices[v].X, x) })
	type stop struct {
		v int32
		t float64
	}
	var on []stop
	for _, v := range rim[first:] {
		p := w.Vertices[v]
		if p.X > hi {
			break
		}
		off := r3.Sub(p, from)
		t := r3.Dot(off, along) / length
		if v != a && v != b && v != apex && t > tolerance && t < length-tolerance && r3.Norm(r3.Sub(off, r3.Scale(t/length, along))) <= tolerance {
			on = append(on, stop{v, t})
		}
	}
	slices.SortFunc(on, func(p, q stop) int { return cmp.Or(cmp.Compare(p.t, q.t), cmp.Compare(p.v, q.v)) })
	vertices := make([]int32, len(on))
	for k, s := range on {
		vertices[k] = s.v
	}
	return vertices
}
