package field

import "pourwright/mesh/large"

const (
	// leastShare is the area, as a share of that of the largest part, below which
	// a part is a scrap.
	leastShare = 0.001
	// leastHollow is how many voxels a hollow has at least.
	leastHollow = 8
)

// run is a stretch of voxels of one row on the same side of the surface.
type run struct {
	from, to int32 // x
	in       bool
}

// runs is all rows cut into stretches, joined into parts: those of row r are
// all[start[r]:start[r+1]].
type runs struct {
	all   []run
	start []int32
	up    []int32 // union-find; a root is the first stretch of its part
	area  []int32 // of the part of a root: sides of voxels
	size  []int32 // and its voxels
}

// parts returns which voxels are inside, without scraps and tiny hollows. Voxels
// on the rim of the grid are outside.
func (f *Field) parts() []bool {
	r := f.cutRows()
	ny, nz := f.N[1], f.N[2]
	for z := range nz {
		for y := range ny {
			row := z*ny + y
			if y > 0 {
				r.join(row, row-1, true)
			}
			if z > 0 {
				r.join(row, row-ny, true)
			}
			if y > 0 && z > 0 {
				r.join(row, row-ny-1, false)
			}
		}
	}
	r.measure()
	largest := int32(0)
	for i := range r.all {
		if r.all[i].in {
			largest = max(largest, r.area[i])
		}
	}
	inside := large.Make[bool](len(f.Distance))
	for row := range ny * nz {
		line := inside[row*f.N[0]:]
		for i := r.start[row]; i < r.start[row+1]; i++ {
			if r.keeps(i, largest) {
				for x := r.all[i].from; x < r.all[i].to; x++ {
					line[x] = true
				}
			}
		}
	}
	return inside
}

// keeps says whether stretch i is inside in the end. A hollow is filled only in a
// part that stays: the one of the stretch before the hollow's first.
func (r *runs) keeps(i, largest int32) bool {
	root := r.root(i)
	if !r.all[i].in {
		if root == 0 || r.size[root] >= leastHollow {
			return false
		}
		root = r.root(root - 1)
	}
	return float64(r.area[root]) >= leastShare*float64(largest)
}

// cutRows finds the stretches.
func (f *Field) cutRows() *runs {
	nx, ny, nz := f.N[0], f.N[1], f.N[2]
	r := &runs{start: make([]int32, 1, ny*nz+1)}
	for row := range ny * nz {
		y, z := row%ny, row/ny
		rim := y == 0 || z == 0 || y == ny-1 || z == nz-1
		line := f.Distance[row*nx:][:nx]
		from := 0
		for x := 1; !rim && x < nx; x++ {
			in := x < nx-1 && line[x] < 0
			if before := x > 1 && line[x-1] < 0; in != before {
				r.all = append(r.all, run{int32(from), int32(x), before})
				from = x
			}
		}
		r.all = append(r.all, run{from: int32(from), to: int32(nx)})
		r.start = append(r.start, int32(len(r.all)))
	}
	r.up = make([]int32, len(r.all))
	for i := range r.up {
		r.up[i] = int32(i)
	}
	r.area, r.size = make([]int32, len(r.all)), make([]int32, len(r.all))
	return r
}

func (r *runs) root(i int32) int32 {
	for r.up[i] != i {
		r.up[i] = r.up[r.up[i]]
		i = r.up[i]
	}
	return i
}

// join joins the stretches of a row with those of a row before it: voxels that
// share an edge of the tetrahedra (see march) and are on the same side belong
// together. Sides shared by two voxels inside are no surface.
func (r *runs) join(row, before int, side bool) {
	i, j := r.start[row], r.start[before]
	for i < r.start[row+1] && j < r.start[before+1] {
		a, b := r.all[i], r.all[j]
		if a.in == b.in && a.from-1 < b.to && b.from < a.to {
			p, q := r.root(i), r.root(j)
			r.up[max(p, q)] = min(p, q)
			if shared := min(a.to, b.to) - max(a.from, b.from); side && shared > 0 {
				r.area[i] -= 2 * shared
			}
		}
		if a.to <= b.to {
			i++
		} else {
			j++
		}
	}
}

// measure adds up the parts.
func (r *runs) measure() {
	for i := range r.all {
		length := r.all[i].to - r.all[i].from
		r.area[i] += 4*length + 2
		r.size[i] = length
	}
	for i := range r.all {
		if root := r.root(int32(i)); root != int32(i) {
			r.area[root] += r.area[i]
			r.size[root] += r.size[i]
		}
	}
}
