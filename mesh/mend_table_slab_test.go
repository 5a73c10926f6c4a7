package mesh_test

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Parts scanned on a table, built so that the part above the table is known.

// onSlab fuses a closed slab under the part's low end, which it hides: it returns
// the scan and the volume of the part above the slab.
func onSlab(s subject, rng *rand.Rand) (*mesh.Mesh, float64) {
	p := standing(s, 0.0353)
	return p.fused(raggedOutline(p.shadow(), rng), 0.03*p.tall), p.volume
}

// foot is a part cut off flat, in a frame with the cut at z = 0 and the part above.
type foot struct {
	above  *mesh.Mesh
	loops  [][]int32 // the rim, seen from above: counter-clockwise around the part
	back   mesh.Pose
	tall   float64
	volume float64
}

// standing cuts off a share of a subject's height at its low end.
func standing(s subject, share float64) foot {
	profile := mesh.NewProfile(s.solid, s.up)
	lo, hi := profile.Range()
	level := lo + share*(hi-lo)
	pose := mesh.PoseDown(r3.Scale(-1, s.up))
	pose.T = r3.Vec{Z: -level}
	p := foot{back: pose.Inverse(), tall: hi - level, volume: s.volume - profile.Below(level)}
	p.above, p.loops = cutAtZero(s.solid.Posed(pose).Mesh)
	return p
}

// cutAtZero returns what is above z = 0 and the loops of the cut.
func cutAtZero(m *mesh.Mesh) (*mesh.Mesh, [][]int32) {
	out := &mesh.Mesh{}
	kept, cuts, next := map[int32]int32{}, map[[2]int32]int32{}, map[int32]int32{}
	put := func(p r3.Vec) int32 {
		out.Vertices = append(out.Vertices, p)
		return int32(len(out.Vertices) - 1)
	}
	keep := func(v int32) int32 {
		if _, known := kept[v]; !known {
			kept[v] = put(m.Vertices[v])
		}
		return kept[v]
	}
	cut := func(a, b int32) int32 {
		k := [2]int32{min(a, b), max(a, b)}
		if _, known := cuts[k]; !known {
			p, q := m.Vertices[k[0]], m.Vertices[k[1]]
			c := r3.Add(p, r3.Scale(p.Z/(p.Z-q.Z), r3.Sub(q, p)))
			c.Z = 0
			cuts[k] = put(c)
		}
		return cuts[k]
	}
	var starts []int32
	for _, t := range m.Faces {
		var ring []int32
		leave, enter := int32(-1), int32(-1)
		for k, a := range t {
			b := t[(k+1)%3]
			up, then := m.Vertices[a].Z > 0, m.Vertices[b].Z > 0
			if up {
				ring = append(ring, keep(a))
			}
			if up != then {
				ring = append(ring, cut(a, b))
				if up {
					leave = cut(a, b)
				} else {
					enter = cut(a, b)
				}
			}
		}
		for k := 2; k < len(ring); k++ {
			out.Faces = append(out.Faces, [3]int32{ring[0], ring[k-1], ring[k]})
		}
		if leave >= 0 {
			next[leave] = enter
			starts = append(starts, leave)
		}
	}
	var loops [][]int32
	for _, v := range starts {
		var loop []int32
		for w, there := next[v]; there; w, there = next[v] {
			loop = append(loop, v)
			delete(next, v)
			v = w
		}
		if len(loop) > 2 {
			loops = append(loops, loop)
		}
	}
	return out, loops
}

// shadow returns the part's box on the table.
func (p foot) shadow() r3.Box { return p.above.Bounds() }

