package detail

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
)

// Scan noise, standard deviation σ, turns faces of edge h by about σ/h against the
// mean of their corners' directions, and leaves a residual of about 0.9 σ over the
// spacing of samples, nearly whatever h is up to that spacing. So the residual to
// expect is turnShare × turn × h / spacing: fitted to four shapes of 20 000 to
// 200 000 faces with noise of 0.025 and 0.05 mm, within a fifth.
const turnShare = 0.65

// plainest is the share of the surface that is taken to be plain when the residual
// there, with aboveIt to reach its middle, is less than expected: curved surface
// turns coarse faces too.
const (
	plainest = 0.25
	aboveIt  = 1.15
)

// mostNoise is the largest residual that is put down to noise: that of 0.06 mm at
// the default radius. Beyond it noise cannot be told from carving all over.
const mostNoise = 0.085

// noise returns the residual that scan noise leaves, given those of all vertices:
// as much as the turns of the faces explain, of which the median keeps out detail
// on less than half of them, and no more than the plainest vertices have.
func (s *surface) noise(radius float64, residuals []float32) float64 {
	turned := quantile(len(s.Faces), 0.5, func(f int) float64 { return s.turn(f) / radius })
	found := quantile(len(residuals), plainest, func(v int) float64 { return float64(residuals[v]) })
	return min(mostNoise, turnShare*samplesPerRadius*turned, aboveIt*found)
}

// turn is how far a face is turned against the mean of its corners' directions
// (the chord), times its edge in mm.
func (s *surface) turn(f int) float64 {
	t := s.Faces[f]
	mean := unit(r3.Add(s.normal[t[0]], r3.Add(s.normal[t[1]], s.normal[t[2]])))
	size := long(s.double[f])
	if size == 0 {
		return 0
	}
	return long(r3.Sub(r3.Scale(1/size, s.double[f]), mean)) * math.Sqrt(size)
}

// quantile is that of n numbers between 0 and 1, to a thousandth and better: each
// bin of a histogram is taken to be evenly filled. Its order does not matter.
func quantile(n int, share float64, number func(i int) float64) float64 {
	const bins = 1024
	var all [bins]int
	var lock sync.Mutex
	eachPart(n, func(lo, hi int) {
		var count [bins]int
		for i := lo; i < hi; i++ {
			count[max(0, min(int(number(i)*bins), bins-1))]++
		}
		lock.Lock()
		defer lock.Unlock()
		for i, k := range count {
			all[i] += k
		}
	})
	left, i := share*float64(n), 0
	for left > float64(all[i]) && i < bins-1 {
		left -= float64(all[i])
		i++
	}
	return (float64(i) + left/float64(max(all[i], 1))) / bins
}
