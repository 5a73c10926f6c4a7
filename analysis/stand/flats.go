package stand

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

const (
	facetAngleDeg   = 3    // hull facets this close are one flat
	leastFacetShare = 2e-4 // of the hull's area, unless the solid rests on it
	mostFacets      = 400
)

// flat is where a hull can lie on a board.
type flat struct {
	sum   r3.Vec // of the normals of its facets, twice their area long
	rests bool   // the centroid is over one of them: it stays by itself
}

// hullFlats returns the outward normals of the hull's flats, larger ones first,
// and small ones only where the solid rests on them by itself. Facets of a
// scanned flat differ a little, so those within facetAngleDeg of a larger one
// are taken with it. centroid is in the frame of the hull.
func hullFlats(hull *mesh.Mesh, centroid r3.Vec) []r3.Vec {
	normals, order, total := facetNormals(hull)
	cells := newDirectionCells()
	var flats []flat
	for _, f := range order {
		n := normals[f]
		own := r3.Norm(n)
		if own == 0 {
			break
		}
		i, found := cells.near(r3.Scale(1/own, n))
		if !found {
			i = len(flats)
			cells.add(r3.Scale(1/own, n))
			flats = append(flats, flat{})
		}
		flats[i].sum = r3.Add(flats[i].sum, n)
		flats[i].rests = flats[i].rests || over(hull, f, n, centroid)
	}
	slices.SortStableFunc(flats, func(a, b flat) int { return cmp.Compare(r3.Norm2(b.sum), r3.Norm2(a.sum)) })
	var ds []r3.Vec
	for _, f := range flats {
		if l := r3.Norm(f.sum); len(ds) < mostFacets && l > 0 && (f.rests || l >= leastFacetShare*total) {
			ds = append(ds, r3.Scale(1/l, f.sum))
		}
	}
	return ds
}

// facetNormals returns the facets' normals, twice their area long, their order
// with the largest first, and the sum of the lengths.
func facetNormals(hull *mesh.Mesh) (normals []r3.Vec, order []int, total float64) {
	normals, order = make([]r3.Vec, len(hull.Faces)), make([]int, len(hull.Faces))
	size := make([]float64, len(hull.Faces))
	for f := range normals {
		normals[f], order[f] = hull.DoubleAreaNormal(f), f
		size[f] = r3.Norm(normals[f])
		total += size[f]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(size[b], size[a]) })
	return normals, order, total
}

// over tells whether p stands over facet f, whose normal is n, when that lies
// on the board.
func over(hull *mesh.Mesh, f int, n, p r3.Vec) bool {
	a, b, c := hull.Corners(f)
	for _, e := range [3][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
		if r3.Dot(n, r3.Cross(r3.Sub(e[1], e[0]), r3.Sub(p, e[0]))) < 0 {
			return false
		}
	}
	return true
}

// directionCells finds a direction near another one: the cube around the sphere
// is cut into cells as wide as near ones are apart.
type directionCells struct {
	ds    []r3.Vec
	cells map[[3]int32][]int32
	width float64
	near2 float64
}

func newDirectionCells() *directionCells {
	width := 2 * math.Sin(facetAngleDeg*math.Pi/360)
	return &directionCells{cells: map[[3]int32][]int32{}, width: width, near2: width * width}
}

func (c *directionCells) cell(d r3.Vec) [3]int32 {
	return [3]int32{int32(math.Floor(d.X / c.width)), int32(math.Floor(d.Y / c.width)), int32(math.Floor(d.Z / c.width))}
}

func (c *directionCells) add(d r3.Vec) {
	at := c.cell(d)
	c.cells[at] = append(c.cells[at], int32(len(c.ds)))
	c.ds = append(c.ds, d)
}

// near returns the first direction added that is within facetAngleDeg of d.
func (c *directionCells) near(d r3.Vec) (int, bool) {
	at, best := c.cell(d), int32(math.MaxInt32)
	for x := at[0] - 1; x <= at[0]+1; x++ {
		for y := at[1] - 1; y <= at[1]+1; y++ {
			for z := at[2] - 1; z <= at[2]+1; z++ {
				for _, i := range c.cells[[3]int32{x, y, z}] {
					if i < best && r3.Norm2(r3.Sub(c.ds[i], d)) <= c.near2 {
						best = i
					}
				}
			}
		}
	}
	return int(best), best < math.MaxInt32
}
