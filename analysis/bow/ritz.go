package bow

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// load is a pressure that goes evenly from bottomPa at the foot to topPa at
// the height of toM metres, with none above.
type load struct{ bottomPa, topPa, toM float64 }

// pouring is the pressure of the liquid on a wall, and what pushes besides.
func pouring(w Wall) load {
	return load{bottomPa: w.pressurePa() + w.PushPa, topPa: w.PushPa, toM: w.LevelMM / 1000}
}

// field is a deflection as a sum of products of functions along x and along y.
// Its unknowns stand in the system from start on, y running fastest.
type field struct {
	x, y  *axis
	start int
}

func (f field) unknowns() int { return f.x.n * f.y.n }

// term is one part of the energy: coefficient·X[i][k]·Y[j][l] for function
// (i, j) of one field and (k, l) of another.
type term struct {
	of, with int
	factor   float64
	x, y     grid
}

// system is a wall in metres as equations: the field of bending, then the
// field of shear where the core gives.
type system struct {
	a, b   float64 // width and height, m
	jx, jy float64 // metres per unit of ξ and of η
	fields []field
	terms  []term
	load   load
	loads  [][]float64 // work of the load for each function of each field, reach functions included
	wet    [][]float64 // volume below the level, likewise
	c      []float64   // the answer, m
	lines  []lineSpring
}

// lineSpring is the spring of one line of bracing, N/m per m.
type lineSpring struct {
	upright bool
	at      float64 // ξ or η
	pa      float64
}

// count is how many functions a wall gets along x and along y.
type count struct{ x, y int }

// Gauss points enough for products of any two functions of degree under n + 4.
func (n count) pointsX() int { return n.x + 5 }
func (n count) pointsY() int { return n.y + 5 }

// newSystem sets up the equations of a checked wall.
func newSystem(w Wall, l load, n count) *system {
	s := &system{a: w.WidthMM / 1000, b: w.HeightMM / 1000, load: l}
	s.jx, s.jy = s.a/2, s.b/2
	cutsX, cutsY := w.cuts(true), w.cuts(false)
	same := w.mirrored()
	add := func(n, points count, most int, kinksX, kinksY []float64, kink kinkOf) {
		held := func(e Edge) int { return min(order(e.Hold), most) }
		s.addField(
			newAxis(newBasis(n.x, held(w.Edges.Left), held(w.Edges.Right), same, kinksX, kink), points.pointsX(), cutsX),
			newAxis(newBasis(n.y, held(w.Edges.Bottom), held(w.Edges.Top), false, kinksY, kink), points.pointsY(), cutsY))
	}
	add(n, n, 2, cutsX, cutsY, beam)
	s.addBending(w.Plate)
	s.addEdges(w.Edges)
	if w.Plate.ShearNPerM > 0 {
		// The equation of shear is of half the order: fewer functions do. A batten
		// cannot follow the kink that a line across it makes in a core.
		few := count{2 * n.x / 3, 2 * n.y / 3}
		kinksX, kinksY := cutsX, cutsY
		if w.hasBatten(false) {
			kinksX = nil
		}
		if w.hasBatten(true) {
			kinksY = nil
		}
		add(few, n, 1, kinksX, kinksY, tent)
		s.addShear(w.Plate.ShearNPerM)
	}
	for _, line := range w.Lines {
		s.addLine(line, w.Plate)
	}
	return s
}

// leastApart keeps functions with a kink from being alike: the kinks are so far
// apart, and so far from the ends, on an axis from −1 to 1.
const leastApart = 0.02

// cuts are the places, in order, of the upright or level lines.
func (w Wall) cuts(upright bool) []float64 {
	var all []float64
	for _, l := range w.Lines {
		if l.Upright == upright {
			all = append(all, 2*l.AtMM/w.side(upright)-1)
		}
	}
	slices.Sort(all)
	var cuts []float64
	last := -1.0
	for _, c := range all {
		if c-last >= leastApart && 1-c >= leastApart {
			cuts = append(cuts, c)
			last = c
		}
	}
	return cuts
}

// side is the one along which the places of upright, or level, lines count.
func (w Wall) side(upright bool) float64 {
	if upright {
		return w.WidthMM
	}
	return w.HeightMM
}

func (w Wall) hasBatten(upright bool) bool {
	return slices.ContainsFunc(w.Lines, func(l Line) bool { return l.Upright == upright && l.BendNM2 > 0 })
}

