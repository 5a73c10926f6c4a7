package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// spreadOut returns the points farthest along directions of an even spiral, seen
// with points drawn in so that they scatter alike in all directions: a guard in
// the middle of a long blade is not to be missed.
func spreadOut(points []r3.Vec) []r3.Vec {
	var out []r3.Vec
	seen := make(map[int]bool)
	scatter := cholesky(points)
	for k := range coarsePoints {
		d := drawnIn(scatter, spiral(k, coarsePoints))
		best, far := 0, dot(d, points[0])
		for i, p := range points {
			if x := dot(d, p); x > far {
				best, far = i, x
			}
		}
		if !seen[best] {
			seen[best] = true
			out = append(out, points[best])
		}
	}
	return out
}

// cholesky returns the lower triangle L, by rows, of the points' covariance LLᵀ.
func cholesky(points []r3.Vec) (l [3][3]float64) {
	c := covariance(points)
	for i := range 3 {
		for j := range i + 1 {
			rest := c[i][j] - l[i][0]*l[j][0] - l[i][1]*l[j][1] - l[i][2]*l[j][2]
			if i == j {
				l[i][i] = math.Sqrt(max(rest, 1e-20*(c[0][0]+c[1][1]+c[2][2])))
			} else {
				l[i][j] = rest / l[j][j]
			}
		}
	}
	return l
}

// covariance returns the lower triangle, by rows, of the points' covariance. Sums
// are over blocks, joined in order, so that the digits are the same on any number
// of processors.
func covariance(points []r3.Vec) (c [3][3]float64) {
	blocks := make([]r3.Vec, blocksOf(len(points)))
	eachBlock(len(points), func(block, lo, hi int) {
		for _, p := range points[lo:hi] {
			blocks[block] = r3.Add(blocks[block], p)
		}
	})
	var mean r3.Vec
	for _, sum := range blocks {
		mean = r3.Add(mean, r3.Scale(1/float64(len(points)), sum))
	}
	squares := make([][3][3]float64, len(blocks))
	eachBlock(len(points), func(block, lo, hi int) {
		var xx, yx, yy, zx, zy, zz float64
		for _, p := range points[lo:hi] {
			x, y, z := p.X-mean.X, p.Y-mean.Y, p.Z-mean.Z
			xx += float64(x * x)
			yx += float64(y * x)
			yy += float64(y * y)
			zx += float64(z * x)
			zy += float64(z * y)
			zz += float64(z * z)
		}
		squares[block] = [3][3]float64{{xx}, {yx, yy}, {zx, zy, zz}}
	})
	for _, s := range squares {
		for i := range 3 {
			for j := range i + 1 {
				c[i][j] += s[i][j] / float64(len(points))
			}
		}
	}
	return c
}

// drawnIn returns the direction x with Lᵀx = d: along it, points lie in the order
// that L⁻¹·points have along d.
func drawnIn(l [3][3]float64, d r3.Vec) r3.Vec {
	z := d.Z / l[2][2]
	y := (d.Y - l[2][1]*z) / l[1][1]
	x := (d.X - l[1][0]*y - l[2][0]*z) / l[0][0]
	return r3.Vec{X: x, Y: y, Z: z}
}

// squared turns a box about each of its axes to the least.
func squared(points []r3.Vec, b turnedBox) turnedBox {
	for _, n := range b.axes {
		if c := boxAlong(points, caliperAxes(points, n)); c.volume < b.volume {
			b = c
		}
	}
	return b
}

// settled follows a box on the whole hull until nothing gets smaller. Its turns
// become ever smaller, and with them the number of points that matter.
func settled(points []r3.Vec, axes [3]r3.Vec) turnedBox {
	best := boxAlong(points, axes)
	for reach := widestTurn; reach > leastTurn; {
		near := within(points, best.axes, reach)
		turn := refined(near, best.axes, reach/4, reach/32, reach)
		if b := boxAlong(points, turn.axes); b.volume < best.volume*(1-1e-9) {
			best = b
		} else {
			reach /= 8
		}
	}
	return best
}

// within returns the points that can be at a side of the box along axes, turned
// by no more than reach (radians): that lifts no point over another by more than
// twice reach times their distance from the middle.
func within(points []r3.Vec, axes [3]r3.Vec, reach float64) []r3.Vec {
	b := BoundsOf(points)
	depth := reach * r3.Norm(r3.Sub(b.Max, b.Min))
	span := spans(points, axes)
	var near []r3.Vec
	for _, p := range points {
		for k, a := range axes {
			if d := dot(a, p); min(d-span[k].lo, span[k].hi-d) <= depth {
				near = append(near, p)
				break
			}
		}
	}
	return near
}