// raggedOutline is a slab's rim: it reaches a fifth to a half of the shadow's
// diagonal beyond it, is not centred and has teeth.
func raggedOutline(shadow r3.Box, rng *rand.Rand) []r2.Vec {
	d := r3.Sub(shadow.Max, shadow.Min)
	size := math.Hypot(d.X, d.Y)
	x := [2]float64{shadow.Min.X, shadow.Max.X}
	y := [2]float64{shadow.Min.Y, shadow.Max.Y}
	for _, side := range []*[2]float64{&x, &y} {
		by := [2]float64{size * (0.2 + 0.1*rng.Float64()), size * (0.35 + 0.15*rng.Float64())}
		k := rng.IntN(2)
		side[0] -= by[k]
		side[1] += by[1-k]
	}
	corners := []r2.Vec{{X: x[0], Y: y[0]}, {X: x[1], Y: y[0]}, {X: x[1], Y: y[1]}, {X: x[0], Y: y[1]}}
	outline := along(corners, size/15)
	for i := range outline {
		outline[i] = r2.Add(outline[i], r2.Scale(0.02*size, r2.Vec{X: rng.Float64() - 0.5, Y: rng.Float64() - 0.5}))
	}
	return outline
}

// along puts points on the sides of a polygon, a step apart.
func along(corners []r2.Vec, step float64) []r2.Vec {
	var out []r2.Vec
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		n := max(1, math.Ceil(r2.Norm(r2.Sub(b, a))/step))
		for k := range int(n) {
			out = append(out, r2.Add(a, r2.Scale(float64(k)/n, r2.Sub(b, a))))
		}
	}
	return out
}

// sheeted returns the part with an open sheet around it, in the part's frame.
func (p foot) sheeted(outline []r2.Vec) *mesh.Mesh {
	m, _ := p.onTop(outline)
	return m.Posed(p.back)
}

// fused returns the part on a closed slab, in the part's frame.
func (p foot) fused(outline []r2.Vec, thick float64) *mesh.Mesh {
	m, rim := p.onTop(outline)
	n := int32(len(m.Vertices))
	under := newPlane(m, outline, -thick)
	for _, t := range under.fill(indices(n, len(outline)), nil) {
		m.Faces = append(m.Faces, [3]int32{t[0], t[2], t[1]})
	}
	for i, a := range rim {
		b := rim[(i+1)%len(rim)]
		c, d := n+int32(i), n+int32((i+1)%len(rim))
		m.Faces = append(m.Faces, [3]int32{a, c, d}, [3]int32{a, d, b})
	}
	return m.Posed(p.back)
}

// onTop adds the table's upper side and returns its outer rim.
func (p foot) onTop(outline []r2.Vec) (m *mesh.Mesh, rim []int32) {
	m = &mesh.Mesh{Vertices: slices.Clone(p.above.Vertices), Faces: slices.Clone(p.above.Faces)}
	rim = indices(int32(len(m.Vertices)), len(outline))
	plane := newPlane(m, outline, 0)
	// The table is within the outline and within the loops around hollows, but
	// not within those around the part.
	outer, holes := [][]int32{rim}, [][][]int32{nil}
	for _, l := range p.loops {
		if plane.area(l) < 0 {
			back := slices.Clone(l)
			slices.Reverse(back)
			outer, holes = append(outer, back), append(holes, nil)
		}
	}
	for _, l := range p.loops {
		if plane.area(l) < 0 {
			continue
		}
		in := -1
		for k, o := range outer {
			if plane.within(l[0], o) && (in < 0 || plane.area(o) < plane.area(outer[in])) {
				in = k
			}
		}
		back := slices.Clone(l)
		slices.Reverse(back)
		holes[in] = append(holes[in], back)
	}
	for k := range outer {
		m.Faces = append(m.Faces, plane.fill(outer[k], holes[k])...)
	}
	return m, rim
}

func indices(first int32, n int) []int32 {
	all := make([]int32, n)
	for i := range all {
		all[i] = first + int32(i)
	}
	return all
}

// plane triangulates polygons with holes among a mesh's corners at one height.
type plane struct {
	m    *mesh.Mesh
	z    float64
	step float64 // length of edges inside
}

