package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Volume returns the volume inside, mm³, and how far it may be off.
func (f *Field) Volume() (mm3, errorMM3 float64) { return f.volume, f.volumeError }

// integrate measures the volume of a closed mesh. The sum over its faces, exact,
// counts space as often as the surface winds around it; the lines of each axis
// give what that is off where it is more than once: exact along a line, by the
// midpoint rule across them.
func (b *build) integrate() error {
	signed, err := b.signedVolume()
	if err != nil {
		return err
	}
	voxel := math.Pow(b.f.VoxelMM, 3)
	sign := int32(1)
	if signed < 0 {
		sign = -1
	}
	n := b.f.N
	var sums [3]float64
	worst := 0.0
	for axis, nu := range [3]int{n[1], n[0], n[0]} {
		var quarter [4]float64
		l := &b.lines[axis]
		for i := range len(l.start) - 1 {
			u, v := i%nu, i/nu
			quarter[v&1*2+u&1] += repeated(l.of(i), sign)
		}
		sums[axis] = quarter[0] + quarter[1] + quarter[2] + quarter[3]
		for _, q := range quarter {
			worst = max(worst, math.Abs(4*q-sums[axis]))
		}
	}
	b.f.volume = math.Abs(signed) + voxel*(sums[0]+sums[1]+sums[2])/3
	spread := max(sums[0], sums[1], sums[2]) - min(sums[0], sums[1], sums[2])
	b.f.volumeError = voxel * max(spread, worst/2)
	return nil
}

// repeated returns how much more of a line is inside than the winding number
// counts, voxels.
func repeated(crossings []crossing, sign int32) float64 {
	sum, winding := 0.0, int32(0)
	for i := range crossings {
		if winding != 0 && winding != sign {
			sum += float64(1-winding*sign) * (crossings[i].at - crossings[i-1].at)
		}
		winding -= crossings[i].turn
	}
	return sum
}

// signedVolume is the sum of the tetrahedra between the faces and the middle of
// the grid, mm³.
func (b *build) signedVolume() (float64, error) {
	n := len(b.m.Faces)
	sums := make([]float64, chunksOf(n))
	half := r3.Scale(b.f.VoxelMM/2, r3.Vec{X: float64(b.f.N[0] - 1), Y: float64(b.f.N[1] - 1), Z: float64(b.f.N[2] - 1)})
	center := r3.Add(b.f.Origin, half)
	err := b.each(len(sums), func(_, c int) {
		for f := c * chunk; f < min(n, (c+1)*chunk); f++ {
			a, p, q := b.m.Corners(f)
			sums[c] += r3.Dot(r3.Sub(a, center), r3.Cross(r3.Sub(p, a), r3.Sub(q, a)))
		}
	})
	total := 0.0
	for _, s := range sums {
		total += s / 6
	}
	return total, err
}
