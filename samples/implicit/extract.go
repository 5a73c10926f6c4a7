package implicit

import (
	"math"
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// lattice is a body-centred cubic lattice: the corners of a grid of cubes and
// the cubes' centres. It falls into equal tetrahedra, each between two
// neighbouring centres and an edge of the square they share.
type lattice struct {
	origin  r3.Vec
	spacing float64
	n       [3]int    // cubes along x, y, z
	corners int       // how many points are corners; centres follow
	value   []float64 // of the field at each point
}

// crossing is a lattice edge the surface goes through: its lower point in the
// upper half, its higher point in the lower half.
type crossing uint64

// Surface returns the surface of the solid within the box, on a lattice of the
// given spacing: closed and edge-manifold whatever the field, because it is the
// zero set of one continuous function, linear in every tetrahedron. The box
// must enclose the solid. The order of vertices and faces does not depend on
// the machine. Thin slivers are left for Coarsened and Relaxed. Marching tetrahedra: Doi and Koide, IEICE Transactions E74(1),
// 1991; the lattice: Treece, Prager and Gee, "Regularised marching tetrahedra",
// Computers & Graphics 23(4), 1999 (both from memory).
func Surface(solid Field, box r3.Box, spacing float64) *mesh.Mesh {
	l := newLattice(box, spacing)
	l.sample(solid)
	triangles := l.march()
	crossings := slices.Concat(triangles...)
	slices.Sort(crossings)
	crossings = slices.Compact(crossings)
	m := &mesh.Mesh{Vertices: make([]r3.Vec, len(crossings))}
	for i, c := range crossings {
		m.Vertices[i] = l.meet(c)
	}
	for _, slab := range triangles {
		for i := 0; i < len(slab); i += 3 {
			var face [3]int32
			for k := range face {
				at, _ := slices.BinarySearch(crossings, slab[i+k])
				face[k] = int32(at)
			}
			m.Faces = append(m.Faces, face)
		}
	}
	return m
}

// oddShift puts the lattice more than a cube outside its box, and its points
// off the planes in which people place things: on a face the sign of a value
// would be that of its rounding.
var oddShift = V(1.3719, 1.4142, 1.2361)

func newLattice(box r3.Box, spacing float64) *lattice {
	size := r3.Sub(box.Max, box.Min)
	l := &lattice{origin: r3.Sub(box.Min, r3.Scale(spacing, oddShift)), spacing: spacing}
	for i, side := range []float64{size.X, size.Y, size.Z} {
		l.n[i] = int(math.Ceil(side/spacing)) + 3
	}
	l.corners = (l.n[0] + 1) * (l.n[1] + 1) * (l.n[2] + 1)
	l.value = make([]float64, l.corners+l.n[0]*l.n[1]*l.n[2])
	return l
}

func (l *lattice) corner(i, j, k int) int { return (i*(l.n[1]+1)+j)*(l.n[2]+1) + k }
func (l *lattice) centre(i, j, k int) int { return l.corners + (i*l.n[1]+j)*l.n[2] + k }

// point returns the place of the lattice point with the given number.
func (l *lattice) point(id int) r3.Vec {
	ny, nz, shift := l.n[1]+1, l.n[2]+1, 0.0
	if id >= l.corners {
		id, ny, nz, shift = id-l.corners, l.n[1], l.n[2], 0.5
	}
	grid := V(float64(id/(ny*nz))+shift, float64(id/nz%ny)+shift, float64(id%nz)+shift)
	return r3.Add(l.origin, r3.Scale(l.spacing, grid))
}

// blockSide is how many cubes a side one test for emptiness covers.
const blockSide = 6

// sample fills in the values. Blocks too far from the surface to be met by it
// all take the value at their middle.
func (l *lattice) sample(solid Field) {
	inParallel((l.n[0]+blockSide)/blockSide, func(slab int) {
		for j := 0; j <= l.n[1]; j += blockSide {
			for k := 0; k <= l.n[2]; k += blockSide {
				l.sampleBlock(solid, slab*blockSide, j, k)
			}
		}
	})
}

func (l *lattice) sampleBlock(solid Field, i0, j0, k0 int) {
	middle := r3.Add(l.point(l.corner(i0, j0, k0)), r3.Scale(l.spacing*blockSide/2, V(1, 1, 1)))
	value := solid(middle)
	far := math.Abs(value) > safety*l.spacing*blockSide*math.Sqrt(3)/2
	for i := i0; i < min(i0+blockSide, l.n[0]+1); i++ {
		for j := j0; j < min(j0+blockSide, l.n[1]+1); j++ {
			for k := k0; k < min(k0+blockSide, l.n[2]+1); k++ {
				ids := []int{l.corner(i, j, k)}
				if i < l.n[0] && j < l.n[1] && k < l.n[2] {
					ids = append(ids, l.centre(i, j, k))
				}
				for _, id := range ids {
					if !far {
						value = solid(l.point(id))
					}
					l.value[id] = value
				}
			}
		}
	}
}

// march returns the triangles of each slab of cubes along x, three crossings
// each.
func (l *lattice) march() [][]crossing {
	slabs := make([][]crossing, l.n[0])
	inParallel(l.n[0], func(i int) {
		for j := range l.n[1] {
			for k := range l.n[2] {
				slabs[i] = l.marchCube(slabs[i], [3]int{i, j, k})
			}
		}
	})
	return slabs
}

// marchCube adds the triangles of the tetrahedra between the cube's centre and
// the centres of the next cubes along x, y and z.
func (l *lattice) marchCube(out []crossing, cube [3]int) []crossing {
	for axis := range 3 {
		next := cube
		next[axis]++
		if next[axis] == l.n[axis] {
			continue
		}
		u, v := (axis+1)%3, (axis+2)%3
		square := [4][3]int{next, next, next, next} // counter-clockwise about the axis
		square[1][u]++
		square[2][u]++
		square[2][v]++
		square[3][v]++
		for s := range square {
			a, b := square[s], square[(s+1)%4]
			out = l.marchTetra(out, [4]int{
				l.centre(cube[0], cube[1], cube[2]), l.centre(next[0], next[1], next[2]),
				l.corner(a[0], a[1], a[2]), l.corner(b[0], b[1], b[2]),
			})
		}
	}
	return out
}

// Even orders of a tetrahedron's corners: by the one that is apart, and by the
// two that are inside (by the bits of their mask).
var (
	apart = [4][4]int{{0, 1, 2, 3}, {1, 0, 3, 2}, {2, 0, 1, 3}, {3, 0, 2, 1}}
	pairs = map[int][4]int{
		0b0011: {0, 1, 2, 3}, 0b0101: {0, 2, 3, 1}, 0b1001: {0, 3, 1, 2},
		0b0110: {1, 2, 0, 3}, 0b1010: {1, 3, 2, 0}, 0b1100: {2, 3, 0, 1},
	}
)

// marchTetra adds the triangles of one right-handed tetrahedron, outward.
func (l *lattice) marchTetra(out []crossing, id [4]int) []crossing {
	mask := 0
	for i, p := range id {
		if l.value[p] < 0 {
			mask |= 1 << i
		}
	}
	edge := func(i, j int) crossing {
		lo, hi := min(id[i], id[j]), max(id[i], id[j])
		return crossing(lo)<<32 | crossing(hi)
	}
	if mask == 0b0000 || mask == 0b1111 {
		return out
	}
	if o, two := pairs[mask]; two {
		a, b, c, d := edge(o[0], o[2]), edge(o[0], o[3]), edge(o[1], o[3]), edge(o[1], o[2])
		return append(out, a, b, c, a, c, d)
	}
	for i, o := range apart {
		switch mask {
		case 1 << i:
			return append(out, edge(o[0], o[1]), edge(o[0], o[2]), edge(o[0], o[3]))
		case 0b1111 ^ 1<<i:
			return append(out, edge(o[0], o[1]), edge(o[0], o[3]), edge(o[0], o[2]))
		}
	}
	return out
}

// leastShare keeps crossings off the lattice points, where several would meet.
const leastShare = 0.05

// meet returns the place on the edge where the linear function is zero.
func (l *lattice) meet(c crossing) r3.Vec {
	lo, hi := int(c>>32), int(c&math.MaxUint32)
	a, b := l.value[lo], l.value[hi]
	t := clamp(a/(a-b), leastShare, 1-leastShare)
	p, q := l.point(lo), l.point(hi)
	return r3.Add(p, r3.Scale(t, r3.Sub(q, p)))
}

// inParallel calls work(0) to work(n-1), each once, on all processors.
func inParallel(n int, work func(i int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				work(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}
