package detail

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// leastSquares is the residual by gonum's QR factorisation of the whole weighted
// system, in coordinates turned at random about the direction.
func leastSquares(p0, n0 r3.Vec, near []sample, radius, turn float64) float64 {
	x, y := mesh.Frame(n0)
	sin, cos := math.Sincos(turn)
	x, y = r3.Add(r3.Scale(cos, x), r3.Scale(sin, y)), r3.Add(r3.Scale(-sin, x), r3.Scale(cos, y))
	var rows, right []float64
	total, n := 0.0, 0
	for _, s := range near {
		d := r3.Sub(s.at, p0)
		w := s.area * (1 - r3.Norm2(d)/(radius*radius))
		if w <= 0 || r3.Dot(s.normal, n0) < math.Cos(120*math.Pi/180) {
			continue
		}
		root := math.Sqrt(w)
		rows = append(rows, root, root*r3.Dot(d, x), root*r3.Dot(d, y))
		right = append(right, root*s.normal.X, root*s.normal.Y, root*s.normal.Z)
		total += w
		n++
	}
	if n <= 3 {
		return math.NaN()
	}
	a, b := mat.NewDense(n, 3, rows), mat.NewDense(n, 3, right)
	var fit, left mat.Dense
	if fit.Solve(a, b) != nil {
		return math.NaN()
	}
	left.Mul(a, &fit)
	left.Sub(b, &left)
	return mat.Norm(&left, 2) / math.Sqrt(total)
}

// The residual is that of a general least squares solver.
func TestResidualAgainstLeastSquares(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	compared := 0
	for name, m := range scans(t) {
		s := newSurface(m)
		c := newCells(s.divide(2).points, s.frame, 2)
		for range 200 {
			i := rng.IntN(len(m.Vertices))
			p, n := c.frame.Point(m.Vertices[i]), c.frame.Dir(s.normal[i])
			near := c.near(c.keyAt(p), nil)
			want := leastSquares(p, n, near, 2, 2*math.Pi*rng.Float64())
			if math.IsNaN(want) {
				continue
			}
			compared++
			if got := residual(p, n, near, 2); math.Abs(got-want) > 1e-5 {
				t.Errorf("%s, vertex %d: residual %.7f, by least squares %.7f", name, i, got, want)
			}
		}
	}
	if compared < 800 {
		t.Errorf("only %d places compared", compared)
	}
}

// The samples near a place are those that a search through all finds.
func TestNearAgainstAll(t *testing.T) {
	m := ribbedShaft(20_000)
	s := newSurface(m)
	c := newCells(s.divide(2).points, s.frame, 2)
	for i := 0; i < len(m.Vertices); i += 997 {
		p := c.frame.Point(m.Vertices[i])
		within := func(list []sample) (n int, area float64) {
			for _, x := range list {
				if r3.Norm(r3.Sub(x.at, p)) < 2 {
					n, area = n+1, area+x.area
				}
			}
			return n, area
		}
		n, area := within(c.near(c.keyAt(p), nil))
		all, allArea := within(c.samples)
		if n != all || math.Abs(area-allArea) > 1e-9 {
			t.Errorf("vertex %d: %d samples near, %d in all", i, n, all)
		}
	}
}

// The samples of a surface have its area.
func TestAreaIsKept(t *testing.T) {
	for name, m := range scans(t) {
		s := newSurface(m)
		c := newCells(s.divide(2).points, s.frame, 2)
		var thin float64
		for _, x := range c.samples {
			thin += x.area
		}
		if want := m.Area(); math.Abs(thin/want-1) > 1e-9 {
			t.Errorf("%s: samples of %.3f mm², surface %.3f", name, thin, want)
		}
	}
}
