package cut

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// coarse is the reduced pattern that sheets are compared on.
type coarse struct {
	*mesh.Mesh
	detail []float64 // of each vertex
	tree   *mesh.Tree
}

// newCoarse merges vertices until about screenVertices are left.
func newCoarse(m *mesh.Mesh, detail []float32, area float64) *coarse {
	c := &coarse{Mesh: m}
	to := []int32(nil)
	if len(m.Vertices) > screenVertices {
		c.Mesh, to = m.Clustered(math.Sqrt(area / screenVertices))
	}
	c.detail = make([]float64, len(c.Vertices))
	count := make([]float64, len(c.Vertices))
	for v, d := range detail {
		w := int32(v)
		if to != nil {
			w = to[v]
		}
		c.detail[w] += float64(d)
		count[w]++
	}
	for v := range c.detail {
		c.detail[v] /= max(1, count[v])
	}
	c.tree = mesh.NewTree(c.Mesh)
	return c
}

// crossing is a piece of the line in which a sheet cuts the surface.
type crossing struct {
	middle         r3.Vec
	along, outward r3.Vec // unit; outward: in the plane, off the pattern
	lengthMM       float64
	detail         float64 // mean along it
}

// crossings cuts the faces by a sheet; heights is room for one figure a vertex.
// area is that of the section.
func (c *coarse) crossings(s *Sheet, heights []float64) (all []crossing, area float64) {
	for v, p := range c.Vertices {
		heights[v] = s.Height(p)
	}
	for _, f := range c.Faces {
		up := [3]bool{heights[f[0]] >= 0, heights[f[1]] >= 0, heights[f[2]] >= 0}
		if up[0] == up[1] && up[1] == up[2] {
			continue
		}
		var enter, leave r3.Vec
		var sum float64
		for i := range 3 {
			k := (i + 1) % 3
			if up[i] == up[k] {
				continue
			}
			a, b := f[i], f[k]
			t := heights[a] / (heights[a] - heights[b])
			p := r3.Add(c.Vertices[a], r3.Scale(t, r3.Sub(c.Vertices[b], c.Vertices[a])))
			sum += c.detail[a]*(1-t) + c.detail[b]*t
			if up[i] {
				enter = p
			} else {
				leave = p
			}
		}
		d := r3.Sub(leave, enter)
		length := r3.Norm(d)
		area += r3.Dot(s.Normal, r3.Cross(r3.Sub(enter, s.Point), r3.Sub(leave, s.Point))) / 2
		if length > 0 {
			along := r3.Scale(1/length, d)
			all = append(all, crossing{r3.Scale(0.5, r3.Add(enter, leave)), along, r3.Cross(along, s.Normal), length, sum / 2})
		}
	}
	return all, area
}
