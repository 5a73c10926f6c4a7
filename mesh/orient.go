package mesh

import (
	"math"
	"math/big"

	"gonum.org/v1/gonum/spatial/r3"
)

// orient returns the sign of (b−a)×(c−a)·(p−a): 1 when p is on the outer side
// of the counter-clockwise face abc, 0 when exactly in its plane. Rounding never
// decides: a doubtful sign is computed again in exact arithmetic. Source of the
// error bound: Shewchuk, "Adaptive precision floating-point arithmetic and fast
// robust geometric predicates", 1997 (from memory).
func orient(a, b, c, p r3.Vec) int {
	u, v, w := r3.Sub(b, a), r3.Sub(c, a), r3.Sub(p, a)
	det := dot(cross(u, v), w)
	permanent := (math.Abs(u.Y*v.Z)+math.Abs(u.Z*v.Y))*math.Abs(w.X) +
		(math.Abs(u.Z*v.X)+math.Abs(u.X*v.Z))*math.Abs(w.Y) +
		(math.Abs(u.X*v.Y)+math.Abs(u.Y*v.X))*math.Abs(w.Z)
	const bound = 1e-15 // above (7 + 56ε)ε
	switch {
	case det > bound*permanent:
		return 1
	case -det > bound*permanent:
		return -1
	}
	return orientExact(a, b, c, p)
}

func orientExact(a, b, c, p r3.Vec) int {
	u, v, w := exactSub(b, a), exactSub(c, a), exactSub(p, a)
	sum := new(big.Rat)
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		minor := new(big.Rat).Mul(u[j], v[k])
		minor.Sub(minor, new(big.Rat).Mul(u[k], v[j]))
		sum.Add(sum, minor.Mul(minor, w[i]))
	}
	return sum.Sign()
}

func exactSub(a, b r3.Vec) [3]*big.Rat {
	var d [3]*big.Rat
	for i, x := range [3][2]float64{{a.X, b.X}, {a.Y, b.Y}, {a.Z, b.Z}} {
		d[i] = new(big.Rat).SetFloat64(x[0])
		d[i].Sub(d[i], new(big.Rat).SetFloat64(x[1]))
	}
	return d
}
