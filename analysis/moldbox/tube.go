package moldbox

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r2"
)

// circle round points.
type circle struct {
	centre r2.Vec
	radius float64
}

// leastCircle returns the smallest circle round points. Source: Welzl, "Smallest
// enclosing disks (balls and ellipsoids)", 1991 (from memory), in its form of
// three nested loops over points in an order shuffled with a fixed seed.
func leastCircle(points []r2.Vec) circle {
	p := append([]r2.Vec{}, points...)
	rand.New(rand.NewPCG(1, 1)).Shuffle(len(p), func(i, j int) { p[i], p[j] = p[j], p[i] })
	c := circle{p[0], 0}
	for i := range p {
		if c.holds(p[i]) {
			continue
		}
		c = circle{p[i], 0}
		for j := range i {
			if c.holds(p[j]) {
				continue
			}
			c = across(p[i], p[j])
			for k := range j {
				if !c.holds(p[k]) {
					c = through(p[i], p[j], p[k])
				}
			}
		}
	}
	return c
}

func (c circle) holds(p r2.Vec) bool {
	return r2.Norm(r2.Sub(p, c.centre)) <= c.radius*(1+1e-12)+1e-12
}

// across is the circle with a and b at the ends of a diameter.
func across(a, b r2.Vec) circle {
	return circle{r2.Scale(0.5, r2.Add(a, b)), r2.Norm(r2.Sub(a, b)) / 2}
}

// through is the circle through three points; of points in a line the one across
// the two that are farthest apart.
func through(a, b, c r2.Vec) circle {
	u, v := r2.Sub(b, a), r2.Sub(c, a)
	d := 2 * (u.X*v.Y - u.Y*v.X)
	if math.Abs(d) < 1e-12*(r2.Norm2(u)+r2.Norm2(v)) {
		widest := across(a, b)
		for _, other := range []circle{across(a, c), across(b, c)} {
			if other.radius > widest.radius {
				widest = other
			}
		}
		return widest
	}
	off := r2.Vec{X: (v.Y*r2.Norm2(u) - u.Y*r2.Norm2(v)) / d, Y: (u.X*r2.Norm2(v) - v.X*r2.Norm2(u)) / d}
	return circle{r2.Add(a, off), r2.Norm(off)}
}
