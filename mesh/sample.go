package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// sampleOf returns the numbers of n of many items, spread over all of them.
func sampleOf(items, n int) []int32 {
	sample := make([]int32, n)
	step := items / n
	for i := range sample {
		sample[i] = int32(i*step + i*7919%step) // out of step with the rows of a grid
	}
	return sample
}

// extremes returns those of some points that are farthest along the axes and
// diagonals of a cube, each once.
func extremes(points []r3.Vec, some []int32) []int32 {
	at := make([]int32, len(turnAxes))
	value := make([]float64, len(turnAxes))
	for k := range value {
		at[k], value[k] = some[0], math.Inf(-1)
	}
	for _, i := range some {
		p := &points[i]
		for k := range turnAxes {
			d := &turnAxes[k]
			if s := p.X*d.X + p.Y*d.Y + p.Z*d.Z; s > value[k] {
				at[k], value[k] = i, s
			}
		}
	}
	var found []int32
	for _, i := range at {
		if !slices.Contains(found, i) {
			found = append(found, i)
		}
	}
	return found
}
