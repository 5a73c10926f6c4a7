package bow

import "math"

// basis is a set of n functions on [−1, 1]: (1+ξ)^low·(1−ξ)^high·Jₖ(ξ), which
// vanish low times at −1 and high times at 1, for every degree k = 0, 1, 2… or,
// of what is the same on both sides of the middle, for the even ones only. J are
// the Jacobi polynomials of weight (1+ξ)^(2·low)·(1−ξ)^(2·high): they make the
// functions orthogonal, which keeps the equations clear for many of them. Where
// nothing is held they are Legendre's. After the n functions come two reach
// functions, the cubics that are 1 at one end, 0 at the other and flat at both:
// they move an edge that is held, so what they meet is its reaction.
type basis struct {
	n, low, high int
	even         bool
}

// newBasis has degrees under k, the even ones where that is enough.
func newBasis(k, low, high int, mirrored bool) basis {
	if mirrored {
		return basis{(k + 1) / 2, low, high, true}
	}
	return basis{k, low, high, false}
}

// degree is that of the Jacobi polynomial of function i.
func (b basis) degree(i int) int {
	if b.even {
		return 2 * i
	}
	return i
}

func (b basis) size() int { return b.n + 2 }

// at returns value, first and second derivative of every function at ξ.
func (b basis) at(xi float64) [3][]float64 {
	p := jacobi(b.degree(b.n-1)+1, 2*b.high, 2*b.low, xi)
	l0, l1, l2 := power(1+xi, 1, b.low)
	h0, h1, h2 := power(1-xi, -1, b.high)
	f := [3]float64{l0 * h0, l1*h0 + l0*h1, l2*h0 + 2*l1*h1 + l0*h2}
	var v [3][]float64
	for d := range v {
		v[d] = make([]float64, b.size())
	}
	for i := range b.n {
		k := b.degree(i)
		v[0][i] = f[0] * p[0][k]
		v[1][i] = f[1]*p[0][k] + f[0]*p[1][k]
		v[2][i] = f[2]*p[0][k] + 2*f[1]*p[1][k] + f[0]*p[2][k]
	}
	for i, sign := range [2]float64{-1, 1} { // reach functions of the low and the high end
		v[0][b.n+i] = (2 - sign*xi) * (1 + sign*xi) * (1 + sign*xi) / 4
		v[1][b.n+i] = sign * 3 * (1 - xi*xi) / 4
		v[2][b.n+i] = -sign * 3 * xi / 2
	}
	return v
}

// power returns x^k and its first two derivatives, where dx/dξ = slope = ±1.
func power(x, slope float64, k int) (v, first, second float64) {
	switch k {
	case 0:
		return 1, 0, 0
	case 1:
		return x, slope, 0
	}
	return x * x, 2 * x * slope, 2
}

// jacobi returns the Jacobi polynomials J of degree 0 … n−1 for the weight
// (1−ξ)^α·(1+ξ)^β and their first two derivatives at ξ. Source of recurrence and
// derivative: M. Abramowitz and I. Stegun, "Handbook of Mathematical Functions",
// 22.7.1 and 22.8 with 15.2.1 (from memory).
func jacobi(n, alpha, beta int, xi float64) [3][]float64 {
	p := [3][]float64{make([]float64, n), make([]float64, n), make([]float64, n)}
	factor := [3]float64{1, 0.5, 0.25}
	for d := range p {
		a, b := float64(alpha+d), float64(beta+d)
		below, here := 0.0, 1.0 // degrees k−1 and k, of the polynomials whose weight is d higher
		for k := 0; k+d < n; k++ {
			f := factor[d]
			for i := range d {
				f *= float64(k + d + alpha + beta + 1 + i)
			}
			p[d][k+d] = f * here
			below, here = here, jacobiNext(float64(k), a, b, xi, below, here)
		}
	}
	return p
}

// jacobiNext is the polynomial of degree k+1 from those of degree k−1 and k.
func jacobiNext(k, a, b, xi, below, here float64) float64 {
	if k == 0 {
		return a + 1 + (a+b+2)*(xi-1)/2
	}
	c := 2*k + a + b
	return ((c+1)*(a*a-b*b+c*(c+2)*xi)*here - 2*(k+a)*(k+b)*(c+2)*below) / (2 * (k + 1) * (k + a + b + 1) * c)
}

// axis is a basis on one direction of the wall, tabled at Gauss points that
// integrate every product of two of its functions exactly.
type axis struct {
	basis
	weight []float64
	table  [][3][]float64 // at each Gauss point
}

func newAxis(b basis, points int) *axis {
	x, w := gauss(points, -1, 1)
	a := &axis{basis: b, weight: w}
	for _, xi := range x {
		a.table = append(a.table, b.at(xi))
	}
	return a
}

// gauss returns the points and weights that integrate polynomials of degree
// under 2n exactly: the roots of the Legendre polynomial P of degree n by
// Newton's method from the usual first guess, and 2/((1−x²)P′²) (Abramowitz and
// Stegun, 25.4.29, from memory). The points that gonum 0.17 has for n = 26 are
// wrong.
func gauss(n int, from, to float64) (x, w []float64) {
	x, w = make([]float64, n), make([]float64, n)
	for i := range x {
		root := -math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		slope := 0.0
		for range 6 { // the error is squared each time
			var p float64
			p, slope = legendre(n, root)
			root -= p / slope
		}
		x[i] = from + (root+1)/2*(to-from)
		w[i] = (to - from) / ((1 - root*root) * slope * slope)
	}
	return x, w
}

// legendre returns the Legendre polynomial of degree n and its slope at a
// point inside (−1, 1).
func legendre(n int, xi float64) (p, slope float64) {
	below, here := 0.0, 1.0
	for k := range n {
		below, here = here, (float64(2*k+1)*xi*here-float64(k)*below)/float64(k+1)
	}
	return here, float64(n) * (below - xi*here) / (1 - xi*xi)
}

// grid is a matrix of 1-D integrals or products, row by row.
type grid [][]float64

// inner returns ∫ a⁽ᵖ⁾ᵢ b⁽ᑫ⁾ₖ dξ for all functions of two bases with the same
// Gauss points.
func inner(a, b *axis, p, q int) grid {
	m := newGrid(a.size(), b.size())
	for g, w := range a.weight {
		m.addOuter(w, a.table[g][p], b.table[g][q])
	}
	return m
}

// outer returns the products of two rows of values.
func outer(a, b []float64) grid {
	m := newGrid(len(a), len(b))
	m.addOuter(1, a, b)
	return m
}

func newGrid(rows, columns int) grid {
	m := make(grid, rows)
	for i := range m {
		m[i] = make([]float64, columns)
	}
	return m
}

func (m grid) addOuter(w float64, a, b []float64) {
	for i, u := range a {
		for k, v := range b {
			m[i][k] += w * u * v
		}
	}
}

// integral returns ∫ f·φᵢ dξ from −1 to ξ = to for all functions.
func (b basis) integral(to float64, f func(xi float64) float64) []float64 {
	sum := make([]float64, b.size())
	if to <= -1 {
		return sum
	}
	x, w := gauss(b.degree(b.n)+8, -1, to)
	for g, xi := range x {
		for i, v := range b.at(xi)[0] {
			sum[i] += w[g] * f(xi) * v
		}
	}
	return sum
}
