package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// finShare is the area under which a sheet that sticks to an edge of the part
// is left out, as a share of the largest sheet's.
const finShare = 0.05

// dropFins leaves out small open sheets that end on edges which have two faces
// without them.
func (w *mending) dropFins() error {
	_, _, odd := w.faceShells()
	if !w.choice.Makes(MendFin) || len(odd.shared()) == 0 {
		return nil
	}
	sheetOf, n := w.sheets()
	list, _, _ := w.tally(sheetOf, n, w.bounds)
	open, sharing := make([]bool, n), make([]bool, n)
	largest := 0.0
	for _, s := range list {
		largest = max(largest, s.area)
	}
	odd.each(func(r edgeRun) {
		for _, u := range r.uses {
			s := sheetOf[u.face()]
			open[s] = open[s] || len(r.uses) == 1
			sharing[s] = sharing[s] || len(r.uses) > 2
		}
	})
	fins := 0
	for s := range list {
		open[s] = open[s] && sharing[s] && list[s].area < finShare*largest
		if open[s] {
			fins++
		}
	}
	if _, area, at := w.without(func(f int32) bool { return sheetOf[f] >= 0 && open[sheetOf[f]] }); fins > 0 {
		w.note(MendFin, fins, area, 0, plural(fins, "small sheet", "small sheets")+" sticking to an edge of the part left out, the first near "+w.place(w.Vertices[at]))
	}
	return nil
}

// sheets joins faces over edges that just two faces use and returns each face's
// sheet (−1 when collapsed) and how many there are.
func (m *Mesh) sheets() (sheetOf []int32, sheets int) {
	p := newForest(len(m.Faces))
	m.eachEdge(func(_ int, r edgeRun) {
		if len(r.uses) == 2 {
			p.join(r.uses[0].face(), r.uses[1].face())
		}
	})
	sheets = p.number(func(f int) bool { return collapsed(m.Faces[f]) })
	return p, sheets
}

// splitShared takes parts that touch along an edge apart: there, each face stays
// with the one across the material between them, and gets corners of its own.
// It does nothing where the faces around an edge do not bound material in turn.
// Source of the corner classes: Guéziec, Taubin, Lazarus, Horn, "Cutting and
// stitching", IEEE TVCG 7(2), 2001 (from memory).
func (w *mending) splitShared() error {
	_, _, odd := w.faceShells()
	shared := odd.shared()
	if !w.choice.Makes(MendSplit) || len(shared) == 0 {
		return nil
	}
	corners := newForest(3 * len(w.Faces))
	for _, r := range shared {
		pairs := w.acrossMaterial(r)
		if pairs == nil {
			return nil
		}
		for _, p := range pairs {
			w.joinCorners(corners, r.smaller, p[0], p[1])
		}
	}
	w.eachEdge(func(_ int, r edgeRun) {
		if len(r.uses) == 2 {
			w.joinCorners(corners, r.smaller, r.uses[0], r.uses[1])
		}
	})
	w.renumber(corners)
	w.note(MendSplit, len(shared), 0, 0, plural(len(shared), "edge", "edges")+" where parts of the surface touch taken apart, the first near "+w.place(w.middleOf(shared[0].smaller, shared[0].uses[0].larger())))
	return nil
}

// acrossMaterial pairs the faces around an edge that bound the same wedge of
// material; nil when they do not bound wedges in turn.
func (w *mending) acrossMaterial(r edgeRun) [][2]edgeUse {
	from, to := w.Vertices[r.smaller], w.Vertices[r.uses[0].larger()]
	axis := r3.Sub(to, from)
	side := func(u edgeUse) r3.Vec {
		t := w.Faces[u.face()]
		return r3.Sub(w.Vertices[t[0]^t[1]^t[2]^r.smaller^u.larger()], from)
	}
	x := r3.Cross(r3.Cross(axis, side(r.uses[0])), axis)
	y := r3.Cross(axis, x)
	scale := r3.Norm(axis)
	type placed struct {
		use   edgeUse
		angle float64
	}
	around := make([]placed, len(r.uses))
	for i, u := range r.uses {
		s := side(u)
		around[i] = placed{u, math.Atan2(r3.Dot(s, y)/scale, r3.Dot(s, x))}
	}
	slices.SortFunc(around, func(a, b placed) int { return cmp.Or(cmp.Compare(a.angle, b.angle), cmp.Compare(a.use, b.use)) })
	var pairs [][2]edgeUse
	for i, a := range around {
		b := around[(i+1)%len(around)]
		if a.use.backward() == b.use.backward() {
			return nil
		}
		if a.use.backward() { // its material is on the side of growing angles
			pairs = append(pairs, [2]edgeUse{a.use, b.use})
		}
	}
	return pairs
}

// joinCorners says that two faces share their corners at an edge. The corners
// of face f are 3f, 3f+1 and 3f+2.
func (w *mending) joinCorners(corners forest, smaller int32, a, b edgeUse) {
	for _, v := range [2]int32{smaller, a.larger()} {
		corners.join(w.cornerAt(a.face(), v), w.cornerAt(b.face(), v))
	}
}

func (m *Mesh) cornerAt(f, v int32) int32 {
	return 3*f + int32(slices.Index(m.Faces[f][:], v))
}

// renumber gives each class of corners a vertex: the old one to the first class
// there, new ones to the others.
func (w *mending) renumber(corners forest) {
	vertices, faces := slices.Clone(w.Vertices), slices.Clone(w.Faces)
	taken := make([]bool, len(vertices))
	number := make([]int32, len(corners))
	for f, t := range w.Faces {
		for k, v := range t {
			c := int32(3*f + k)
			if root := corners.root(c); root != c {
				number[c] = number[root]
			} else if number[c] = v; taken[v] {
				number[c] = int32(len(vertices))
				vertices = append(vertices, w.Vertices[v])
			} else {
				taken[v] = true
			}
			faces[f][k] = number[c]
		}
	}
	w.Mesh = &Mesh{Vertices: vertices, Faces: faces}
}
