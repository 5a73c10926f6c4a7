package field

import (
	"math"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"
)

// sides gives the distances their sign, and their unit.
func (b *build) sides() error {
	if b.closed {
		return b.each(b.f.N[2], func(_, z int) { b.sidesOfPlane(z) })
	}
	return b.sidesOfOpen()
}

// sidesOfPlane signs plane z of a closed mesh: the winding number of a voxel is
// the sum of turns on its line along x.
func (b *build) sidesOfPlane(z int) {
	nx, ny := b.f.N[0], b.f.N[1]
	unit := float32(b.f.VoxelMM)
	for y := range ny {
		row := b.f.Distance[(z*ny+y)*nx:][:nx]
		eachWinding(b.lines[0].of(b.f.lineX(y, z)), nx, func(winding int32, from, to int) {
			scale := unit
			if winding != 0 {
				scale = -unit
			}
			for x := from; x < to; x++ {
				row[x] *= scale
			}
		})
	}
}

// eachWinding visits the stretches of voxels between the crossings of a line,
// with how often the surface winds around them as counted from the line's start.
func eachWinding(crossings []crossing, n int, visit func(winding int32, from, to int)) {
	winding, from := int32(0), 0
	for i := range crossings {
		to := min(n, max(from, ceil(max(0, crossings[i].at))))
		if to > from {
			visit(winding, from, to)
			from = to
		}
		winding -= crossings[i].turn
	}
	if from < n {
		visit(winding, from, n)
	}
}

// sidesOfOpen signs all voxels of a mesh with rims.
func (b *build) sidesOfOpen() error {
	nx, ny, nz := b.f.N[0], b.f.N[1], b.f.N[2]
	votes := make([]int8, len(b.f.Distance))
	vote := func(crossings []crossing, n, first, stride int) {
		total := int32(0)
		for i := range crossings {
			total -= crossings[i].turn
		}
		eachWinding(crossings, n, func(winding int32, from, to int) {
			add := int8(0)
			if winding != 0 {
				add++
			}
			if winding != total {
				add++
			}
			for i := from; i < to; i++ {
				votes[first+i*stride] += add
			}
		})
	}
	if err := b.each(nz, func(_, z int) {
		for y := range ny {
			vote(b.lines[0].of(b.f.lineX(y, z)), nx, (z*ny+y)*nx, 1)
		}
		for x := range nx {
			vote(b.lines[1].of(b.f.lineY(x, z)), ny, z*ny*nx+x, nx)
		}
	}); err != nil {
		return err
	}
	if err := b.each(ny, func(_, y int) {
		for x := range nx {
			vote(b.lines[2].of(b.f.lineZ(x, y)), nz, y*nx+x, nx*ny)
		}
	}); err != nil {
		return err
	}
	var only atomic.Int64
	err := b.each(nz, func(_, z int) {
		i := z * nx * ny
		for y := range ny {
			for x := range nx {
				inside := votes[i] == 6
				if !inside && votes[i] > 0 {
					only.Add(1)
					inside = math.Abs(b.winding(x, y, z)) >= 0.5
				}
				if inside {
					b.f.Distance[i] *= -1
				}
				b.f.Distance[i] *= float32(b.f.VoxelMM)
				i++
			}
		}
	})
	b.only = int(only.Load())
	return err
}

func (b *build) winding(x, y, z int) float64 {
	p := r3.Add(b.f.Origin, r3.Scale(b.f.VoxelMM, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}))
	sum := 0.0
	for f := range b.m.Faces {
		a, q, c := b.m.Corners(f)
		a, q, c = r3.Sub(a, p), r3.Sub(q, p), r3.Sub(c, p)
		la, lb, lc := r3.Norm(a), r3.Norm(q), r3.Norm(c)
		sum += math.Atan2(r3.Dot(a, r3.Cross(q, c)), la*lb*lc+r3.Dot(a, q)*lc+r3.Dot(q, c)*la+r3.Dot(c, a)*lb)
	}
	return sum / (2 * math.Pi)
}
