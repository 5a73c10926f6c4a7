package detail

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// otherSkin is the cosine of the angle, 120°, from which on a sample is taken to
// be the other side of a thin sheet.
const otherSkin = -0.5

// residual fits normal = a + b·u + c·v over the samples within radius of a place
// with unit direction n0, u and v being tangent coordinates there, weighted by
// area and by 1 − (d/radius)², and returns the root mean square of what is left.
func residual(p0, n0 r3.Vec, near []sample, radius float64) float64 {
	if n0 == (r3.Vec{}) {
		return 0
	}
	tu, tv := mesh.Frame(n0)
	var g [6]float64      // Σw·{1, u, v, uu, uv, vv}
	var rhs [3][3]float64 // Σw·n·{1, u, v}
	inverse := 1 / radius
	for i := range near {
		s := &near[i]
		x, y, z := (s.at.X-p0.X)*inverse, (s.at.Y-p0.Y)*inverse, (s.at.Z-p0.Z)*inverse
		q := 1 - x*x - y*y - z*z
		if q <= 0 {
			continue
		}
		n := &s.normal
		if n.X*n0.X+n.Y*n0.Y+n.Z*n0.Z < otherSkin {
			continue
		}
		w := q * s.area
		u, v := x*tu.X+y*tu.Y+z*tu.Z, x*tv.X+y*tv.Y+z*tv.Z
		wu, wv := w*u, w*v
		g[0], g[1], g[2] = g[0]+w, g[1]+wu, g[2]+wv
		g[3], g[4], g[5] = g[3]+wu*u, g[4]+wu*v, g[5]+wv*v
		rhs[0][0], rhs[0][1], rhs[0][2] = rhs[0][0]+w*n.X, rhs[0][1]+wu*n.X, rhs[0][2]+wv*n.X
		rhs[1][0], rhs[1][1], rhs[1][2] = rhs[1][0]+w*n.Y, rhs[1][1]+wu*n.Y, rhs[1][2]+wv*n.Y
		rhs[2][0], rhs[2][1], rhs[2][2] = rhs[2][0]+w*n.Z, rhs[2][1]+wu*n.Z, rhs[2][2]+wv*n.Z
	}
	total := g[0] // Σw·n·n, the normals being one long
	if total <= 0 {
		return 0
	}
	return math.Sqrt(max(0, total-explained(g, rhs)) / total)
}

// explained returns the part of Σw·n² that the fit explains, by elimination on
// the 3×3 normal equations with a small ridge for samples in a line.
func explained(g [6]float64, rhs [3][3]float64) float64 {
	ridge := 1e-9 * g[0]
	l1, l2 := g[1]/g[0], g[2]/g[0]
	uu, uv, vv := g[3]-l1*g[1]+ridge, g[4]-l1*g[2], g[5]-l2*g[2]+ridge
	l3 := uv / uu
	vv -= l3 * uv
	sum := 0.0
	for _, b := range rhs {
		b1 := b[1] - l1*b[0]
		b2 := b[2] - l2*b[0] - l3*b1
		sum += b[0]*b[0]/g[0] + b1*b1/uu
		if vv > 0 {
			sum += b2 * b2 / vv
		}
	}
	return sum
}
