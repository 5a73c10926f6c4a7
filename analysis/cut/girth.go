package cut

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"pourwright/mesh"
)

// girths are the convex-hull perimeters of level sections, from the spout up: what
// a ring of rubber has to go round.
type girths struct {
	heightMM []float64
	mm       []float64
	shadowMM []float64 // hull perimeter of all that is at that height and beyond, seen along the way out
}

// girthsOf cuts the pattern at even heights from firstMM on. Each section holds all
// that is at that height: what comes out comes out as one.
func girthsOf(m *mesh.Mesh, firstMM float64) girths {
	b := m.Bounds()
	n := max(40, min(240, int(b.Max.Z-b.Min.Z)))
	step := (b.Max.Z - firstMM) / (float64(n) + 0.5)
	if !(step > 0) {
		return girths{}
	}
	points := make([][]r2.Vec, n+1)
	for _, f := range m.Faces {
		p := [3]int32{f[0], f[1], f[2]}
		low, high := math.Inf(1), math.Inf(-1)
		for _, v := range p {
			low, high = min(low, m.Vertices[v].Z), max(high, m.Vertices[v].Z)
		}
		for k := max(0, int(math.Ceil((low-firstMM)/step))); k <= n && firstMM+float64(k)*step < high; k++ {
			level := firstMM + float64(k)*step
			for i := range 3 {
				a, b := m.Vertices[p[i]], m.Vertices[p[(i+1)%3]]
				if (a.Z < level) == (b.Z < level) {
					continue
				}
				t := (level - a.Z) / (b.Z - a.Z)
				points[k] = append(points[k], r2.Vec{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)})
			}
		}
	}
	g := girths{heightMM: make([]float64, n+1), mm: make([]float64, n+1), shadowMM: make([]float64, n+1)}
	var shadow []r2.Vec
	for k := n; k >= 0; k-- {
		hull := mesh.Hull2(points[k])
		shadow = mesh.Hull2(append(shadow, hull...))
		g.heightMM[k], g.mm[k], g.shadowMM[k] = firstMM+float64(k)*step, perimeter(hull), perimeter(shadow)
	}
	return g
}

func perimeter(polygon []r2.Vec) float64 {
	sum := 0.0
	for i, p := range polygon {
		sum += r2.Norm(r2.Sub(polygon[(i+1)%len(polygon)], p))
	}
	return sum
}

// StretchToPass returns by how much an opening must stretch, as a share of its rim,
// to let something of a girth through that it does not hold; 0 where it is wide
// enough.
func StretchToPass(girthMM, rimMM float64) float64 { return max(0, girthMM/rimMM-1) }
