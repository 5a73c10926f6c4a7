package mesh

import (
	"math"
	"math/big"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Rounding never decides the two predicates here: a doubtful sign is computed
// again in exact arithmetic. Source of the error bounds: Shewchuk, "Adaptive
// precision floating-point arithmetic and fast robust geometric predicates",
// Discrete & Computational Geometry 18, 1997 (from memory).
const (
	orientBound  = 1e-15  // above (7 + 56ε)ε, ε = 2⁻⁵³
	orient2Bound = 4e-16  // above (3 + 16ε)ε
	leastProduct = 1e-280 // below it products lose digits (IEEE 754 subnormals)
)

// orient returns the sign of (b−a)×(c−a)·(p−a): 1 when p is on the outer side
// of the counter-clockwise face abc, 0 when exactly in its plane.
func orient(a, b, c, p r3.Vec) int {
	u, v, w := r3.Sub(b, a), r3.Sub(c, a), r3.Sub(p, a)
	det := dot(cross(u, v), w)
	permanent := (math.Abs(u.Y*v.Z)+math.Abs(u.Z*v.Y))*math.Abs(w.X) +
		(math.Abs(u.Z*v.X)+math.Abs(u.X*v.Z))*math.Abs(w.Y) +
		(math.Abs(u.X*v.Y)+math.Abs(u.Y*v.X))*math.Abs(w.Z)
	switch {
	case permanent < leastProduct:
	case det > orientBound*permanent:
		return 1
	case -det > orientBound*permanent:
		return -1
	}
	return orientExact(a, b, c, p)
}

// orient2 returns the sign of the area of abc: 1 when counter-clockwise, 0 when
// exactly on a line.
func orient2(a, b, c r2.Vec) int {
	left, right := (b.X-a.X)*(c.Y-a.Y), (b.Y-a.Y)*(c.X-a.X)
	det := float64(left) - float64(right)
	size := math.Abs(left) + math.Abs(right)
	switch {
	case size < leastProduct:
	case det > orient2Bound*size:
		return 1
	case -det > orient2Bound*size:
		return -1
	}
	ux, uy, vx, vy := exactSub(b.X, a.X), exactSub(b.Y, a.Y), exactSub(c.X, a.X), exactSub(c.Y, a.Y)
	return new(big.Float).Mul(ux, vy).Cmp(new(big.Float).Mul(uy, vx))
}

func orientExact(a, b, c, p r3.Vec) int {
	var u, v, w [3]*big.Float
	for i, x := range [3][4]float64{{a.X, b.X, c.X, p.X}, {a.Y, b.Y, c.Y, p.Y}, {a.Z, b.Z, c.Z, p.Z}} {
		u[i], v[i], w[i] = exactSub(x[1], x[0]), exactSub(x[2], x[0]), exactSub(x[3], x[0])
	}
	sum := new(big.Float)
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		minor := new(big.Float).Mul(u[j], v[k])
		minor.Sub(minor, new(big.Float).Mul(u[k], v[j]))
		sum.Add(sum, minor.Mul(minor, w[i]))
	}
	return sum.Sign()
}

// exactBits holds any product of three differences of float64 to the last bit:
// a difference spans at most 1024 + 1074 binary places. Numbers only take the
// memory for the bits they have.
const exactBits = 3 * 2112

func exactSub(a, b float64) *big.Float {
	x := new(big.Float).SetPrec(exactBits).SetFloat64(a)
	return x.Sub(x, new(big.Float).SetFloat64(b))
}
