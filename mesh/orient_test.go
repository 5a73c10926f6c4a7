package mesh

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// fractions holds a difference of points in rational arithmetic.
func fractions(p, q r3.Vec) [3]*big.Rat {
	var d [3]*big.Rat
	for i, x := range [3][2]float64{{p.X, q.X}, {p.Y, q.Y}, {p.Z, q.Z}} {
		d[i] = new(big.Rat).SetFloat64(x[0])
		d[i].Sub(d[i], new(big.Rat).SetFloat64(x[1]))
	}
	return d
}

// determinant is that of three rows, by Sarrus' rule.
func determinant(m [3][3]*big.Rat) *big.Rat {
	sum := new(big.Rat)
	for i := range 3 {
		for sign := int64(1); sign >= -1; sign -= 2 {
			p := big.NewRat(sign, 1)
			for row := range 3 {
				p.Mul(p, m[row][(i+int(sign)*row+3)%3])
			}
			sum.Add(sum, p)
		}
	}
	return sum
}

// Signs agree with rational arithmetic for points that rounding can not tell
// from a plane or line, of any size, where a plain float64 determinant errs.
func TestOrientIsExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 72))
	wrong := 0
	for range 20000 {
		size := math.Pow(10, 260*rng.Float64()-160)
		random := func() r3.Vec {
			return r3.Scale(size, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		}
		a, b, c := random(), random(), random()
		s, u := rng.Float64(), rng.Float64()
		p := r3.Add(a, r3.Add(r3.Scale(s, r3.Sub(b, a)), r3.Scale(u, r3.Sub(c, a))))
		if rng.IntN(4) == 0 {
			p = b // exactly in the plane
		}
		want := determinant([3][3]*big.Rat{fractions(b, a), fractions(c, a), fractions(p, a)}).Sign()
		if got := orient(a, b, c, p); got != want {
			t.Fatalf("orient(%v, %v, %v, %v) = %d, want %d", a, b, c, p, got, want)
		}
		if plain := dot(cross(r3.Sub(b, a), r3.Sub(c, a)), r3.Sub(p, a)); (plain > 0) != (want > 0) || (plain < 0) != (want < 0) {
			wrong++
		}
	}
	if wrong < 100 {
		t.Errorf("only %d signs were hard", wrong)
	}
}

func TestOrient2IsExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(73, 74))
	for range 20000 {
		size := math.Pow(10, 260*rng.Float64()-180)
		random := func() r2.Vec { return r2.Scale(size, r2.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64()}) }
		a, b := random(), random()
		c := r2.Add(a, r2.Scale(2*rng.Float64(), r2.Sub(b, a)))
		flat := func(p r2.Vec) r3.Vec { return r3.Vec{X: p.X, Y: p.Y} }
		u, v := fractions(flat(b), flat(a)), fractions(flat(c), flat(a))
		want := new(big.Rat).Mul(u[0], v[1]).Cmp(new(big.Rat).Mul(u[1], v[0]))
		if got := orient2(a, b, c); got != want {
			t.Fatalf("orient2(%v, %v, %v) = %d, want %d", a, b, c, got, want)
		}
	}
}