func newPlane(m *mesh.Mesh, outline []r2.Vec, z float64) *plane {
	least, most := outline[0], outline[0]
	for _, p := range outline {
		m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: p.Y, Z: z})
		least, most = r2.Vec{X: min(least.X, p.X), Y: min(least.Y, p.Y)}, r2.Vec{X: max(most.X, p.X), Y: max(most.Y, p.Y)}
	}
	return &plane{m, z, r2.Norm(r2.Sub(most, least)) / 40}
}

func (p *plane) turn(a, b, c int32) float64 {
	u, v, w := p.m.Vertices[a], p.m.Vertices[b], p.m.Vertices[c]
	return (v.X-u.X)*(w.Y-u.Y) - (v.Y-u.Y)*(w.X-u.X)
}

func (p *plane) area(l []int32) float64 {
	sum := 0.0
	for i := range l {
		sum += p.turn(l[0], l[i], l[(i+1)%len(l)])
	}
	return sum / 2
}

func (p *plane) within(v int32, l []int32) bool {
	in, q := false, p.m.Vertices[v]
	for i, a := range l {
		u, w := p.m.Vertices[a], p.m.Vertices[l[(i+1)%len(l)]]
		if (u.Y > q.Y) != (w.Y > q.Y) && u.X+(q.Y-u.Y)/(w.Y-u.Y)*(w.X-u.X) > q.X {
			in = !in
		}
	}
	return in
}

// fill returns the faces, upward, of a polygon with holes, which run clockwise.
func (p *plane) fill(outer []int32, holes [][]int32) [][3]int32 {
	faces := p.ears(p.bridged(outer, holes))
	p.delaunay(faces)
	for range 40 {
		n := len(faces)
		for f := range n {
			t := faces[f]
			var sides float64
			for k, a := range t {
				sides = max(sides, r3.Norm(r3.Sub(p.m.Vertices[a], p.m.Vertices[t[(k+1)%3]])))
			}
			if p.turn(t[0], t[1], t[2]) < p.step*p.step || sides < 2*p.step {
				continue
			}
			c := r3.Scale(1.0/3, r3.Add(p.m.Vertices[t[0]], r3.Add(p.m.Vertices[t[1]], p.m.Vertices[t[2]])))
			c.Z = p.z
			v := int32(len(p.m.Vertices))
			p.m.Vertices = append(p.m.Vertices, c)
			faces[f] = [3]int32{t[0], t[1], v}
			faces = append(faces, [3]int32{t[1], t[2], v}, [3]int32{t[2], t[0], v})
		}
		if len(faces) == n {
			break
		}
		p.delaunay(faces)
	}
	return faces
}

// bridged joins holes to the polygon, the rightmost first, each by the shortest
// line that crosses no side.
func (p *plane) bridged(outer []int32, holes [][]int32) []int32 {
	right := func(l []int32) float64 {
		x := math.Inf(-1)
		for _, v := range l {
			x = max(x, p.m.Vertices[v].X)
		}
		return x
	}
	holes = slices.Clone(holes)
	slices.SortStableFunc(holes, func(a, b []int32) int {
		if right(a) > right(b) {
			return -1
		}
		return 1
	})
	ring := slices.Clone(outer)
	for k, h := range holes {
		at := 0
		for i, v := range h {
			if p.m.Vertices[v].X > p.m.Vertices[h[at]].X {
				at = i
			}
		}
		best, least := -1, math.Inf(1)
		for i, v := range ring {
			d := r3.Norm(r3.Sub(p.m.Vertices[v], p.m.Vertices[h[at]]))
			if d < least && p.facing(ring, i, h[at]) && p.clear(v, h[at], ring) && p.clear(v, h[at], slices.Concat(holes[k:]...)) {
				clear := true
				for _, o := range holes[k:] {
					clear = clear && p.clear(v, h[at], o)
				}
				if clear {
					best, least = i, d
				}
			}
		}
		joined := slices.Clone(ring[:best+1])
		joined = append(joined, h[at:]...)
		joined = append(joined, h[:at+1]...)
		ring = append(joined, ring[best:]...)
	}
	return ring
}

