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
	var mean r3.Vec
	for _, p := range points {
		mean = r3.Add(mean, r3.Scale(1/float64(len(points)), p))
	}
	var c [3][3]float64
	for _, p := range points {
		d := [3]float64{p.X - mean.X, p.Y - mean.Y, p.Z - mean.Z}
		for i := range 3 {
			for j := range i + 1 {
				c[i][j] += d[i] * d[j] / float64(len(points))
			}
		}
	}
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
		turn := refined(near, best.axes, reach/4, reach/32)
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
