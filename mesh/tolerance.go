package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// coordinateRounding is the largest relative error of a coordinate rounded to
// float32, as STL stores it: half of the spacing 2⁻²³ of its 24-bit mantissa
// (IEEE 754-2019, binary32).
const coordinateRounding = 1.0 / (1 << 24)

// coordinateTolerance returns how far, in mm, rounding to float32 may move a
// coordinate of a mesh with these bounds: the coordinate farthest from zero
// decides, so the same part far from the origin is known less well.
func coordinateTolerance(b r3.Box) float64 {
	return coordinateRounding * math.Max(farthest(b.Min), farthest(b.Max))
}

func farthest(v r3.Vec) float64 {
	return math.Max(math.Abs(v.X), math.Max(math.Abs(v.Y), math.Abs(v.Z)))
}

// needleHeight returns the height in mm under which a face's normal is noise:
// rounding moves each of the two ends of the height by up to the coordinate
// tolerance, √3 of it when all three axes conspire.
func needleHeight(b r3.Box) float64 {
	return 2 * math.Sqrt(3) * coordinateTolerance(b)
}

// flatVolume returns the volume in mm³ that rounding alone can give a surface
// of this area: every point moved outward by √3 coordinate tolerances.
func flatVolume(b r3.Box, area float64) float64 {
	return math.Sqrt(3) * coordinateTolerance(b) * area
}
