package mesh

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// Crossings says where a surface cuts through itself.
type Crossings struct {
	Pairs int     // of faces
	Faces []int32 // in any pair, ascending
	At    r3.Vec  // a place on the first of them, where its first partner cuts it
}

// SelfCrossings finds all pairs of faces that cut through each other, or lie
// over each other in one plane. Faces that only touch, at corners, along edges
// or side by side in one plane, do not count; nor do faces without area. Signs
// are decided exactly. The only error is the context's.
func (t *Tree) SelfCrossings(ctx context.Context) (Crossings, error) {
	if len(t.nodes) == 0 {
		return Crossings{}, ctx.Err()
	}
	s := &crossingSearch{Tree: t, boxes: large.Make[box32](len(t.faces)), crosses: make([]atomic.Bool, len(t.faces))}
	inParts(len(t.faces), func(_, lo, hi int) {
		for i := lo; i < hi; i++ {
			s.boxes[i] = boxAround(t.corners[i][0], t.corners[i][1], t.corners[i][2])
		}
	})
	tasks := s.tasks()
	found := make([]pairsFound, len(tasks))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(tasks)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(tasks) && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				p := pairSearch{crossingSearch: s, ctx: ctx}
				p.search(tasks[i])
				found[i] = p.pairsFound
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return Crossings{}, err
	}
	return s.collect(found), nil
}

// crossingSearch is what all parts of a search share.
type crossingSearch struct {
	*Tree
	boxes   []box32       // of the faces, in the order of the leaves
	crosses []atomic.Bool // by number of face
}

// pairSearch is one part of a search; the parts run at the same time.
type pairSearch struct {
	*crossingSearch
	ctx context.Context
	pairsFound
	visits int
	ended  bool
}

// pairsFound counts pairs of faces and keeps the first of them: that of the
// lowest face with its lowest partner.
type pairsFound struct {
	count int
	first [2]int32 // faces, ascending
	where [2]int32 // the same in the order of the leaves
}

func (p *pairsFound) join(o pairsFound) {
	if o.count > 0 && (p.count == 0 || slices.Compare(o.first[:], p.first[:]) < 0) {
		p.first, p.where = o.first, o.where
	}
	p.count += o.count
}

func (s *crossingSearch) collect(found []pairsFound) Crossings {
	var all pairsFound
	for _, f := range found {
		all.join(f)
	}
	c := Crossings{Pairs: all.count}
	for f := range s.crosses {
		if s.crosses[f].Load() {
			c.Faces = append(c.Faces, int32(f))
		}
	}
	if c.Pairs > 0 {
		c.At = meetingPoint(&s.corners[all.where[0]], &s.corners[all.where[1]])
	}
	return c
}

// nodePair is two nodes whose faces are to be compared, or the same node twice:
// its faces with each other.
type nodePair [2]int32

// leastTasks is about how many parts a search is cut into: many more than there
// are processors, so that all end together.
const leastTasks = 512

// tasks cuts the search into parts.
func (s *crossingSearch) tasks() []nodePair {
	list := []nodePair{{0, 0}}
	for len(list) < leastTasks {
		var deeper []nodePair
		for _, p := range list {
			if p[0] == p[1] && s.nodes[p[0]].count > 0 || s.nodes[p[0]].count > 0 && s.nodes[p[1]].count > 0 {
				deeper = append(deeper, p)
			} else {
				s.eachBelow(p, func(q nodePair) { deeper = append(deeper, q) })
			}
		}
		if slices.Equal(deeper, list) {
			break
		}
		list = deeper
	}
	return list
}

// eachBelow visits the pairs one step down that a pair, not of two leaves,
// consists of, without those whose boxes are apart.
func (s *crossingSearch) eachBelow(p nodePair, visit func(q nodePair)) {
	a, b := &s.nodes[p[0]], &s.nodes[p[1]]
	touching := func(x, y int32) {
		if s.nodes[x].box.touches(&s.nodes[y].box) {
			visit(nodePair{x, y})
		}
	}
	switch {
	case a == b:
		visit(nodePair{a.first, a.first})
		visit(nodePair{a.first + 1, a.first + 1})
		touching(a.first, a.first+1)
	case a.count > 0:
		touching(p[0], b.first)
		touching(p[0], b.first+1)
	case b.count > 0:
		touching(a.first, p[1])
		touching(a.first+1, p[1])
	default:
		touching(a.first, b.first)
		touching(a.first, b.first+1)
		touching(a.first+1, b.first)
		touching(a.first+1, b.first+1)
	}
}

func (b *box32) touches(o *box32) bool {
	return b.min[0] <= o.max[0] && o.min[0] <= b.max[0] &&
		b.min[1] <= o.max[1] && o.min[1] <= b.max[1] &&
		b.min[2] <= o.max[2] && o.min[2] <= b.max[2]
}

