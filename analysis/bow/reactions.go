package bow

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// reactions finds what holds the wall back, by virtual work: a virtual
// deflection that moves a held edge does the work of the load less that of
// the bent wall against the reaction of that edge. Reach functions move the
// edges; the four products of two of them add up to one everywhere, so that
// the reactions add up to the force.
func (s *system) reactions() Reactions {
	f := s.fields[0]
	nx, ny := f.x.n, f.y.n
	sideShares := reachShares(f.y) // of functions along y in "1 near the foot" and "1 near the top"
	endShares := reachShares(f.x)
	var sides, ends [2][2]float64 // edge; share near its low and its high end
	for e := range 2 {
		for half := range 2 {
			for j := range ny {
				sides[e][half] += sideShares[half][j] * s.missing(nx+e, j)
			}
			for i := range nx {
				ends[e][half] += endShares[half][i] * s.missing(i, ny+e)
			}
		}
	}
	var corners [4]float64
	for c := range corners {
		x, y := c%2, c/2
		corners[c] = s.missing(nx+x, ny+y) - sides[x][y] - ends[y][x]
		s.settle(&corners[c], &sides[x][y], &ends[y][x], x, y)
	}
	return Reactions{
		Left: sides[0][0] + sides[0][1], Right: sides[1][0] + sides[1][1],
		Bottom: ends[0][0] + ends[0][1], Top: ends[1][0] + ends[1][1],
		Corners: corners, Lines: s.lineForces(),
	}
}

// settle hands what is left at a corner to the edges that meet there, when one
// of them is clamped: a plate that cannot turn along an edge has no single
// force at its ends, so the rest is what few functions cannot follow beside it.
func (s *system) settle(corner, side, end *float64, x, y int) {
	f := s.fields[0]
	sideOrder, endOrder := [2]int{f.x.low, f.x.high}[x], [2]int{f.y.low, f.y.high}[y]
	if sideOrder < 2 && endOrder < 2 {
		return
	}
	toSide := sideOrder > 0 && endOrder != 1
	toEnd := endOrder > 0 && sideOrder != 1
	switch {
	case toSide && toEnd:
		*side += *corner / 2
		*end += *corner / 2
	case toSide:
		*side += *corner
	case toEnd:
		*end += *corner
	}
	*corner = 0
}

// missing is the work of the load less that of the bent wall for the virtual
// deflection (i, j) of the bending field, N: zero for the unknowns.
func (s *system) missing(i, j int) float64 {
	work := s.loads[0][i*s.fields[0].y.size()+j]
	for _, t := range s.terms {
		if t.of != 0 {
			continue
		}
		g := s.fields[t.with]
		for k := range g.x.n {
			var along float64
			for l, y := range t.y[j][:g.y.n] {
				along += y * s.c[g.start+k*g.y.n+l]
			}
			work -= t.factor * t.x[i][k] * along
		}
	}
	return work
}

// reachShares returns the sums of a's functions that come nearest, in the mean
// square, to its two reach functions.
func reachShares(a *axis) [2][]float64 {
	m := inner(a, a, 0, 0)
	sym := mat.NewSymDense(a.n, nil)
	for i := range a.n {
		for k := i; k < a.n; k++ {
			sym.SetSym(i, k, m[i][k]/math.Sqrt(m[i][i]*m[k][k]))
		}
	}
	var chol mat.Cholesky
	chol.Factorize(sym) // the functions are independent
	var shares [2][]float64
	for e := range shares {
		right := mat.NewVecDense(a.n, nil)
		for i := range a.n {
			right.SetVec(i, m[i][a.n+e]/math.Sqrt(m[i][i]))
		}
		var x mat.VecDense
		_ = chol.SolveVecTo(&x, right) // good shares, if not the best, whatever it says of them
		shares[e] = make([]float64, a.n)
		for i := range a.n {
			shares[e][i] = x.AtVec(i) / math.Sqrt(m[i][i])
		}
	}
	return shares
}

// lineForces are the forces of the springs of the lines, N. What bows along a
// line has kinks where other lines cross it.
func (s *system) lineForces() []float64 {
	forces := make([]float64, len(s.lines))
	f := s.fields[0]
	for i, l := range s.lines {
		if l.pa == 0 {
			continue
		}
		var sum float64
		if l.upright {
			y, w := between(gridPoints, f.y.kinks, 1)
			for g, row := range s.deflection([]float64{l.at}, y) {
				sum += w[g] * row[0]
			}
			forces[i] = l.pa * sum * s.jy
		} else {
			x, w := between(gridPoints, f.x.kinks, 1)
			for g, v := range s.deflection(x, []float64{l.at})[0] {
				sum += w[g] * v
			}
			forces[i] = l.pa * sum * s.jx
		}
	}
	return forces
}
