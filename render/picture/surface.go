package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

const (
	mostFaces = 150_000
	// creaseCos parts faces that meet at a sharper edge than 42° from those
	// that are smoothed over.
	creaseCos = 0.743
	rodSides  = 28
	leastRod  = 3.0 // px: thinner rods are drawn as thick as this
)

// body is a surface to draw, with a normal for every corner of every face.
type body struct {
	mesh    *mesh.Mesh
	normals [][3]r3.Vec
	colour  tint
}

// bodies are all opaque things, the pattern first.
func (s *scene) bodies(scale float64) []body {
	all := []body{shaded(s.part, oak)}
	if s.stem > 0 && s.spoutR > 0 {
		r := rod{foot: s.spout, top: r3.Add(s.spout, r3.Vec{Z: s.stem}), radius: s.spoutR}
		all = append(all, shaded(cylinder(r), lamp))
	}
	for _, v := range s.vents {
		v.radius = math.Max(v.radius, leastRod/scale)
		if v.isPost() {
			all = append(all, shaded(cylinder(v), lamp))
		}
	}
	return append(all, s.holders(scale)...)
}

// reduced returns the mesh with about mostFaces at the most.
func reduced(m *mesh.Mesh, scale float64) *mesh.Mesh {
	if len(m.Faces) <= mostFaces {
		return m
	}
	coarse, _ := m.Clustered(cellFor(m, scale))
	if len(coarse.Faces) == 0 {
		return m
	}
	return coarse
}

// cellFor is the size of the cells that leave about mostFaces: a surface passes
// through about 1.5 cells per cell's area, with two faces for each.
func cellFor(m *mesh.Mesh, scale float64) float64 {
	area := 0.0
	for f := range m.Faces {
		area += r3.Norm(m.DoubleAreaNormal(f)) / 2
	}
	return math.Max(math.Sqrt(3*area/mostFaces), 0.7/scale)
}

// shaded gives each corner the mean normal of the faces around it, weighted by
// area, without those across a crease.
func shaded(m *mesh.Mesh, colour tint) body {
	flat := make([]r3.Vec, len(m.Faces))
	unit := make([]r3.Vec, len(m.Faces))
	for f := range m.Faces {
		flat[f] = m.DoubleAreaNormal(f)
		if l := r3.Norm(flat[f]); l > 0 {
			unit[f] = r3.Scale(1/l, flat[f])
		}
	}
	around := m.VertexFaces()
	normals := make([][3]r3.Vec, len(m.Faces))
	for f, t := range m.Faces {
		for k, v := range t {
			var sum r3.Vec
			for _, g := range around.Of(int(v)) {
				if r3.Dot(unit[f], unit[g]) >= creaseCos {
					sum = r3.Add(sum, flat[g])
				}
			}
			if l := r3.Norm(sum); l > 0 {
				normals[f][k] = r3.Scale(1/l, sum)
			} else {
				normals[f][k] = unit[f]
			}
		}
	}
	return body{m, normals, colour}
}

// cylinder is the closed surface of a rod.
func cylinder(r rod) *mesh.Mesh {
	axis := r3.Sub(r.top, r.foot)
	x, y := mesh.Frame(r3.Scale(1/r3.Norm(axis), axis))
	m := &mesh.Mesh{Vertices: []r3.Vec{r.foot, r.top}}
	for i := range rodSides {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / rodSides)
		out := r3.Add(r3.Scale(r.radius*cos, x), r3.Scale(r.radius*sin, y))
		m.Vertices = append(m.Vertices, r3.Add(r.foot, out), r3.Add(r.top, out))
	}
	for i := range int32(rodSides) {
		a, b := 2+2*i, 2+2*((i+1)%rodSides)
		m.Faces = append(m.Faces, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1},
			[3]int32{0, b, a}, [3]int32{1, a + 1, b + 1})
	}
	return m
}
