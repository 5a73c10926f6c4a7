package analysis

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/field"
)

// spaceVoxels is about how many voxels the field of a pattern has: fine enough
// for necks of a tenth of the pattern, and quick beside the other questions.
const spaceVoxels = 900_000

// space returns the field of the pattern in the scan frame. It is made once and
// shared by all questions.
func (j *job) space() (*field.Field, error) {
	if j.field != nil {
		return j.field, nil
	}
	f, err := field.New(j.ctx, j.solid.Mesh, field.Choice{VoxelMM: j.spaceVoxelMM()},
		func(done, total int64) { j.tell.Tell("measuring how thick the part is", done, total) })
	if err != nil {
		return nil, err
	}
	j.field = f
	return f, nil
}

// withinDepth returns the volume of a part of known volume within a depth of its
// surface, mm and mm³. A voxel counts by how much of it lies as deep, as if the
// surface passed through it along an axis.
func withinDepth(f *field.Field, partMM3 float64) func(depthMM float64) float64 {
	deeper := func(mm float64) (voxels float64) {
		for _, d := range f.Distance {
			voxels += min(1, max(0, 0.5-(float64(d)+mm)/f.VoxelMM))
		}
		return voxels
	}
	inside := deeper(0)
	return func(depthMM float64) float64 { return partMM3 * (1 - deeper(depthMM)/inside) }
}

// spaceVoxelMM is the side of a voxel with spaceVoxels of them in the pattern's
// bounds and the margin around them.
func (j *job) spaceVoxelMM() float64 {
	b := j.solid.Bounds()
	size := r3.Sub(b.Max, b.Min)
	const margin = 4
	h := max(math.Cbrt(size.X*size.Y*size.Z/spaceVoxels), max(size.X, size.Y, size.Z)/spaceVoxels)
	for (size.X/h+margin)*(size.Y/h+margin)*(size.Z/h+margin) > spaceVoxels {
		h *= 1.01
	}
	return h
}
