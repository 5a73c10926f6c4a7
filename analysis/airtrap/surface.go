// Package airtrap answers "where does air stay as liquid rises, and which
// vents free it?", for both pours: rubber rising around the pattern, and
// casting material rising in the cavity that the pattern left.
//
// A trap is a local top of the liquid's space that cannot reach an opening. It
// is found exactly on the mesh, without a grid: the surface is swept from the
// top down and joined by union-find, which is the merge tree of the space
// itself, since two parts of the space always meet at a saddle of its surface.
// A surface part that begins inside the space (a hump of the floor) is tied to
// the part it hangs under by a line straight up.
// Sources: Edelsbrunner, Letscher & Zomorodian, "Topological persistence and
// simplification", 2002; Carr, Snoeyink & Axen, "Computing contour trees in
// all dimensions", 2003 (both from memory).
package airtrap

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// Domain says which side of the surface the liquid fills.
type Domain int

const (
	Inside  Domain = iota // casting material, in the pattern's place
	Outside               // rubber, around the pattern
)

// sign turns an outward normal out of the liquid.
func (d Domain) sign() float64 {
	if d == Outside {
		return -1
	}
	return 1
}

// Surface is a mesh made ready for many sweeps. It is safe for concurrent use.
type Surface struct {
	m      *mesh.Mesh
	next   mesh.Adjacency // vertices by edge
	faces  mesh.Adjacency // faces at each vertex
	normal []r3.Vec       // angle-weighted sum of the outward unit normals at each vertex
	grain  float64        // mm: heights this near are the same to a sweep
}

// NewSurface prepares m. The normals are weighted by the angle of each face at
// the vertex, which makes their side right wherever the vertex is the nearest
// point of the surface. Source: Bærentzen & Aanæs, "Signed distance computation
// using the angle weighted pseudonormal", 2005 (from memory).
func NewSurface(m *mesh.Mesh) *Surface {
	s := &Surface{m: m, next: m.Neighbours(), faces: m.VertexFaces(), normal: make([]r3.Vec, len(m.Vertices))}
	s.grain = r3.Norm(m.Bounds().Size()) / (1 << 31)
	for f, t := range m.Faces {
		n := m.DoubleAreaNormal(f)
		size := r3.Norm(n)
		if size == 0 {
			continue
		}
		for k, v := range t {
			p := r3.Sub(m.Vertices[t[(k+1)%3]], m.Vertices[v])
			q := r3.Sub(m.Vertices[t[(k+2)%3]], m.Vertices[v])
			s.normal[v] = r3.Add(s.normal[v], r3.Scale(math.Atan2(size, r3.Dot(p, q))/size, n))
		}
	}
	return s
}

// flood returns the vertices reached from one by edges while keep holds.
func (s *Surface) flood(from int32, keep func(v int32) bool) []int32 {
	seen := map[int32]bool{from: true}
	reached := []int32{from}
	for i := 0; i < len(reached); i++ {
		for _, w := range s.next.Of(int(reached[i])) {
			if !seen[w] && keep(w) {
				seen[w] = true
				reached = append(reached, w)
			}
		}
	}
	return reached
}
