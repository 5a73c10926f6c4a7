package rod

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// blocks are cubes of 2^level voxels a side, with how deep the deepest voxel of
// each is, mm.
type blocks struct {
	n    [3]int
	deep []float32
	side float64 // mm
	zero r3.Vec  // middle of block (0, 0, 0)
}

// pyramid returns the blocks of all levels: the voxels themselves, and twice as
// large ones until a single block is left.
func (r *room) pyramid() []blocks {
	f := r.in.Field
	voxels := blocks{n: f.N, deep: make([]float32, len(f.Distance)), side: f.VoxelMM, zero: f.Origin}
	for i, d := range f.Distance {
		voxels.deep[i] = -d
	}
	all := []blocks{voxels}
	for last := voxels; max(last.n[0], last.n[1], last.n[2]) > 1; {
		last = last.coarser()
		all = append(all, last)
	}
	return all
}

func (b blocks) coarser() blocks {
	c := blocks{side: 2 * b.side, zero: r3.Add(b.zero, r3.Scale(b.side/2, r3.Vec{X: 1, Y: 1, Z: 1}))}
	for i, n := range b.n {
		c.n[i] = (n + 1) / 2
	}
	c.deep = make([]float32, c.n[0]*c.n[1]*c.n[2])
	for i := range c.deep {
		c.deep[i] = float32(math.Inf(-1))
	}
	i := 0
	for z := range b.n[2] {
		for y := range b.n[1] {
			row := ((z/2)*c.n[1] + y/2) * c.n[0]
			for x := range b.n[0] {
				c.deep[row+x/2] = max(c.deep[row+x/2], b.deep[i])
				i++
			}
		}
	}
	return c
}

func (b blocks) middle(i int32) r3.Vec {
	x, y, z := b.place(i)
	return r3.Add(b.zero, r3.Scale(b.side, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}))
}

func (b blocks) place(i int32) (x, y, z int) {
	rest := int(i) / b.n[0]
	return int(i) % b.n[0], rest % b.n[1], rest / b.n[1]
}

// corner is how far the corners of a block are from its middle, mm.
func (b blocks) corner() float64 { return math.Sqrt(3) / 2 * b.side }

// deeper lists the blocks that hold a voxel at least that deep, in order.
func (b blocks) deeper(need float64) []int32 {
	var all []int32
	for i, d := range b.deep {
		if float64(d) >= need {
			all = append(all, int32(i))
		}
	}
	return all
}

// within appends those of the blocks inside block i of the next coarser level
// that hold a voxel at least that deep.
func (b blocks) within(c blocks, i int32, need float64, into []int32) []int32 {
	cx, cy, cz := c.place(i)
	for z := 2 * cz; z < min(2*cz+2, b.n[2]); z++ {
		for y := 2 * cy; y < min(2*cy+2, b.n[1]); y++ {
			for x := 2 * cx; x < min(2*cx+2, b.n[0]); x++ {
				at := (z*b.n[1]+y)*b.n[0] + x
				if float64(b.deep[at]) >= need {
					into = append(into, int32(at))
				}
			}
		}
	}
	return into
}
