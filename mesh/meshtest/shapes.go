// Package meshtest makes closed, outward meshes with known answers, for tests.
package meshtest

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Box returns the box from the origin to (a, b, c).
func Box(a, b, c float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		m.Vertices = append(m.Vertices, r3.Vec{X: a * float64(i&1), Y: b * float64(i>>1&1), Z: c * float64(i>>2)})
	}
	m.Faces = [][3]int32{
		{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
		{2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5},
	}
	return m
}

// Tetra returns the corner of the unit cube: the origin and the axes' ends.
func Tetra() *mesh.Mesh {
	return &mesh.Mesh{
		Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {Z: 1}},
		Faces:    [][3]int32{{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}},
	}
}

// Tetrahedron, Octahedron, Dodecahedron and Icosahedron return the regular
// solids of edge 1 about the origin.
func Tetrahedron() *mesh.Mesh {
	s := math.Sqrt(1. / 8)
	return &mesh.Mesh{
		Vertices: []r3.Vec{{X: s, Y: s, Z: s}, {X: s, Y: -s, Z: -s}, {X: -s, Y: s, Z: -s}, {X: -s, Y: -s, Z: s}},
		Faces:    [][3]int32{{0, 2, 3}, {0, 1, 2}, {0, 3, 1}, {1, 3, 2}},
	}
}

// Octahedron is described at Tetrahedron.
func Octahedron() *mesh.Mesh {
	s := math.Sqrt(0.5)
	return &mesh.Mesh{
		Vertices: []r3.Vec{{X: s}, {X: -s}, {Y: s}, {Y: -s}, {Z: s}, {Z: -s}},
		Faces:    [][3]int32{{0, 2, 4}, {2, 1, 4}, {1, 3, 4}, {3, 0, 4}, {2, 0, 5}, {1, 2, 5}, {3, 1, 5}, {0, 3, 5}},
	}
}

// Icosahedron is described at Tetrahedron.
func Icosahedron() *mesh.Mesh {
	p := math.Phi / 2
	return &mesh.Mesh{
		Vertices: []r3.Vec{
			{X: -0.5, Y: p}, {X: 0.5, Y: p}, {X: -0.5, Y: -p}, {X: 0.5, Y: -p},
			{Y: -0.5, Z: p}, {Y: 0.5, Z: p}, {Y: -0.5, Z: -p}, {Y: 0.5, Z: -p},
			{X: p, Z: -0.5}, {X: p, Z: 0.5}, {X: -p, Z: -0.5}, {X: -p, Z: 0.5},
		},
		Faces: [][3]int32{
			{0, 11, 5}, {0, 5, 1}, {0, 1, 7}, {0, 7, 10}, {0, 10, 11}, {1, 5, 9}, {5, 11, 4},
			{11, 10, 2}, {10, 7, 6}, {7, 1, 8}, {3, 9, 4}, {3, 4, 2}, {3, 2, 6}, {3, 6, 8},
			{3, 8, 9}, {4, 9, 5}, {2, 4, 11}, {6, 2, 10}, {8, 6, 7}, {9, 8, 1},
		},
	}
}

// Dodecahedron is described at Tetrahedron. Its pentagons, one for each corner
// of an icosahedron, are cut into three triangles.
func Dodecahedron() *mesh.Mesh {
	ico := Icosahedron()
	m := &mesh.Mesh{}
	for f := range ico.Faces {
		a, b, c := ico.Corners(f)
		m.Vertices = append(m.Vertices, r3.Add(a, r3.Add(b, c)))
	}
	around := ico.VertexFaces()
	for v, axis := range ico.Vertices {
		ring := ringAround(m.Vertices, around.Of(v), axis)
		for k := 1; k+1 < len(ring); k++ {
			m.Faces = append(m.Faces, [3]int32{ring[0], ring[k], ring[k+1]})
		}
	}
	edge := math.Inf(1)
	for _, p := range m.Vertices[1:] {
		edge = min(edge, r3.Norm(r3.Sub(p, m.Vertices[0])))
	}
	return m.Scaled(1 / edge)
}

// ringAround sorts points counter-clockwise about an axis from the origin.
func ringAround(points []r3.Vec, which []int32, axis r3.Vec) []int32 {
	x, y := mesh.Frame(r3.Unit(axis))
	angle := func(i int32) float64 { return math.Atan2(r3.Dot(y, points[i]), r3.Dot(x, points[i])) }
	ring := append([]int32{}, which...)
	for i := range ring {
		for j := i; j > 0 && angle(ring[j]) < angle(ring[j-1]); j-- {
			ring[j], ring[j-1] = ring[j-1], ring[j]
		}
	}
	return ring
}

