package cut

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// find returns the links of each half that count counts, the widest first, and where
// each is narrowest.
func (l *linking) find(s *Sheet) []Link {
	var all []Link
	for side, n := range l.count(s) {
		if n > 0 {
			all = append(all, l.narrowest(s, side, n)...)
		}
	}
	return all
}

// narrowest puts the rubber of a half together from voxels, those farthest from the
// pattern first, and tells at which the links close for good. Of several ways that one
// may close it takes the widest. Voxels at the edge of the field are far from all.
func (l *linking) narrowest(s *Sheet, side, n int) []Link {
	back := l.space.Pose.Inverse()
	g := rubberGrid{n: l.pattern.N}
	g.distance = make([]float32, len(l.pattern.Distance))
	for i, d := range l.pattern.Distance {
		g.distance[i] = d
		if g.outermost(i) {
			g.distance[i] = float32(math.Inf(1))
		}
	}
	centre := func(i int32) r3.Vec {
		x, y, z := g.voxel(int(i))
		return back.Point(r3.Add(l.pattern.Origin, r3.Scale(l.pattern.VoxelMM, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)})))
	}
	var order []int32
	for i, d := range g.distance {
		if d > 0 && (s.Height(centre(int32(i))) >= 0) == (side == 1) {
			order = append(order, int32(i))
		}
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(g.distance[b], g.distance[a]) })
	loops := g.build(order)
	var all []Link
	least := math.MaxInt
	for k := len(order) - 1; k >= 0; k-- {
		least = min(least, loops[k])
		before := 0
		if k > 0 {
			before = min(least, loops[k-1])
		}
		for range least - before {
			mm := float64(g.distance[order[k]]) + thickerVoxels*l.pattern.VoxelMM
			all = append(all, Link{Side: side, At: centre(order[k]), WidthMM: 2 * mm})
		}
	}
	slices.Reverse(all)
	return all[:min(n, len(all))]
}

// rubberGrid is the voxels of a field.
type rubberGrid struct {
	n        [3]int
	distance []float32
}

func (g *rubberGrid) voxel(i int) (x, y, z int) {
	return i % g.n[0], i / g.n[0] % g.n[1], i / (g.n[0] * g.n[1])
}

func (g *rubberGrid) outermost(i int) bool {
	x, y, z := g.voxel(i)
	return x == 0 || y == 0 || z == 0 || x == g.n[0]-1 || y == g.n[1]-1 || z == g.n[2]-1
}

// build adds voxels in an order and returns the number of loops after each: pieces less
// the Euler characteristic of voxels, faces between them, squares of four and blocks of
// eight. Cavities are left out: there are none where the sheet cuts the pattern.
func (g *rubberGrid) build(order []int32) []int {
	loops := make([]int, len(order))
	in := make([]bool, len(g.distance))
	roots := newRoots(len(g.distance))
	pieces, euler := 0, 0
	for k, i := range order {
		in[i] = true
		near := g.near(int(i), in)
		pieces++
		for _, d := range faceSteps {
			if near[13+d] && roots.join(i, i+int32(g.step(d))) {
				pieces--
			}
		}
		euler += star(&near)
		loops[k] = pieces - euler
	}
	return loops
}

// Places in a block of 27 voxels, counted from the middle one.
var faceSteps = [6]int{-1, 1, -3, 3, -9, 9}

// step turns a step in the block into one in the grid.
func (g *rubberGrid) step(d int) int {
	d += 13
	return d%3 - 1 + (d/3%3-1)*g.n[0] + (d/9-1)*g.n[0]*g.n[1]
}

// near tells which of the voxels round one are in.
func (g *rubberGrid) near(i int, in []bool) (near [27]bool) {
	x, y, z := g.voxel(i)
	for k := range near {
		u, v, w := x+k%3-1, y+k/3%3-1, z+k/9-1
		near[k] = u >= 0 && v >= 0 && w >= 0 && u < g.n[0] && v < g.n[1] && w < g.n[2] && in[(w*g.n[1]+v)*g.n[0]+u]
	}
	return near
}

// star is what the middle voxel adds to the Euler characteristic.
func star(near *[27]bool) int {
	sum := 1
	for _, d := range faceSteps {
		if near[13+d] {
			sum--
		}
	}
	for _, a := range [2]int{-1, 1} {
		for _, b := range [2]int{-3, 3} {
			if near[13+a] && near[13+b] && near[13+a+b] {
				sum++
			}
			for _, c := range [2]int{-9, 9} {
				if near[13+a] && near[13+b] && near[13+c] && near[13+a+b] && near[13+a+c] && near[13+b+c] && near[13+a+b+c] {
					sum--
				}
			}
		}
		for _, c := range [2]int{-9, 9} {
			if near[13+a] && near[13+c] && near[13+a+c] {
				sum++
			}
			if b := 3 * a; near[13+b] && near[13+c] && near[13+b+c] {
				sum++
			}
		}
	}
	return sum
}

// Half names one side of the sheet by the side of the box that it lies on most.
func (s *Sheet) Half(side int) string {
	names := [3][2]string{{"left", "right"}, {"front", "back"}, {"lower", "upper"}}
	n := r3.Scale(signs[side], s.Normal)
	along := [3]float64{n.X, n.Y, n.Z}
	k := 0
	for i := range along {
		if math.Abs(along[i]) > math.Abs(along[k])+1e-9 {
			k = i
		}
	}
	if along[k] > 0 {
		return names[k][1]
	}
	return names[k][0]
}
