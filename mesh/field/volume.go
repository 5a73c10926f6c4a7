package field

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Volume returns the volume inside, mm³, and how far it may be off. For a closed
// mesh that nowhere overlaps itself it is that of the mesh, to rounding. At holes
// the error assumes patches that rise from the rim at no more than half of their
// distance from it; faces wound at random may be off by more.
func (f *Field) Volume() (mm3, errorMM3 float64) { return f.volume, f.volumeError }

// integrate measures the volume of a closed mesh. The sum over its faces, exact,
// counts space as often as the surface winds around it; the lines of each axis
// give what that is off where it is more than once: exact along a line, by the
// midpoint rule across them.
func (b *build) integrate() error {
	if !b.closed {
		return b.integrateOpen()
	}
	signed, err := b.signedVolume()
	if err != nil {
		return err
	}
	sign := int32(1)
	if signed < 0 {
		sign = -1
	}
	n := b.f.N
	var sums measured
	for axis, nu := range [3]int{n[1], n[0], n[0]} {
		l := &b.lines[axis]
		for i := range len(l.start) - 1 {
			length, points := repeated(l.of(i), sign)
			sums.add(axis, i%nu, i/nu, length, points)
		}
	}
	mm3, errorMM3 := sums.result(b.f.VoxelMM)
	b.f.volume, b.f.volumeError = math.Abs(signed)+mm3, errorMM3+rounding*math.Abs(signed)
	return nil
}

// rounding is the relative error of the sum over the faces, with room to spare.
const rounding = 1e-9

// measured is a volume measured along the lines of three axes, in voxels.
type measured struct {
	quarter [3][4]float64 // by axis, and by whether the line's numbers are odd
	doubt   [3]float64
	points  float64 // corners of the grid inside, counted once for each axis
	lines   int     // that are partly inside
}

func (m *measured) add(axis, u, v int, length, points float64) {
	m.quarter[axis][v&1<<1|u&1] += length
	m.points += points
	if length != 0 {
		m.lines++
	}
}

// result returns the mean of the axes. It is off by about as much as they are apart,
// or than the quarters of the lines of an axis, a grid of twice the voxel each,
// are from all of them. Faces along the axes hide from both: the lines of each axis
// are exact across the faces they meet, and round to the grid at those they run
// along. What an axis corrects of the number of points inside is just what the
// two others leave out, so that the mean of the three is off by twice its distance
// from that number, and somewhat more where the part is few voxels thick: where that
// is more than chance explains, three standard deviations of the sum when each end
// of a line is anywhere within a step (the square of one's is the step's over 12). The
// volume is no surer than two of them.
func (m *measured) result(voxel float64) (mm3, errorMM3 float64) {
	var byAxis [3]float64
	apart := 0.0
	for axis, q := range m.quarter {
		byAxis[axis] = q[0] + q[1] + q[2] + q[3]
		for _, part := range q {
			apart = max(apart, math.Abs(4*part-byAxis[axis])/2)
		}
	}
	mean := (byAxis[0] + byAxis[1] + byAxis[2]) / 3
	chance := math.Sqrt(float64(m.lines)/6) / 3
	apart = max(apart, 1.5*(slices.Max(byAxis[:])-slices.Min(byAxis[:])), 2*chance)
	if off := math.Abs(mean - m.points/3); off > 3*chance {
		apart = max(apart, 2.5*off)
	}
	// The lines of an axis meet a patch as its area is seen along the axis.
	doubt := math.Hypot(math.Hypot(m.doubt[0], m.doubt[1]), m.doubt[2])
	unit := voxel * voxel * voxel
	return unit * mean, unit * (apart + doubt)
}

// repeated returns how much more of a line is inside than the winding number
// counts, voxels, and how many points of the grid are there.
func repeated(crossings []crossing, sign int32) (length, points float64) {
	winding := int32(0)
	for i := range crossings {
		if winding != 0 && winding != sign {
			more, from, to := float64(1-winding*sign), crossings[i-1].at, crossings[i].at
			length += more * (to - from)
			points += more * (math.Floor(to) - math.Floor(from))
		}
		winding -= crossings[i].turn
	}
	return length, points
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
