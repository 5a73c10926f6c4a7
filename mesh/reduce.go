package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Clustered returns a coarser mesh for pictures and screening: all vertices in
// one cube of a grid of the given cell size (mm) become their mean, weighted by
// the area of the faces around them. Faces that lose a corner, and repeats of a
// face with the same winding, are dropped; the others keep their winding and
// order. The second result gives each old vertex's new one; new vertices are in
// order of first appearance. The mesh may no longer be closed or manifold. A
// cell that is not above zero returns m itself. Source: Rossignac & Borrel,
// "Multi-resolution 3D approximations for rendering complex scenes", 1993 (from
// memory; their vertex weights differ).
func (m *Mesh) Clustered(cell float64) (*Mesh, []int32) {
	to := make([]int32, len(m.Vertices))
	if !(cell > 0) || len(m.Vertices) == 0 {
		for v := range to {
			to[v] = int32(v)
		}
		return m, to
	}
	low, scale := m.gridScale(cell)
	cells := newKeyIndex(len(m.Vertices)/8 + 8)
	for v, p := range m.Vertices {
		to[v] = cells.number(key{
			uint32((p.X - low.X) * scale), uint32((p.Y - low.Y) * scale), uint32((p.Z - low.Z) * scale),
		})
	}
	return &Mesh{Vertices: m.means(to, len(cells.keys)), Faces: m.mergedFaces(to, len(cells.keys))}, to
}

// gridScale returns the grid's corner and cells per mm. No axis gets more
// cells than a key's word can hold.
func (m *Mesh) gridScale(cell float64) (low r3.Vec, scale float64) {
	const mostCells = math.MaxInt32
	b := m.Bounds()
	return b.Min, min(1/cell, mostCells/farthest(r3.Sub(b.Max, b.Min)))
}

// means returns the area-weighted mean of the vertices that go to each of n
// new ones; the plain mean where they have no area.
func (m *Mesh) means(to []int32, n int) []r3.Vec {
	weight := make([]float64, len(m.Vertices))
	for f, t := range m.Faces {
		area := r3.Norm(m.DoubleAreaNormal(f))
		for _, v := range t {
			weight[v] += area
		}
	}
	sum, total := make([]r3.Vec, n), make([]float64, n)
	plain, count := make([]r3.Vec, n), make([]float64, n)
	// Summed about the first vertex of each cell, so that a cell far from the
	// origin loses no digits.
	first := make([]int32, n)
	for v := len(to) - 1; v >= 0; v-- {
		first[to[v]] = int32(v)
	}
	for v, c := range to {
		d := r3.Sub(m.Vertices[v], m.Vertices[first[c]])
		sum[c], total[c] = r3.Add(sum[c], r3.Scale(weight[v], d)), total[c]+weight[v]
		plain[c], count[c] = r3.Add(plain[c], d), count[c]+1
	}
	for c := range sum {
		d := r3.Scale(1/count[c], plain[c])
		if total[c] > 0 {
			d = r3.Scale(1/total[c], sum[c])
		}
		sum[c] = r3.Add(m.Vertices[first[c]], d)
	}
	return sum
}

// mergedFaces returns the faces on new vertices, without those that lost a
// corner and those that are there already.
func (m *Mesh) mergedFaces(to []int32, n int) [][3]int32 {
	seen := newKeyIndex(2*n + 8)
	var faces [][3]int32
	for _, t := range m.Faces {
		t = [3]int32{to[t[0]], to[t[1]], to[t[2]]}
		if collapsed(t) {
			continue
		}
		if known := len(seen.keys); int(seen.number(faceKey(t))) == known {
			faces = append(faces, t)
		}
	}
	return faces
}

// faceKey returns the same key for the three ways to start the same winding.
func faceKey(t [3]int32) key {
	for t[0] > t[1] || t[0] > t[2] {
		t = [3]int32{t[1], t[2], t[0]}
	}
	return key{uint32(t[0]), uint32(t[1]), uint32(t[2])}
}
