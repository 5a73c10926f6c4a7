package bow

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// basis is a set of n functions on [−1, 1]. Most are (1+ξ)^low·(1−ξ)^high·Jₖ(ξ),
// which vanish low times at −1 and high times at 1, for every degree k = 0, 1, 2…
// or, of what is the same on both sides of the middle, for the even ones only. J
// are the Jacobi polynomials of weight (1+ξ)^(2·low)·(1−ξ)^(2·high): they make
// the functions orthogonal, which keeps the equations clear for many of them.
// Where nothing is held they are Legendre's.
//
// Then comes one function with a kink for each line of bracing that crosses,
// which polynomials follow slowly. It is 1 there and 0 at the other lines, and
// all polynomials get so much of it that they are 0 at every line: the stiffness
// of a line, which may be huge, then meets no other function.
//
// After the n functions come two reach functions, the cubics that are 1 at one
// end, 0 at the other and flat at both: they move an edge that is held, so what
// they meet is its reaction.
type basis struct {
	n, low, high int
	even         bool
	kinks        []float64 // places of the kinks
	kink         kinkOf
	mix          *mat.Dense  // of functions with kinks, to make them 1 or 0 at every line
	atKinks      [][]float64 // what the polynomials alone are there
}

// kinkOf returns value, first and second derivative at ξ of a function that
// vanishes at both ends and has a kink at k.
type kinkOf func(k, xi float64) (v, first, second float64)

// newBasis has degrees under k, the even ones where that is enough.
func newBasis(k, low, high int, mirrored bool, kinks []float64, kink kinkOf) basis {
	b := basis{n: k + len(kinks), low: low, high: high, even: mirrored, kinks: kinks, kink: kink}
	if mirrored {
		b.n = (k+1)/2 + len(kinks)
	}
	if len(kinks) == 0 {
		return b
	}
	each := mat.NewDense(len(kinks), len(kinks), nil)
	for line, place := range kinks {
		raw := b.raw(place)
		b.atKinks = append(b.atKinks, raw[0][:b.polynomials()])
		each.SetRow(line, raw[0][b.polynomials():b.n])
	}
	b.mix = new(mat.Dense)
	_ = b.mix.Inverse(each) // the places are apart: newSystem sees to it
	return b
}

// polynomials is how many of the n functions are these.
func (b basis) polynomials() int { return b.n - len(b.kinks) }

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
	v := b.raw(xi)
	smooth := b.polynomials()
	for d := range v {
		kinked := slices.Clone(v[d][smooth:b.n])
		for line := range b.kinks {
			own := 0.0
			for i, u := range kinked {
				own += u * b.mix.At(i, line)
			}
			v[d][smooth+line] = own
			for i, there := range b.atKinks[line] {
				v[d][i] -= there * own
			}
		}
	}
	return v
}

// raw is at before polynomials and functions with kinks are mixed.
func (b basis) raw(xi float64) [3][]float64 {
	smooth := b.polynomials()
	p := jacobi(b.degree(smooth-1)+1, 2*b.high, 2*b.low, xi)
	l0, l1, l2 := power(1+xi, 1, b.low)
	h0, h1, h2 := power(1-xi, -1, b.high)
	f := [3]float64{l0 * h0, l1*h0 + l0*h1, l2*h0 + 2*l1*h1 + l0*h2}
	var v [3][]float64
	for d := range v {
		v[d] = make([]float64, b.size())
	}
	for i := range smooth {
		k := b.degree(i)
		v[0][i] = f[0] * p[0][k]
		v[1][i] = f[1]*p[0][k] + f[0]*p[1][k]
		v[2][i] = f[2]*p[0][k] + 2*f[1]*p[1][k] + f[0]*p[2][k]
	}
	for i, k := range b.kinks {
		v[0][smooth+i], v[1][smooth+i], v[2][smooth+i] = b.kink(k, xi)
	}
	for i, sign := range [2]float64{-1, 1} { // reach functions of the low and the high end
		v[0][b.n+i] = (2 - sign*xi) * (1 + sign*xi) * (1 + sign*xi) / 4
		v[1][b.n+i] = sign * 3 * (1 - xi*xi) / 4
		v[2][b.n+i] = -sign * 3 * xi / 2
	}
	return v
}

// tent is straight from each end up to 1 at k: what a force at k makes of a
// string, and of a core that shears.
func tent(k, xi float64) (v, first, second float64) {
	if xi < k {
		return (1 + xi) / (1 + k), 1 / (1 + k), 0
	}
	return (1 - xi) / (1 - k), -1 / (1 - k), 0
}

// beam is what a force at k makes of a beam clamped at both ends, but for a
// factor (beam tables, from memory): its third derivative jumps at k.
func beam(k, xi float64) (v, first, second float64) {
	s, near, far, sign := 1+xi, 1+k, 1-k, 1.0 // from the end on the side of ξ
	if xi > k {
		s, near, far, sign = 1-xi, far, near, -1
	}
	square, cube := 6*near, 3*near+far // far²s²(3·near·L − (3·near+far)s), L = 2
	return far * far * s * s * (square - cube*s),
		sign * far * far * s * (2*square - 3*cube*s),
		far * far * (2*square - 6*cube*s)
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

// newAxis tables a basis at so many Gauss points between every two cuts, which
// must be where the kinks are.
func newAxis(b basis, points int, cuts []float64) *axis {
	a := &axis{basis: b}
	x, w := between(points, cuts, 1)
	for _, xi := range x {
		a.table = append(a.table, b.at(xi))
	}
	a.weight = w
	return a
}

// between returns Gauss points from −1 to an end for functions with kinks at
// the cuts, which are in order.
func between(points int, cuts []float64, end float64) (x, w []float64) {
	root, weight := gauss(points)
	from := -1.0
	for _, to := range append(slices.Clone(cuts), 1) {
		to = math.Min(to, end)
		if to <= from {
			break
		}
		for i := range root {
			x = append(x, from+(root[i]+1)/2*(to-from))
			w = append(w, weight[i]*(to-from)/2)
		}
		from = to
	}
	return x, w
}

// gauss returns the n points and weights on [−1, 1] that integrate polynomials
// of degree under 2n exactly: the roots of the Legendre polynomial P of degree n
// by Newton's method from the usual first guess, and 2/((1−x²)P′²) (Abramowitz
// and Stegun, 25.4.29, from memory). The points that gonum 0.17 has for n = 26
// are wrong.
func gauss(n int) (x, w []float64) {
	x, w = make([]float64, n), make([]float64, n)
	for i := range (n + 1) / 2 {
		root := -math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		slope := 0.0
		for range 4 { // the error, a thousandth at first, is squared each time
			var p float64
			p, slope = legendre(n, root)
			root -= p / slope
		}
		x[i], x[n-1-i] = root, -root
		w[i] = 2 / ((1 - root*root) * slope * slope)
		w[n-1-i] = w[i]
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

// integral returns ∫ f·φᵢ dξ from −1 to ξ = to for all functions; f is straight.
func (b basis) integral(to float64, f func(xi float64) float64) []float64 {
	sum := make([]float64, b.size())
	x, w := between(b.degree(b.n)+4, b.kinks, to)
	for g, xi := range x {
		for i, v := range b.at(xi)[0] {
			sum[i] += w[g] * f(xi) * v
		}
	}
	return sum
}
