package moldbox

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/field"
)

// Thicknesses of a brushed or poured skin of rubber in a rigid jacket, mm
// (workshop pages: common practice, no source).
var BlanketMM = [3]float64{6, 10, 13}

// From this much rubber on, or from this many times that of a skin 10 mm thick,
// a jacketed skin is worth its work (common practice, no source).
const (
	JacketFromG     = 5000
	JacketFromTimes = 3
)

// Blanket returns the volume of a skin of each thickness around a pattern, from
// its field: what is outside it, no farther than that, and above the board, which
// is the plane up·p = board in the frame of the field. The field must reach so far.
func Blanket(f *field.Field, up r3.Vec, board float64, thicknessMM [3]float64) (mm3 [3]float64) {
	h := f.VoxelMM
	for k := range f.N[2] {
		for j := range f.N[1] {
			for i := range f.N[0] {
				p := r3.Vec{X: f.Origin.X + float64(i)*h, Y: f.Origin.Y + float64(j)*h, Z: f.Origin.Z + float64(k)*h}
				d := float64(f.Distance[(k*f.N[1]+j)*f.N[0]+i])
				over := partOf(r3.Dot(up, p)-board, h)
				outside := partOf(d, h)
				if over == 0 || outside == 0 {
					continue
				}
				for t, mm := range thicknessMM {
					mm3[t] += over * max(0, outside-partOf(d-mm, h)) * h * h * h
				}
			}
		}
	}
	return mm3
}

// partOf is the part of a voxel beyond a surface that is d before its middle, as
// of a plane across it.
func partOf(d, voxel float64) float64 { return min(1, max(0, 0.5+d/voxel)) }
