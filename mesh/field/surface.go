package field

import (
	"math/bits"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Surface returns the closed surface at distance 0, outward. Scraps with less
// than leastShare of the area of the largest part are left out, as are hollows of
// a few voxels. Walls thinner than about two voxels come out too thin or not at
// all. The error says that nothing is inside.
//
// Each cube between eight voxels is cut into the six tetrahedra along its
// diagonal, all cubes alike so that their faces match, and each tetrahedron by a
// plane. Sources: Kuhn, "Some combinatorial lemmas in topology", IBM Journal of
// Research and Development 4(5), 1960; Doi & Koide, "An efficient method of
// triangulating equi-valued surfaces by using tetrahedral cells", IEICE
// Transactions E74(1), 1991 (from memory).
func (f *Field) Surface() (*mesh.Solid, error) {
	m := &march{Field: f, inside: f.parts()}
	m.run()
	s, _, err := mesh.NewSolid(&mesh.Mesh{Vertices: m.vertices, Faces: m.faces})
	return s, err
}

// march walks the cubes. Every edge of the tetrahedra runs from a voxel to one of
// seven others; the vertex on it is named by its lower voxel and which of the
// seven it goes to.
type march struct {
	*Field
	inside   []bool
	below    []int32 // vertices on the edges from the voxels of this plane
	above    []int32 // and of the next
	vertices []r3.Vec
	faces    [][3]int32
}

const (
	kinds     = 7     // of edges from a voxel: bits 1 along x, 2 along y, 4 along z
	leastPart = 0.001 // of an edge between a vertex and a voxel, so that no face is flat
)

// kuhn lists the corners of the tetrahedra of a cube, as bits x, y, z, positively
// oriented.
var kuhn = [6][4]int{{0, 1, 3, 7}, {0, 3, 2, 7}, {0, 2, 6, 7}, {0, 6, 4, 7}, {0, 4, 5, 7}, {0, 5, 1, 7}}

func (m *march) run() {
	nx, ny, nz := m.N[0], m.N[1], m.N[2]
	m.below, m.above = make([]int32, nx*ny*kinds), make([]int32, nx*ny*kinds)
	m.place(0, m.above)
	for z := range nz - 1 {
		m.below, m.above = m.above, m.below
		m.place(z+1, m.above)
		for y := range ny - 1 {
			for x := range nx - 1 {
				m.cube(x, y, z)
			}
		}
	}
}

// place makes the vertices on the edges from the voxels of plane z.
func (m *march) place(z int, at []int32) {
	nx, ny, nz := m.N[0], m.N[1], m.N[2]
	i := z * nx * ny
	for y := range ny {
		for x := range nx {
			for kind := 1; kind <= kinds; kind++ {
				dx, dy, dz := kind&1, kind>>1&1, kind>>2
				if x+dx >= nx || y+dy >= ny || z+dz >= nz {
					continue
				}
				j := i + (dz*ny+dy)*nx + dx
				if m.inside[i] == m.inside[j] {
					continue
				}
				a, b := float64(abs(m.Distance[i])), float64(abs(m.Distance[j]))
				t := 0.5
				if a+b > 0 {
					t = min(max(a/(a+b), leastPart), 1-leastPart)
				}
				at[(y*nx+x)*kinds+kind-1] = int32(len(m.vertices))
				p := r3.Vec{X: float64(x) + t*float64(dx), Y: float64(y) + t*float64(dy), Z: float64(z) + t*float64(dz)}
				m.vertices = append(m.vertices, r3.Add(m.Origin, r3.Scale(m.VoxelMM, p)))
			}
			i++
		}
	}
}

func abs(x float32) float32 { return max(x, -x) }

// cube adds the faces between the voxels x, y, z and the next ones.
func (m *march) cube(x, y, z int) {
	nx, ny := m.N[0], m.N[1]
	i := (z*ny+y)*nx + x
	var in [8]bool
	count := 0
	for c := range in {
		in[c] = m.inside[i+((c>>2)*ny+c>>1&1)*nx+c&1]
		if in[c] {
			count++
		}
	}
	if count == 0 || count == 8 {
		return
	}
	vertex := func(a, b int) int32 {
		a, b = min(a, b), max(a, b)
		plane := m.below
		if a>>2 == 1 {
			plane = m.above
		}
		return plane[((y+a>>1&1)*nx+x+a&1)*kinds+(b-a)-1]
	}
	for _, t := range kuhn {
		mask := 0
		for k, c := range t {
			if in[c] {
				mask |= 1 << k
			}
		}
		o := orders[mask]
		a, b, c, d := t[o[0]], t[o[1]], t[o[2]], t[o[3]]
		switch bits.OnesCount(uint(mask)) {
		case 1:
			m.faces = append(m.faces, [3]int32{vertex(a, b), vertex(a, c), vertex(a, d)})
		case 2:
			p, q, r, s := vertex(a, c), vertex(a, d), vertex(b, d), vertex(b, c)
			m.faces = append(m.faces, [3]int32{p, q, r}, [3]int32{p, r, s})
		case 3:
			m.faces = append(m.faces, [3]int32{vertex(a, b), vertex(a, d), vertex(a, c)})
		}
	}
}

// orders turns the corners of a tetrahedron, by which of them are inside (bits),
// so that the odd one or the two inside come first; even permutations only, which
// keep it positively oriented.
var orders = [16][4]int{
	0b0001: {0, 1, 2, 3}, 0b1110: {0, 1, 2, 3},
	0b0010: {1, 0, 3, 2}, 0b1101: {1, 0, 3, 2},
	0b0100: {2, 3, 0, 1}, 0b1011: {2, 3, 0, 1},
	0b1000: {3, 2, 1, 0}, 0b0111: {3, 2, 1, 0},
	0b0011: {0, 1, 2, 3}, 0b0101: {0, 2, 3, 1}, 0b1001: {0, 3, 1, 2},
	0b0110: {1, 2, 0, 3}, 0b1010: {1, 3, 2, 0}, 0b1100: {2, 3, 0, 1},
}
