package cut

import "gonum.org/v1/gonum/spatial/r2"

// raster holds a figure at the nodes of a square grid over the flat sheet.
type raster struct {
	low    r2.Vec
	stepMM float64
	nu, nv int
	at     []float64
}

func (g *raster) place(i, j int) r2.Vec {
	return r2.Vec{X: g.low.X + float64(i)*g.stepMM, Y: g.low.Y + float64(j)*g.stepMM}
}

// fill works out the figure at all nodes.
func (g *raster) fill(figure func(i, j int) float64) {
	g.at = make([]float64, g.nu*g.nv)
	inRows(g.nv, func(j int) {
		for i := range g.nu {
			g.at[j*g.nu+i] = figure(i, j)
		}
	})
}

// curve is a line on the flat sheet.
type curve struct {
	points []r2.Vec
	closed bool
}

// contours returns the lines along which the figure has a level, higher figures
// on their left, by marching squares; in a cell whose corners alternate the mean
// decides. Points are refined along the grid's edges with the figure itself.
func (g *raster) contours(level float64, figure func(p r2.Vec) float64) []curve {
	next := g.segments(level)
	points := map[int]r2.Vec{}
	point := func(edge int) r2.Vec {
		p, known := points[edge]
		if !known {
			p = g.refine(edge, level, figure)
			points[edge] = p
		}
		return p
	}
	hasBefore := make([]bool, len(next))
	for _, to := range next {
		if to >= 0 {
			hasBefore[to] = true
		}
	}
	var all []curve
	follow := func(start int) {
		var c curve
		for edge := start; ; {
			c.points = append(c.points, point(edge))
			to := next[edge]
			next[edge] = -1
			if to == start {
				c.closed = true
				break
			}
			if to < 0 {
				break
			}
			edge = to
		}
		all = append(all, c)
	}
	for _, open := range [2]bool{true, false} {
		for edge, to := range next {
			if to >= 0 && (!open || !hasBefore[edge]) {
				follow(edge)
			}
		}
	}
	return all
}

// segments leads from each edge of the grid that a line crosses to the next one;
// −1 where there is none. Edges 2k and 2k+1 start at node k, to the right and up.
func (g *raster) segments(level float64) []int {
	next := make([]int, 2*len(g.at))
	for e := range next {
		next[e] = -1
	}
	for j := range g.nv - 1 {
		for i := range g.nu - 1 {
			k := j*g.nu + i
			corner := [4]float64{g.at[k], g.at[k+1], g.at[k+1+g.nu], g.at[k+g.nu]}
			edge := [4]int{2 * k, 2*(k+1) + 1, 2 * (k + g.nu), 2*k + 1}
			mean := (corner[0] + corner[1] + corner[2] + corner[3]) / 4
			for c := range 4 {
				if corner[c] < level || corner[(c+1)%4] >= level {
					continue // the line comes in where the figure falls
				}
				// It leaves where the figure rises: before the high corners or,
				// with a saddle whose middle is high, behind the low ones.
				turn := 3
				saddle := corner[(c+2)%4] >= level && corner[(c+3)%4] < level
				if saddle && mean >= level {
					turn = 1
				}
				for d := (c + turn) % 4; ; d = (d + turn) % 4 {
					if corner[d] < level && corner[(d+1)%4] >= level {
						next[edge[c]] = edge[d]
						break
					}
				}
			}
		}
	}
	return next
}

// refine returns where the figure has the level on an edge, by the rule of false
// position.
func (g *raster) refine(edge int, level float64, figure func(p r2.Vec) float64) r2.Vec {
	k := edge / 2
	a := g.place(k%g.nu, k/g.nu)
	b, other := g.place(k%g.nu+1, k/g.nu), k+1
	if edge%2 == 1 {
		b, other = g.place(k%g.nu, k/g.nu+1), k+g.nu
	}
	fa, fb := g.at[k]-level, g.at[other]-level
	p := a
	for range 6 {
		p = r2.Add(a, r2.Scale(fa/(fa-fb), r2.Sub(b, a)))
		f := figure(p) - level
		if f > -1e-6 && f < 1e-6 {
			break
		}
		if (f < 0) == (fa < 0) {
			a, fa = p, f
		} else {
			b, fb = p, f
		}
	}
	return p
}
