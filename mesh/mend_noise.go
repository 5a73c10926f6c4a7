package mesh

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// noiseSigmas is how many standard deviations the bound on the volume is.
	noiseSigmas = 2.5
	// leastNoisy is how many corners it takes to tell noise from shape.
	leastNoisy = 500
)

// Noise estimates the scatter of the corners along each axis, as a standard
// deviation in mm, and bounds in mm³ what it does to the volume. How far corners
// are from the mean of their neighbours, along the surface's normal, is the bend
// there: partly the shape's. From place to place a smooth shape bends alike, so each
// bend is held against the mean of its neighbours'. Along an edge, a groove or a ring
// of long facets a shape bends alike too, but not across, while noise has no such
// direction: so each bend is held against those of the two neighbours that come
// nearest as well. The medians over all corners pass over places where neither
// holds, and the lower of the two tells. What pure noise gives follows from
// which corners are neighbours: it is tried, with deviates of standard deviation 1.
// The volume is linear in each corner, with a
// third of the vector area of its faces as the slope, so noise that is independent
// from corner to corner adds up as the root of squares. A mesh of few corners tells
// nothing of noise: zeros.
func (s *Solid) Noise() (sigmaMM, volumeMM3 float64) {
	if len(s.Vertices) < leastNoisy {
		return 0, 0
	}
	around, slope := s.Neighbours(), s.vectorAreas()
	scan := around.unrest(func(v int, near []int32) float64 {
		var mean r3.Vec
		for _, u := range near {
			mean = r3.Add(mean, s.Vertices[u])
		}
		return r3.Dot(unit(slope[v]), r3.Sub(r3.Scale(1/float64(len(near)), mean), s.Vertices[v]))
	})
	deviates, rng := make([]float64, len(s.Vertices)), rand.New(rand.NewPCG(1, 1))
	for v := range deviates {
		deviates[v] = rng.NormFloat64()
	}
	pure := around.unrest(func(v int, near []int32) float64 {
		mean := 0.0
		for _, u := range near {
			mean += deviates[u]
		}
		return mean/float64(len(near)) - deviates[v]
	})
	if pure[0] > 0 && pure[1] > 0 {
		sigmaMM = min(scan[0]/pure[0], scan[1]/pure[1])
	}
	squares := 0.0
	for _, a := range slope {
		squares += r3.Dot(a, a)
	}
	return sigmaMM, noiseSigmas * sigmaMM * math.Sqrt(squares) / 3
}

// unrest tells how far bends are from the mean of the neighbours', and from those of
// the neighbours that come nearest: the medians over all corners. bendAt gives the
// bend of a corner with neighbours.
func (a Adjacency) unrest(bendAt func(v int, near []int32) float64) [2]float64 {
	bend := make([]float64, len(a.Start)-1)
	inParts(len(bend), func(_, lo, hi int) {
		for v := lo; v < hi; v++ {
			if near := a.Of(v); len(near) > 0 {
				bend[v] = bendAt(v, near)
			}
		}
	})
	mean, second := make([]float64, len(bend)), make([]float64, len(bend))
	inParts(len(bend), func(_, lo, hi int) {
		for v := lo; v < hi; v++ {
			mean[v], second[v] = apart(bend, a.Of(v), bend[v])
		}
	})
	slices.Sort(mean)
	slices.Sort(second)
	return [2]float64{mean[len(mean)/2], second[len(second)/2]}
}

// apart returns how far own is from the mean of the bends at near, and from the
// second nearest of them; zeros when there are fewer than two.
func apart(bend []float64, near []int32, own float64) (mean, second float64) {
	if len(near) < 2 {
		return 0, 0
	}
	first := math.Inf(1)
	second = first
	for _, u := range near {
		d := math.Abs(bend[u] - own)
		first, second = min(first, d), min(second, max(first, d))
		mean += (bend[u] - own) / float64(len(near))
	}
	return math.Abs(mean), second
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
