package implicit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// safety is how many times the distance to its surface a field may be, with a
// little to spare.
const safety = 1.4

// Volume returns the volume of the solid within the box in mm³ by cubes that
// are halved down to the given side along the surface; there the part of a
// cube that is inside is taken from the distance at its middle. The error
// falls with the square of the side.
func Volume(solid Field, box r3.Box, side float64) float64 {
	size := r3.Sub(box.Max, box.Min)
	coarse := side
	for coarse < 8 {
		coarse *= 2
	}
	n := func(length float64) int { return int(math.Ceil(length / coarse)) }
	slabs := make([]float64, n(size.X))
	inParallel(len(slabs), func(i int) {
		for j := range n(size.Y) {
			for k := range n(size.Z) {
				low := r3.Add(box.Min, r3.Scale(coarse, V(float64(i), float64(j), float64(k))))
				slabs[i] += inside(solid, low, coarse, side)
			}
		}
	})
	var sum float64
	for _, slab := range slabs {
		sum += slab
	}
	return sum
}

// inside returns the volume of the solid in the cube with the lowest corner
// low.
func inside(solid Field, low r3.Vec, side, least float64) float64 {
	d := solid(r3.Add(low, r3.Scale(side/2, V(1, 1, 1))))
	cube := side * side * side
	switch reach := safety * side * math.Sqrt(3) / 2; {
	case d > reach:
		return 0
	case d < -reach:
		return cube
	case side <= least:
		return cube * clamp(0.5-d/side, 0, 1)
	}
	var sum float64
	for i := range 8 {
		step := V(float64(i&1), float64(i>>1&1), float64(i>>2))
		sum += inside(solid, r3.Add(low, r3.Scale(side/2, step)), side/2, least)
	}
	return sum
}
