package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// chooseView returns the direction to look from. All views are from the front
// and above, as the job sheet names the walls; among them the one is taken in
// which the parting plane is neither edge-on nor face-on and the pattern hides
// least of the vents.
func (s *scene) chooseView() camera {
	high := s.block.Max.Z / math.Max(s.block.Max.X-s.block.Min.X, s.block.Max.Y-s.block.Min.Y)
	elevation := 32 - 12*min(max((high-0.3)/1.2, 0), 1)
	var best camera
	most := math.Inf(-1)
	for turn := 25.0; turn <= 55; turn += 5 {
		for _, side := range []float64{1, -1} {
			c := lookFrom(side*turn, elevation)
			score := 1.2*s.planeShown(c) + s.ventsShown(c) - 0.008*math.Abs(turn-35)
			if score > most+1e-9 {
				best, most = c, score
			}
		}
	}
	return best
}

// planeShown is 1 when the parting plane is at a good slant to the view, 0
// when it is edge-on.
func (s *scene) planeShown(c camera) float64 {
	if !s.hasCut {
		return 1
	}
	face := math.Abs(r3.Dot(s.cut.n, c.toward))
	const least, most = 0.5, 0.8
	return 1 - math.Max(0, least-face)/least - math.Max(0, face-most)
}

// ventsShown is the share of the vents' length that the pattern does not hide.
func (s *scene) ventsShown(c camera) float64 {
	if len(s.vents) == 0 {
		return 1
	}
	rough := s.roughDepth(c)
	const places = 8
	var seen int
	for _, v := range s.vents {
		for i := range places {
			if p := along(v.foot, v.top, (float64(i)+0.5)/places); c.depth(p) < rough.at(c.at(p)) {
				seen++
			}
		}
	}
	return float64(seen) / float64(places*len(s.vents))
}

// rough is a small picture of how near the pattern is.
type rough struct {
	low  point
	cell float64
	n    int
	near []float64
}

// roughDepth stamps a spread of the pattern's vertices.
func (s *scene) roughDepth(c camera) *rough {
	const cells, most = 96, 20_000
	mid := c.at(r3.Scale(0.5, r3.Add(s.block.Min, s.block.Max)))
	r := &rough{low: point{mid.X - s.size/2, mid.Y - s.size/2}, cell: s.size / cells, n: cells}
	r.near = make([]float64, cells*cells)
	for i := range r.near {
		r.near[i] = math.Inf(1)
	}
	step := 1 + len(s.part.Vertices)/most
	for i := 0; i < len(s.part.Vertices); i += step {
		p := s.part.Vertices[i]
		if at := r.index(c.at(p)); at >= 0 {
			r.near[at] = math.Min(r.near[at], c.depth(p))
		}
	}
	return r
}

func (r *rough) index(p point) int {
	x, y := int((p.X-r.low.X)/r.cell), int((p.Y-r.low.Y)/r.cell)
	if x < 0 || y < 0 || x >= r.n || y >= r.n {
		return -1
	}
	return y*r.n + x
}

// at is the least depth in the cell of p and those around it.
func (r *rough) at(p point) float64 {
	near := math.Inf(1)
	for _, step := range []point{{0, 0}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		if i := r.index(p.plus(step.times(r.cell))); i >= 0 {
			near = math.Min(near, r.near[i])
		}
	}
	return near
}
