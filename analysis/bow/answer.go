package bow

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// Points of the grid along each side, for pictures and for the search of the
// largest deflection and moments.
const gridPoints = 41

// edgeMargin is the part of a side left out beside a corner of a held and a
// free edge, where the moments of the thin plate grow without bound or converge
// too slowly to mean anything.
const edgeMargin = 0.03

// bent reads the answer off the solved system.
func (s *system) bent(w Wall) Bent {
	at := evenly(gridPoints)
	deflection := s.deflection(at, at)
	g := Grid{Columns: gridPoints, Rows: gridPoints}
	for _, row := range deflection {
		for _, v := range row {
			g.MM = append(g.MM, v*1000)
		}
	}
	force := s.load.force(s.a)
	b := Bent{
		ForceN: force, ForceAtMM: s.load.forceAt() * 1000, Grid: g,
		WorkNM:    s.work(),
		BulgeMM3:  floats.Dot(s.c, s.ofUnknowns(s.wet)) * 1e9,
		Moments:   s.moments(w),
		Reactions: s.reactions(),
	}
	b.TopMiddleMM = s.deflection([]float64{0}, []float64{1})[0][0] * 1000
	b.DeflectionMM, b.AtMM = s.largest(deflection)
	return b
}

// work is ∫ pressure × deflection.
func (s *system) work() float64 { return floats.Dot(s.c, s.right()) }

// force is the whole force of the load on a wall of width a, N.
func (l load) force(a float64) float64 { return (l.bottomPa + l.topPa) / 2 * l.toM * a }

// forceAt is the height at which that force acts, m.
func (l load) forceAt() float64 {
	if l.bottomPa+l.topPa == 0 {
		return l.toM / 3
	}
	return l.toM / 3 * (l.bottomPa + 2*l.topPa) / (l.bottomPa + l.topPa)
}

func evenly(n int) []float64 {
	at := make([]float64, n)
	for i := range at {
		at[i] = -1 + 2*float64(i)/float64(n-1)
	}
	return at
}

// sample returns a derivative of one field, p times along ξ and q times along
// η, row by row for every η and ξ given.
func (s *system) sample(fi, p, q int, xi, eta []float64) [][]float64 {
	f := s.fields[fi]
	x := make([][]float64, len(xi))
	for i, v := range xi {
		x[i] = f.x.at(v)[p][:f.x.n]
	}
	rows := make([][]float64, len(eta))
	for r, v := range eta {
		y := f.y.at(v)[q][:f.y.n]
		along := make([]float64, f.x.n) // the row as a sum of functions of ξ
		for i := range along {
			along[i] = floats.Dot(y, s.c[f.start+i*f.y.n:f.start+(i+1)*f.y.n])
		}
		rows[r] = make([]float64, len(xi))
		for i := range xi {
			rows[r][i] = floats.Dot(along, x[i])
		}
	}
	return rows
}

// deflection is that of bending and shear, m.
func (s *system) deflection(xi, eta []float64) [][]float64 {
	w := s.sample(0, 0, 0, xi, eta)
	if len(s.fields) > 1 {
		for r, row := range s.sample(1, 0, 0, xi, eta) {
			floats.Add(w[r], row)
		}
	}
	return w
}

// largest finds the largest deflection in mm and its place in mm: the best
// point of the grid, then ever smaller steps around it.
func (s *system) largest(grid [][]float64) (mm float64, at [2]float64) {
	even := evenly(gridPoints)
	var xi, eta, best float64
	for r, row := range grid {
		for c, v := range row {
			// Rounding must not prefer one of two mirrored points.
			if math.Abs(v) > math.Abs(best)*(1+1e-9) {
				best, xi, eta = v, even[c], even[r]
			}
		}
	}
	for step := 1.0 / gridPoints; step > 1e-5; step /= 2 {
		x, y := around(xi, step), around(eta, step)
		for r, row := range s.deflection(x, y) {
			for c, v := range row {
				if math.Abs(v) > math.Abs(best)*(1+1e-12) {
					best, xi, eta = v, x[c], y[r]
				}
			}
		}
	}
	return best * 1000, [2]float64{(xi + 1) * s.jx * 1000, (eta + 1) * s.jy * 1000}
}

func around(v, step float64) []float64 {
	return []float64{math.Max(-1, v-step), v, math.Min(1, v+step)}
}

// moments samples the bending moments; a core that shears does not bend for it.
func (s *system) moments(w Wall) Moments {
	at := evenly(gridPoints)
	p := w.Plate
	xx, yy, xy := s.sample(0, 2, 0, at, at), s.sample(0, 0, 2, at, at), s.sample(0, 1, 1, at, at)
	middle, last := gridPoints/2, gridPoints-1
	var m Moments
	for r := range at {
		for c := range at {
			kx, ky, kxy := xx[r][c]/s.jx/s.jx, yy[r][c]/s.jy/s.jy, xy[r][c]/s.jx/s.jy
			mx, my, twist := -(p.DxNM*kx + p.D1NM*ky), -(p.D1NM*kx + p.DyNM*ky), -2*p.D66NM*kxy
			if c == middle && r == 0 {
				m.FootY = my
			}
			if c == middle && r == last {
				m.HeadY = my
			}
			if w.Edges.sharp(at[c], at[r]) {
				continue
			}
			m.SagX, m.SagY = math.Max(m.SagX, mx), math.Max(m.SagY, my)
			m.HogX, m.HogY = math.Min(m.HogX, mx), math.Min(m.HogY, my)
			if c == 0 || c == last {
				m.SideX = math.Min(m.SideX, mx)
			}
			mean, radius := (mx+my)/2, math.Hypot((mx-my)/2, twist)
			m.Largest = math.Max(m.Largest, math.Abs(mean)+radius)
		}
	}
	return m
}

// sharp tells whether a point lies beside a corner of a held and a free edge.
func (e Edges) sharp(xi, eta float64) bool {
	side, end := e.Left, e.Bottom
	if xi > 0 {
		side = e.Right
	}
	if eta > 0 {
		end = e.Top
	}
	near := 1 - 2*edgeMargin
	return math.Abs(xi) > near && math.Abs(eta) > near && (side.Hold == Free) != (end.Hold == Free)
}