// mirrored tells whether the left half of a wall is held like its right half,
// so that both bow alike.
func (w Wall) mirrored() bool {
	upright := slices.ContainsFunc(w.Lines, func(l Line) bool { return l.Upright })
	return !upright && w.Edges.Left == w.Edges.Right
}

// order is how many times the functions vanish at an edge.
func order(h Hold) int {
	switch h {
	case Free:
		return 0
	case Clamped:
		return 2
	}
	return 1
}

func (s *system) addField(x, y *axis) {
	start := 0
	for _, f := range s.fields {
		start += f.unknowns()
	}
	s.fields = append(s.fields, field{x, y, start})
	top := 2*s.load.toM/s.b - 1
	even := func(float64) float64 { return 1 }
	along := x.integral(1, even)
	pressure := y.integral(top, func(eta float64) float64 {
		part := (eta + 1) * s.jy / s.load.toM
		return s.load.bottomPa + part*(s.load.topPa-s.load.bottomPa)
	})
	s.loads = append(s.loads, products(s.jx*s.jy, along, pressure))
	s.wet = append(s.wet, products(s.jx*s.jy, along, y.integral(top, even)))
}

func products(factor float64, x, y []float64) []float64 {
	all := make([]float64, 0, len(x)*len(y))
	for _, u := range x {
		for _, v := range y {
			all = append(all, factor*u*v)
		}
	}
	return all
}

func (s *system) addBending(p Plate) {
	x := func(d, e int) grid { return inner(s.fields[0].x, s.fields[0].x, d, e) }
	y := func(d, e int) grid { return inner(s.fields[0].y, s.fields[0].y, d, e) }
	area, xx, yy := s.jx*s.jy, s.jx*s.jx, s.jy*s.jy
	s.terms = append(s.terms,
		term{0, 0, p.DxNM * area / xx / xx, x(2, 2), y(0, 0)},
		term{0, 0, p.DyNM * area / yy / yy, x(0, 0), y(2, 2)},
		term{0, 0, p.D1NM * area / xx / yy, x(2, 0), y(0, 2)},
		term{0, 0, p.D1NM * area / xx / yy, x(0, 2), y(2, 0)},
		term{0, 0, 4 * p.D66NM * area / xx / yy, x(1, 1), y(1, 1)},
	)
}

// addShear adds the energy ½S∫(∇v)² of the deflection v that the core adds. Where
// an edge is held, both parts of the deflection are kept at zero.
func (s *system) addShear(shear float64) {
	f := s.fields[1]
	area := s.jx * s.jy
	s.terms = append(s.terms,
		term{1, 1, shear * area / s.jx / s.jx, inner(f.x, f.x, 1, 1), inner(f.y, f.y, 0, 0)},
		term{1, 1, shear * area / s.jy / s.jy, inner(f.x, f.x, 0, 0), inner(f.y, f.y, 1, 1)},
	)
}

// addEdges adds k∫(∂w/∂n)² of the elastic edges.
func (s *system) addEdges(e Edges) {
	f := s.fields[0]
	for i, edge := range e.all() {
		if edge.Hold != Elastic || edge.TurnN == 0 {
			continue
		}
		end := float64(2*(i%2) - 1)
		if i < 2 {
			d := f.x.at(end)[1]
			s.terms = append(s.terms, term{0, 0, edge.TurnN * s.jy / s.jx / s.jx, outer(d, d), inner(f.y, f.y, 0, 0)})
		} else {
			d := f.y.at(end)[1]
			s.terms = append(s.terms, term{0, 0, edge.TurnN * s.jx / s.jy / s.jy, inner(f.x, f.x, 0, 0), outer(d, d)})
		}
	}
}

// rigidSpring stands for a line that does not give, in units of D/b³: the wall
// keeps about a millionth of its deflection there.
const rigidSpring = 1e7

// addLine adds the energies of a line along s: spring k∫w², batten EI∫(w″)² and
// strap P∫(w′)², on the whole deflection, of bending and of shear.
func (s *system) addLine(l Line, p Plate) {
	spring := l.SpringPa
	if math.IsInf(spring, 1) {
		spring = rigidSpring * math.Max(p.DxNM, p.DyNM) / math.Pow(math.Min(s.a, s.b), 3)
	}
	j, at := s.jx, l.AtMM/1000/s.jy-1
	if l.Upright {
		j, at = s.jy, l.AtMM/1000/s.jx-1
	}
	s.lines = append(s.lines, lineSpring{l.Upright, at, spring})
	for d, stiffness := range [3]float64{spring, l.PullN, l.BendNM2} {
		if stiffness > 0 {
			s.addLineEnergy(l.Upright, at, d, stiffness*j/math.Pow(j, 2*float64(d)))
		}
	}
}

