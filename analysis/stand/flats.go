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
	next  []int32 // the one added before in the same cell, or −1
	first []int32 // of each cell the last one added, or −1
	side  int
	width float64
}

func newDirectionCells() *directionCells {
	width := 2 * math.Sin(facetAngleDeg*math.Pi/360)
	c := &directionCells{side: int(2/width) + 3, width: width}
	c.first = slices.Repeat([]int32{-1}, c.side*c.side*c.side)
	return c
}

// cell returns the cell of a coordinate; there is one more on either side.
func (c *directionCells) cell(x float64) int { return min(int((x+1)/c.width), c.side-3) + 1 }

func (c *directionCells) index(x, y, z int) int { return (x*c.side+y)*c.side + z }

func (c *directionCells) add(d r3.Vec) {
	at := &c.first[c.index(c.cell(d.X), c.cell(d.Y), c.cell(d.Z))]
	c.ds, c.next = append(c.ds, d), append(c.next, *at)
	*at = int32(len(c.ds) - 1)
}

// near returns the first direction added that is within facetAngleDeg of d.
func (c *directionCells) near(d r3.Vec) (int, bool) {
	x0, y0, z0, best := c.cell(d.X), c.cell(d.Y), c.cell(d.Z), int32(math.MaxInt32)
	for x := x0 - 1; x <= x0+1; x++ {
		for y := y0 - 1; y <= y0+1; y++ {
			for z := z0 - 1; z <= z0+1; z++ {
				for i := c.first[c.index(x, y, z)]; i >= 0; i = c.next[i] {
					if i < best && r3.Norm2(r3.Sub(c.ds[i], d)) <= c.width*c.width {
						best = i
					}
				}
			}
		}
	}
	return int(best), best < math.MaxInt32
}