// search compares the faces of a pair of nodes.
func (p *pairSearch) search(pair nodePair) {
	if p.visits++; p.visits%1024 == 0 && p.ctx.Err() != nil {
		p.ended = true
	}
	if p.ended {
		return
	}
	a, b := &p.nodes[pair[0]], &p.nodes[pair[1]]
	if a.count == 0 || b.count == 0 {
		p.eachBelow(pair, p.search)
		return
	}
	for i := a.first; i < a.first+a.count; i++ {
		j := b.first
		if a == b {
			j = i + 1
		} else if !p.boxes[i].touches(&b.box) {
			continue
		}
		for ; j < b.first+b.count; j++ {
			if p.boxes[i].touches(&p.boxes[j]) && cutThrough(&p.corners[i], &p.corners[j]) {
				p.add(i, j)
			}
		}
	}
}

func (p *pairSearch) add(i, j int32) {
	if p.faces[i] > p.faces[j] {
		i, j = j, i
	}
	f, g := p.faces[i], p.faces[j]
	p.join(pairsFound{1, [2]int32{f, g}, [2]int32{i, j}})
	p.crosses[f].Store(true)
	p.crosses[g].Store(true)
}

// cutThrough says whether two triangles have more in common than points of
// their rims: a length where they cross or an area where they lie in one plane.
// Source: Guigue & Devillers, "Fast and robust triangle-triangle overlap test
// using orientation predicates", Journal of Graphics Tools 8(1), 2003 (from
// memory), with touching left out.
func cutThrough(t, o *[3]r3.Vec) bool {
	onT, apart, sureT := sidesOf(o, t)
	if apart {
		return false
	}
	onO, apart, sureO := sidesOf(t, o)
	if apart {
		return false
	}
	if !sureT || !sureO {
		if apartInPlane(t, o) {
			return false
		}
		onT, onO = exactSides(o, t), exactSides(t, o)
		if onT == onO && onT == ([3]int{}) {
			return hasArea(t) && hasArea(o)
		}
	}
	return straddles(onT) && straddles(onO) && chordsOverlap(t, o, onT, onO)
}

// sidesOf returns the side of the plane of o that each corner of t is on, 0 for
// corners of both. Where rounding could be wrong, or all are in the plane, it is
// not sure; apart is when all of t is surely on one side.
func sidesOf(o, t *[3]r3.Vec) (sides [3]int, apart, sure bool) {
	u, v := r3.Sub(o[1], o[0]), r3.Sub(o[2], o[0])
	nx, ny, nz := float64(u.Y*v.Z), float64(u.Z*v.X), float64(u.X*v.Y)
	mx, my, mz := float64(u.Z*v.Y), float64(u.X*v.Z), float64(u.Y*v.X)
	n := r3.Vec{X: nx - mx, Y: ny - my, Z: nz - mz}
	size := r3.Vec{X: math.Abs(nx) + math.Abs(mx), Y: math.Abs(ny) + math.Abs(my), Z: math.Abs(nz) + math.Abs(mz)}
	sure = true
	above, below := false, false
	for k, p := range t {
		if p == o[0] || p == o[1] || p == o[2] {
			continue
		}
		w := r3.Sub(p, o[0])
		det := dot(n, w)
		bound := orientBound * (size.X*math.Abs(w.X) + size.Y*math.Abs(w.Y) + size.Z*math.Abs(w.Z))
		switch {
		case bound < orientBound*leastProduct:
			sure = false
		case det > bound:
			sides[k], above = 1, true
		case det < -bound:
			sides[k], below = -1, true
		default:
			sure = false
		}
	}
	return sides, sure && above != below, sure && (above || below)
}

func exactSides(o, t *[3]r3.Vec) (sides [3]int) {
	for k, p := range t {
		if p != o[0] && p != o[1] && p != o[2] {
			sides[k] = orient(o[0], o[1], o[2], p)
		}
	}
	return sides
}

// straddles says whether corners are on both sides of a plane.
func straddles(sides [3]int) bool {
	return min(sides[0], sides[1], sides[2]) < 0 && max(sides[0], sides[1], sides[2]) > 0
}

// chordsOverlap says whether the chords in which two triangles, each on both
// sides of the other's plane, cut the line of both planes have a length in
// common.
func chordsOverlap(t, o *[3]r3.Vec, onT, onO [3]int) bool {
	i, j := alone(onT), alone(onO)
	p, q := [3]r3.Vec{t[i], t[(i+1)%3], t[(i+2)%3]}, [3]r3.Vec{o[j], o[(j+1)%3], o[(j+2)%3]}
	// With both lone corners above, the chords run the same way.
	if onT[i] < 0 {
		q[1], q[2] = q[2], q[1]
	}
	if onO[j] < 0 {
		p[1], p[2] = p[2], p[1]
	}
	return edgesTurn(p[0], p[1], q[0], q[1]) < 0 && edgesTurn(p[0], p[2], q[2], q[0]) < 0
}

// alone returns the corner that no other is on the same side with.
func alone(sides [3]int) int {
	for k := range 2 {
		if a, b := sides[(k+1)%3], sides[(k+2)%3]; sides[k] != 0 && sides[k] != a && sides[k] != b {
			return k
		}
	}
	return 2
}

