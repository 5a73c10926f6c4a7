package meshtest

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// plane triangulates polygons with holes among a mesh's corners at one height.
type plane struct {
	m    *mesh.Mesh
	z    float64
	step float64 // length of edges inside
}

// newPlane adds the corners of a polygon to m, at height z.
func newPlane(m *mesh.Mesh, outline []r2.Vec, z float64) *plane {
	least, most := outline[0], outline[0]
	for _, p := range outline {
		m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: p.Y, Z: z})
		least, most = r2.Vec{X: min(least.X, p.X), Y: min(least.Y, p.Y)}, r2.Vec{X: max(most.X, p.X), Y: max(most.Y, p.Y)}
	}
	return &plane{m, z, r2.Norm(r2.Sub(most, least)) / 40}
}

// turn returns twice the area of a triangle; positive counter-clockwise from above.
func (p *plane) turn(a, b, c int32) float64 {
	u, v, w := p.m.Vertices[a], p.m.Vertices[b], p.m.Vertices[c]
	return (v.X-u.X)*(w.Y-u.Y) - (v.Y-u.Y)*(w.X-u.X)
}

// area returns that of a closed line; negative where it runs clockwise.
func (p *plane) area(l []int32) float64 {
	sum := 0.0
	for i := range l {
		sum += p.turn(l[0], l[i], l[(i+1)%len(l)])
	}
	return sum / 2
}

// within says whether a corner is inside a closed line.
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
			if d < least && p.facing(ring, i, h[at]) && p.clear(v, h[at], ring) &&
				!slices.ContainsFunc(holes[k:], func(o []int32) bool { return !p.clear(v, h[at], o) }) {
				best, least = i, d
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

// inCircle says whether d is inside the circle through a, b and c by more than
// rounding.
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

// indices returns n indices from the first on.
func indices(first int32, n int) []int32 {
	all := make([]int32, n)
	for i := range all {
		all[i] = first + int32(i)
	}
	return all
}
