package analysis

import (
	"math"

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

// spaceVoxelMM is the side of a voxel with spaceVoxels of them in the pattern's
// bounds.
func (j *job) spaceVoxelMM() float64 {
	b := j.solid.Bounds()
	return math.Cbrt((b.Max.X - b.Min.X) * (b.Max.Y - b.Min.Y) * (b.Max.Z - b.Min.Z) / spaceVoxels)
}