// facing says whether v is on the inner side of the corner ring[i].
func (p *plane) facing(ring []int32, i int, v int32) bool {
	n := len(ring)
	a, b, c := ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
	if p.turn(a, b, c) > 0 {
		return p.turn(a, b, v) > 0 && p.turn(b, c, v) > 0
	}
	return p.turn(a, b, v) > 0 || p.turn(b, c, v) > 0
}

// clear says whether segment ab crosses no side of a closed line.
func (p *plane) clear(a, b int32, l []int32) bool {
	for i, c := range l {
		d := l[(i+1)%len(l)]
		if c == a || c == b || d == a || d == b {
			continue
		}
		if (p.turn(a, b, c) > 0) != (p.turn(a, b, d) > 0) && (p.turn(c, d, a) > 0) != (p.turn(c, d, b) > 0) {
			return false
		}
	}
	return true
}

// ears cuts a polygon into triangles. Where rounding leaves no ear, first corners
// on an ear's sides are let pass, then ears without area.
func (p *plane) ears(ring []int32) [][3]int32 {
	left := slices.Clone(ring)
	var faces [][3]int32
	for tried, i := 0, 0; len(left) > 3; {
		n := len(left)
		a, b, c := left[(i+n-1)%n], left[i%n], left[(i+1)%n]
		turn, lenient := p.turn(a, b, c), tried/n
		if lenient > 2 {
			panic("no ear is left")
		}
		if (turn > 0 || lenient > 1 && turn == 0) && p.empty(a, b, c, left, lenient > 0) {
			faces = append(faces, [3]int32{a, b, c})
			left = slices.Delete(left, i%n, i%n+1)
			tried, i = 0, (i+1)%len(left)
			continue
		}
		tried, i = tried+1, (i+1)%n
	}
	return append(faces, [3]int32{left[0], left[1], left[2]})
}

// empty says whether no corner that is left is in a triangle, or on its sides.
func (p *plane) empty(a, b, c int32, left []int32, sides bool) bool {
	for _, v := range left {
		q := p.m.Vertices[v]
		if v == a || v == b || v == c || q == p.m.Vertices[a] || q == p.m.Vertices[b] || q == p.m.Vertices[c] {
			continue
		}
		if least := min(p.turn(a, b, v), p.turn(b, c, v), p.turn(c, a, v)); least > 0 || least == 0 && !sides {
			return false
		}
	}
	return true
}

// delaunay flips edges until no corner is within the circle of a neighbour.
func (p *plane) delaunay(faces [][3]int32) {
	type side struct {
		face int32
		k    int8
	}
	for range 200 {
		at := make(map[[2]int32]side, 3*len(faces))
		for f, t := range faces {
			for k, a := range t {
				at[[2]int32{a, t[(k+1)%3]}] = side{int32(f), int8(k)}
			}
		}
		touched := make([]bool, len(faces))
		flips := 0
		for f := range faces {
			for k := range 3 {
				t := faces[f]
				a, b, c := t[k], t[(k+1)%3], t[(k+2)%3]
				o, two := at[[2]int32{b, a}]
				if !two || touched[f] || touched[o.face] {
					continue
				}
				d := faces[o.face][(int(o.k)+2)%3]
				if !p.inCircle(a, b, c, d) || p.turn(c, a, d) <= 0 || p.turn(c, d, b) <= 0 {
					continue
				}
				faces[f], faces[o.face] = [3]int32{c, a, d}, [3]int32{c, d, b}
				touched[f], touched[o.face] = true, true
				flips++
			}
		}
		if flips == 0 {
			return
		}
	}
}

func (p *plane) inCircle(a, b, c, d int32) bool {
	q := p.m.Vertices[d]
	var m [3][3]float64
	for i, v := range []int32{a, b, c} {
		u := r3.Sub(p.m.Vertices[v], q)
		m[i] = [3]float64{u.X, u.Y, u.X*u.X + u.Y*u.Y}
	}
	det := m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) - m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) + m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
	size := r3.Norm(r3.Sub(p.m.Vertices[a], q))
	return det > 1e-9*size*size*size*size
}
