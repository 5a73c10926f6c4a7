package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/large"
)

const (
	// blockVoxels is the side of the blocks that share one exact winding number.
	blockVoxels = 4
	// clearOfHalf is how much more than a winding number drifts from block to block
	// it must be away from 1/2 to be trusted.
	clearOfHalf = 0.02
	// rimVoxels is how near to a rim winding numbers change too fast to be counted.
	rimVoxels = 1
)

func blocksOf(n int) int { return (n + blockVoxels - 1) / blockVoxels }

// openWork finds the winding numbers of a mesh with rims. From one voxel to the
// next a winding number changes by the turns between them, a whole number, and by
// the solid angle of the rims, smoothly. So it is summed over all faces at one
// voxel of each block and carried to the others by counting turns; where the
// drift seen between neighbouring blocks leaves the side in doubt, it is summed
// for each voxel.
type openWork struct {
	*build
	exact  func(p r3.Vec) float64
	counts [3][]int8 // turns along each axis before each voxel, modulo 256
	blocks [3]int
	middle []float32 // winding number at the middle of each block
}

// sidesOfOpen signs all voxels of a mesh with rims.
func (b *build) sidesOfOpen() error {
	w := &openWork{build: b, exact: mesh.NewTree(b.m).Winding}
	for axis, n := range b.f.N {
		w.blocks[axis] = blocksOf(n)
		w.counts[axis] = large.Make[int8](len(b.f.Distance))
	}
	w.middle = make([]float32, w.blocks[0]*w.blocks[1]*w.blocks[2])
	b.winding = large.Make[float32](len(b.f.Distance))
	for _, step := range []func() error{w.count, w.middles, w.carry} {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// count fills counts.
func (w *openWork) count() error {
	nx, ny, nz := w.f.N[0], w.f.N[1], w.f.N[2]
	fill := func(axis, line, n, first, stride int) {
		counts := w.counts[axis]
		eachWinding(w.lines[axis].of(line), n, func(winding int32, from, to int) {
			for i := from; i < to; i++ {
				counts[first+i*stride] = int8(winding)
			}
		})
	}
	return w.each(nz+ny, func(_, i int) {
		if i >= nz {
			y := i - nz
			for x := range nx {
				fill(2, w.f.lineZ(x, y), nz, y*nx+x, nx*ny)
			}
			return
		}
		for y := range ny {
			fill(0, w.f.lineX(y, i), nx, (i*ny+y)*nx, 1)
		}
		for x := range nx {
			fill(1, w.f.lineY(x, i), ny, i*ny*nx+x, nx)
		}
	})
}

// middleOf returns the voxel in the middle of a block.
func (w *openWork) middleOf(bx, by, bz int) (x, y, z int) {
	at := func(block, n int) int { return min(block*blockVoxels+blockVoxels/2, n-1) }
	return at(bx, w.f.N[0]), at(by, w.f.N[1]), at(bz, w.f.N[2])
}

func (w *openWork) at(x, y, z int) int { return (z*w.f.N[1]+y)*w.f.N[0] + x }

func (w *openWork) exactAt(x, y, z int) float32 {
	p := r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}
	return float32(w.exact(r3.Add(w.f.Origin, r3.Scale(w.f.VoxelMM, p))))
}

// middles fills middle.
func (w *openWork) middles() error {
	return w.each(w.blocks[2]*w.blocks[1], func(_, row int) {
		for bx := range w.blocks[0] {
			w.middle[row*w.blocks[0]+bx] = w.exactAt(w.middleOf(bx, row%w.blocks[1], row/w.blocks[1]))
		}
	})
}

// carry finds the winding numbers of all voxels, and signs them.
func (w *openWork) carry() error {
	return w.each(w.blocks[2]*w.blocks[1], func(_, row int) {
		for bx := range w.blocks[0] {
			w.carryBlock(bx, row%w.blocks[1], row/w.blocks[1])
		}
	})
}

func (w *openWork) carryBlock(bx, by, bz int) {
	mx, my, mz := w.middleOf(bx, by, bz)
	middle := w.middle[(bz*w.blocks[1]+by)*w.blocks[0]+bx]
	drift := w.drift(bx, by, bz)
	near := float32(0)
	if drift > clearOfHalf {
		near = rimVoxels
	}
	unit := float32(w.f.VoxelMM)
	for z := bz * blockVoxels; z < min((bz+1)*blockVoxels, w.f.N[2]); z++ {
		for y := by * blockVoxels; y < min((by+1)*blockVoxels, w.f.N[1]); y++ {
			for x := bx * blockVoxels; x < min((bx+1)*blockVoxels, w.f.N[0]); x++ {
				turns, sure := w.turns([3]int{mx, my, mz}, [3]int{x, y, z})
				value := middle + float32(turns)
				i := w.at(x, y, z)
				if !sure || w.f.Distance[i] < near || abs(abs(value)-0.5) <= drift+clearOfHalf {
					value = w.exactAt(x, y, z)
				}
				w.winding[i] = value
				if abs(value) >= 0.5 {
					w.f.Distance[i] *= -1
				}
				w.f.Distance[i] *= unit
			}
		}
	}
}

// drift returns how much the winding number changes, but for turns, from the
// middle of a block to those around it: the sum over the axes of the larger of
// two. Within the block it is about half of that.
func (w *openWork) drift(bx, by, bz int) float32 {
	sum := float32(0)
	here := [3]int{bx, by, bz}
	for axis := range here {
		most := float32(0)
		for _, step := range [2]int{-1, 1} {
			there := here
			if there[axis] += step; there[axis] < 0 || there[axis] >= w.blocks[axis] {
				continue
			}
			turns := w.counts[axis][w.at(w.middleOf(there[0], there[1], there[2]))] - w.counts[axis][w.at(w.middleOf(bx, by, bz))]
			most = max(most, abs(w.middleAt(there)-w.middleAt(here)-float32(turns)))
		}
		sum += most
	}
	return sum
}

func (w *openWork) middleAt(b [3]int) float32 {
	return w.middle[(b[2]*w.blocks[1]+b[1])*w.blocks[0]+b[0]]
}

// turns returns the turns from voxel p to voxel q of the same block, and whether
// two ways there agree, which they do not around a rim.
func (w *openWork) turns(p, q [3]int) (int8, bool) {
	c := &w.counts
	px, py, pz := p[0], p[1], p[2]
	qx, qy, qz := q[0], q[1], q[2]
	one := c[0][w.at(qx, py, pz)] - c[0][w.at(px, py, pz)] +
		c[1][w.at(qx, qy, pz)] - c[1][w.at(qx, py, pz)] +
		c[2][w.at(qx, qy, qz)] - c[2][w.at(qx, qy, pz)]
	other := c[2][w.at(px, py, qz)] - c[2][w.at(px, py, pz)] +
		c[1][w.at(px, qy, qz)] - c[1][w.at(px, py, qz)] +
		c[0][w.at(qx, qy, qz)] - c[0][w.at(px, qy, qz)]
	return one, one == other
}

// integrateOpen measures the volume of the voxels inside along the lines of each
// axis. A line changes side where it crosses the surface, or else, at a hole,
// where the winding number passes 1/2. There it is in doubt by half of the
// distance to the surface: a patch may rise that much from its rim.
func (b *build) integrateOpen() error {
	n := b.f.N
	stride := [3]int{1, n[0], n[0] * n[1]}
	var sums measured
	for axis := range 3 {
		u, v := (axis+1)%3, (axis+2)%3
		if axis == 1 {
			u, v = v, u
		}
		for j := range n[v] {
			for i := range n[u] {
				l := openLine{b: b, first: j*stride[v] + i*stride[u], stride: stride[axis]}
				l.measure(b.lines[axis].of(j*n[u]+i), n[axis])
				sums.add(axis, i, j, l.inside, l.points)
				sums.doubt[axis] += l.doubt
			}
		}
	}
	b.winding = nil
	b.f.volume, b.f.volumeError = sums.result(b.f.VoxelMM)
	return nil
}

// openLine is a line of voxels under measurement.
type openLine struct {
	b             *build
	first, stride int
	inside, doubt float64 // voxels
	points        float64 // of the grid inside
}

func (l *openLine) measure(crossings []crossing, n int) {
	k := 0
	for i := 1; i < n; i++ {
		from := k
		for k < len(crossings) && crossings[k].at <= float64(i) {
			k++
		}
		p, q := l.first+(i-1)*l.stride, l.first+i*l.stride
		was, is := l.b.f.Distance[p] < 0, l.b.f.Distance[q] < 0
		if is {
			l.points++
		}
		switch {
		case was && is:
			l.inside++
		case was != is:
			at := l.change(crossings[from:k], i-1, p, q)
			if is {
				at = 1 - at
			}
			l.inside += at
		}
	}
}

// change returns where between two voxels a line changes side, from 0 to 1.
func (l *openLine) change(crossings []crossing, i, p, q int) float64 {
	if len(crossings) > 0 {
		return min(1, max(0, crossings[len(crossings)/2].at-float64(i)))
	}
	f := l.b.f
	l.doubt += math.Abs(float64(f.Distance[p])) / f.VoxelMM / 2
	u, v := float64(abs(l.b.winding[p]))-0.5, float64(abs(l.b.winding[q]))-0.5
	if u == v {
		return 0.5
	}
	return min(1, max(0, u/(u-v)))
}