func (s *system) addLineEnergy(upright bool, at float64, derivative int, factor float64) {
	for i, f := range s.fields {
		for k, g := range s.fields {
			t := term{of: i, with: k, factor: factor}
			if upright {
				t.x, t.y = outer(f.x.at(at)[0], g.x.at(at)[0]), inner(f.y, g.y, derivative, derivative)
			} else {
				t.x, t.y = inner(f.x, g.x, derivative, derivative), outer(f.y.at(at)[0], g.y.at(at)[0])
			}
			s.terms = append(s.terms, t)
		}
	}
}

// solve finds the deflection of least energy. The equations are scaled to a
// diagonal of ones first.
func (s *system) solve() error {
	k, rhs := s.matrix(), mat.NewVecDense(s.unknowns(), s.right())
	n := s.unknowns()
	scale := make([]float64, n)
	for i := range n {
		scale[i] = 1 / math.Sqrt(k.At(i, i))
		rhs.SetVec(i, rhs.AtVec(i)*scale[i])
	}
	for i := range n {
		for j := i; j < n; j++ {
			k.SetSym(i, j, k.At(i, j)*scale[i]*scale[j])
		}
	}
	var chol mat.Cholesky
	var c, left mat.VecDense
	clear := chol.Factorize(k)
	if clear {
		// A large condition number alone does no harm: what is unclear then is hardly
		// in the energy, which must balance the work of the load.
		_ = chol.SolveVecTo(&c, rhs)
		left.MulVec(k, &c)
		left.SubVec(rhs, &left)
		clear = math.Abs(mat.Dot(&left, &c)) <= 1e-6*mat.Dot(rhs, &c)
	}
	if !clear {
		return &InputError{"the equations of this wall have no clear solution", "check the stiffness of the board and of the bracing"}
	}
	s.c = make([]float64, n)
	for i := range n {
		s.c[i] = c.AtVec(i) * scale[i]
	}
	return nil
}

func (s *system) unknowns() int {
	last := s.fields[len(s.fields)-1]
	return last.start + last.unknowns()
}

// matrix sums the terms; only the upper triangle is looked at.
func (s *system) matrix() *mat.SymDense {
	n := s.unknowns()
	data := make([]float64, n*n)
	for _, t := range s.terms {
		if t.of > t.with {
			continue
		}
		f, g := s.fields[t.of], s.fields[t.with]
		for i := range f.x.n {
			for j := range f.y.n {
				row := data[(f.start+i*f.y.n+j)*n+g.start:]
				t.addRow(row, g, i, j)
			}
		}
	}
	return mat.NewSymDense(n, data)
}

// addRow adds what function (i, j) has in common with all unknowns of field g.
func (t term) addRow(row []float64, g field, i, j int) {
	for k := range g.x.n {
		x := t.factor * t.x[i][k]
		if x == 0 {
			continue
		}
		out := row[k*g.y.n : (k+1)*g.y.n]
		for l, y := range t.y[j][:g.y.n] {
			out[l] += x * y
		}
	}
}

// right is the work of the load for every unknown.
func (s *system) right() []float64 { return s.ofUnknowns(s.loads) }

// ofUnknowns leaves the reach functions out.
func (s *system) ofUnknowns(all [][]float64) []float64 {
	out := make([]float64, 0, s.unknowns())
	for fi, f := range s.fields {
		for i := range f.x.n {
			out = append(out, all[fi][i*f.y.size():i*f.y.size()+f.y.n]...)
		}
	}
	return out
}

// functions is how many functions a wall gets, besides those for its bracing:
// 16 each way put deflections, bulges and moments within half a percent of the
// tables in the tests. A long wall needs more along it, for what happens near
// its ends.
func functions(w Wall) count {
	more := func(ratio float64) int { return 16 + min(14, max(0, int(1.5*(ratio-2)))) }
	return count{more(w.WidthMM / w.HeightMM), more(w.HeightMM / w.WidthMM)}
}
