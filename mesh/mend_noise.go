package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// noiseSpread turns the median of absolute values into the standard deviation
	// of a normal distribution: 1/Φ⁻¹(3/4).
	noiseSpread = 1.4826
	// noiseSigmas is how many standard deviations the bound on the volume is.
	noiseSigmas = 2.5
	// leastNoisy is how many corners it takes to tell noise from shape.
	leastNoisy = 500
)

// Noise estimates the scatter of the corners along each axis, as a standard
// deviation in mm, and bounds in mm³ what it does to the volume. How far corners
// are from the mean of their neighbours, along the surface's normal, is partly
// the shape's curvature; from place to place curvature changes little, so each
// such distance is held against the mean of its neighbours'. The median over all
// corners then passes over edges and carving. The volume is linear in each
// corner, with a third of the vector area of its faces as the slope, so noise
// that is independent from corner to corner adds up as the root of squares. A mesh
// of few corners tells nothing of noise: zeros.
func (s *Solid) Noise() (sigmaMM, volumeMM3 float64) {
	if len(s.Vertices) < leastNoisy {
		return 0, 0
	}
	around := s.Neighbours()
	slope := s.vectorAreas()
	bend := make([]float64, len(s.Vertices))
	inParts(len(bend), func(_, lo, hi int) {
		for v := lo; v < hi; v++ {
			var mean r3.Vec
			near := around.Of(v)
			for _, u := range near {
				mean = r3.Add(mean, s.Vertices[u])
			}
			bend[v] = r3.Dot(unit(slope[v]), r3.Sub(r3.Scale(1/float64(max(1, len(near))), mean), s.Vertices[v]))
		}
	})
	change := make([]float64, len(bend))
	inParts(len(bend), func(_, lo, hi int) {
		for v := lo; v < hi; v++ {
			change[v] = changeAround(bend, around, int32(v))
		}
	})
	slices.Sort(change)
	sigmaMM = noiseSpread * change[len(change)/2]
	squares := 0.0
	for _, a := range slope {
		squares += r3.Dot(a, a)
	}
	return sigmaMM, noiseSigmas * sigmaMM * math.Sqrt(squares) / 3
}

// vectorAreas returns for each vertex the sum of its faces' areas along their
// normals.
func (m *Mesh) vectorAreas() []r3.Vec {
	sums := make([]r3.Vec, len(m.Vertices))
	for f, t := range m.Faces {
		n := r3.Scale(0.5, m.DoubleAreaNormal(f))
		for _, v := range t {
			sums[v] = r3.Add(sums[v], n)
		}
	}
	return sums
}

// changeAround returns how far the bend at v is from the mean of its
// neighbours', in units of what corners with a scatter of 1 have there. With d
// neighbours, bend = mean − v counts v by −1 and a neighbour by 1/d; the mean of
// the neighbours' bends counts v by 1/d and a neighbour, whose neighbours are v,
// two of v's and d−3 others, by −1/d + 2/d²; the others take what is left.
func changeAround(bend []float64, around Adjacency, v int32) float64 {
	near := around.Of(int(v))
	d := float64(len(near))
	if d == 0 {
		return 0
	}
	mean := 0.0
	for _, u := range near {
		mean += bend[u]
	}
	own, next := 1+1/d, 2/d-2/(d*d)
	others := (d - 3) / d // of weight, on about 2d corners, each for one or two
	variance := own*own + d*next*next + max(0, others)*max(0, others)/(2*d)*1.2
	return math.Abs(bend[v]-mean/d) / math.Sqrt(variance)
}