// Icosphere returns an icosahedron whose faces are cut in four, level times,
// with all corners on the unit sphere: 20·4^level faces.
func Icosphere(level int) *mesh.Mesh {
	m := Icosahedron()
	for i, v := range m.Vertices {
		m.Vertices[i] = r3.Unit(v)
	}
	for range level {
		m = split(m, r3.Unit)
	}
	return m
}

// Split returns the same surface with each face cut in four.
func Split(m *mesh.Mesh) *mesh.Mesh { return split(m, func(p r3.Vec) r3.Vec { return p }) }

func split(m *mesh.Mesh, place func(middle r3.Vec) r3.Vec) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: append([]r3.Vec{}, m.Vertices...), Faces: make([][3]int32, 0, 4*len(m.Faces))}
	middles := make(map[[2]int32]int32, 3*len(m.Faces)/2)
	middle := func(a, b int32) int32 {
		edge := [2]int32{min(a, b), max(a, b)}
		v, made := middles[edge]
		if !made {
			v = int32(len(out.Vertices))
			middles[edge] = v
			out.Vertices = append(out.Vertices, place(r3.Scale(0.5, r3.Add(m.Vertices[a], m.Vertices[b]))))
		}
		return v
	}
	for _, t := range m.Faces {
		a, b, c := middle(t[0], t[1]), middle(t[1], t[2]), middle(t[2], t[0])
		out.Faces = append(out.Faces, [3]int32{t[0], a, c}, [3]int32{a, t[1], b}, [3]int32{c, b, t[2]}, [3]int32{a, b, c})
	}
	return out
}

// TorusMesh returns a torus about z of radii R and r, n by m quads.
func TorusMesh(n, m int, R, r float64) *mesh.Mesh {
	out := &mesh.Mesh{}
	for i := range n {
		su, cu := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		for j := range m {
			sv, cv := math.Sincos(2 * math.Pi * float64(j) / float64(m))
			out.Vertices = append(out.Vertices, r3.Vec{X: (R + r*cv) * cu, Y: (R + r*cv) * su, Z: r * sv})
		}
	}
	at := func(i, j int) int32 { return int32(i%n*m + j%m) }
	for i := range n {
		for j := range m {
			out.Faces = append(out.Faces, [3]int32{at(i, j), at(i+1, j), at(i+1, j+1)}, [3]int32{at(i, j), at(i+1, j+1), at(i, j+1)})
		}
	}
	return out
}

// Lathe turns a profile (x the radius, y the height, the solid on its left)
// about z into a solid of n sides. It starts and ends on the axis.
func Lathe(profile []r2.Vec, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	rings := make([][]int32, len(profile))
	for i, q := range profile {
		for j := range n {
			if q.X != 0 || j == 0 {
				sin, cos := math.Sincos(2 * math.Pi * float64(j) / float64(n))
				m.Vertices = append(m.Vertices, r3.Vec{X: q.X * cos, Y: q.X * sin, Z: q.Y})
			}
			rings[i] = append(rings[i], int32(len(m.Vertices)-1))
		}
	}
	add := func(a, b, c int32) {
		if a != b && b != c && c != a {
			m.Faces = append(m.Faces, [3]int32{a, b, c})
		}
	}
	for i := 0; i+1 < len(profile); i++ {
		for j := range n {
			k := (j + 1) % n
			add(rings[i][j], rings[i][k], rings[i+1][k])
			add(rings[i][j], rings[i+1][k], rings[i+1][j])
		}
	}
	return m
}

// Cylinder returns a cylinder of n sides on z = 0.
func Cylinder(n int, r, h float64) *mesh.Mesh { return Frustum(n, r, r, h) }

// Cone returns a cone of n sides on z = 0.
func Cone(n int, r, h float64) *mesh.Mesh {
	return Lathe([]r2.Vec{{}, {X: r}, {Y: h}}, n)
}

// Frustum returns a truncated cone of n sides on z = 0, its top of radius top.
func Frustum(n int, r, top, h float64) *mesh.Mesh {
	return Lathe([]r2.Vec{{}, {X: r}, {X: top, Y: h}, {Y: h}}, n)
}

// Together puts meshes into one, in their order.
func Together(all ...*mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, m := range all {
		n := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, t := range m.Faces {
			out.Faces = append(out.Faces, [3]int32{t[0] + n, t[1] + n, t[2] + n})
		}
	}
	return out
}

// Moved returns a mesh moved along.
func Moved(m *mesh.Mesh, by r3.Vec) *mesh.Mesh {
	out := &mesh.Mesh{Faces: m.Faces}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Add(v, by))
	}
	return out
}