// edgesTurn is orient for two edges, which have a corner in common more often
// than not.
func edgesTurn(a, b, c, d r3.Vec) int {
	if a == c || a == d || b == c || b == d {
		return 0
	}
	return orient(a, b, c, d)
}

// apartInPlane says whether the shadows of two triangles, along the axis that
// the first faces most, are surely parted by one of their edges: then they have
// nothing but points of their rims in common.
func apartInPlane(t, o *[3]r3.Vec) bool {
	n := cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))
	a, b := shadow(t, n), shadow(o, n)
	return partedBy(&a, &b) || partedBy(&b, &a)
}

// shadow drops the coordinate along which n is longest.
func shadow(t *[3]r3.Vec, n r3.Vec) (flat [3]r2.Vec) {
	x, y, z := math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)
	for k, p := range t {
		switch {
		case z >= x && z >= y:
			flat[k] = r2.Vec{X: p.X, Y: p.Y}
		case x >= y:
			flat[k] = r2.Vec{X: p.Y, Y: p.Z}
		default:
			flat[k] = r2.Vec{X: p.Z, Y: p.X}
		}
	}
	return flat
}

// partedBy says whether an edge of a has all of b beyond it or on it. A triangle
// without area parts nothing.
func partedBy(a, b *[3]r2.Vec) bool {
	way := flatTurn(a[0], a[1], a[2])
	if way == 0 {
		return false
	}
	for k := range a {
		from, to, beyond := a[k], a[(k+1)%3], true
		for i := 0; i < 3 && beyond; i++ {
			beyond = way*flatTurn(from, to, b[i]) <= 0
		}
		if beyond {
			return true
		}
	}
	return false
}

// flatTurn is orient2, quick also where three points are on a line and their
// differences have no rounding, as on flat sides.
func flatTurn(a, b, c r2.Vec) int {
	if a == b || b == c || c == a {
		return 0
	}
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-a.X, c.Y-a.Y
	left, right := float64(ux*vy), float64(uy*vx)
	det, size := left-right, math.Abs(left)+math.Abs(right)
	switch {
	case size >= leastProduct && det > orient2Bound*size:
		return 1
	case size >= leastProduct && -det > orient2Bound*size:
		return -1
	case !exactDifference(b.X, a.X, ux) || !exactDifference(b.Y, a.Y, uy) || !exactDifference(c.X, a.X, vx) || !exactDifference(c.Y, a.Y, vy):
		return orient2(a, b, c)
	case (ux == 0 || vy == 0) && (uy == 0 || vx == 0):
		return 0
	case size < leastProduct || det != 0:
		return orient2(a, b, c)
	}
	det = math.FMA(ux, vy, -left) - math.FMA(uy, vx, -right)
	return sign(det)
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// exactDifference says whether d, the rounded x − y, is x − y. Source: Knuth,
// "The Art of Computer Programming" vol. 2, section 4.2.2 (from memory).
func exactDifference(x, y, d float64) bool {
	minus := x - d
	return (x-(d+minus))+(minus-y) == 0
}

// hasArea says whether the corners of a triangle are not on a line.
func hasArea(t *[3]r3.Vec) bool {
	n := r3.Vec{X: 1}
	for range 3 {
		if flat := shadow(t, n); flatTurn(flat[0], flat[1], flat[2]) != 0 {
			return true
		}
		n = r3.Vec{X: n.Z, Y: n.X, Z: n.Y}
	}
	return false
}

// meetingPoint returns the middle of the length in which two triangles cut each
// other, or the middle of the first when they lie in one plane.
func meetingPoint(t, o *[3]r3.Vec) r3.Vec {
	n := cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))
	m := cross(r3.Sub(o[1], o[0]), r3.Sub(o[2], o[0]))
	line := cross(n, m)
	var ends []r3.Vec
	ends = appendChord(ends, t, o[0], m)
	ends = appendChord(ends, o, t[0], n)
	if len(ends) < 4 {
		return r3.Scale(1./3, r3.Add(t[0], r3.Add(t[1], t[2])))
	}
	// Of the ends of two intervals that overlap, the middle two bound both.
	slices.SortFunc(ends, func(a, b r3.Vec) int { return sign(dot(line, r3.Sub(a, b))) })
	return r3.Scale(0.5, r3.Add(ends[1], ends[2]))
}

// appendChord appends the two points where the rim of t goes through the plane
// at p of normal n, none when it does not.
func appendChord(ends []r3.Vec, t *[3]r3.Vec, p, n r3.Vec) []r3.Vec {
	var chord []r3.Vec
	for k := range t {
		a, b := t[k], t[(k+1)%3]
		from, to := dot(n, r3.Sub(a, p)), dot(n, r3.Sub(b, p))
		if from < 0 != (to < 0) {
			chord = append(chord, along(a, from/(from-to), r3.Sub(b, a)))
		}
	}
	return append(ends, chord...)
}
