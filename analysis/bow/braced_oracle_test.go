package bow_test

import (
	"fmt"
	"math"
	"testing"

	"pourwright/analysis/bow"
)

// lined is the double sine series for a plate supported all round with one
// line of bracing on it. Along the line a sine of deflection W meets the
// reaction (k + P·α² + EI·α⁴)·W, which loads all sines across the line alike, so
// that each W follows in closed form. It shares no code with the solver.
type lined struct {
	navier
	line bow.Line
}

// bend returns the deflection at a point, m, and the force of the spring, N.
func (v lined) bend(x, y float64) (w, spring float64) {
	along, across := v.a, v.b
	if v.line.Upright {
		along, across = v.b, v.a
	}
	at := v.line.AtMM / 1000
	for m := 1; m <= v.terms; m++ {
		alpha := float64(m) * math.Pi / along
		stiff := v.line.SpringPa + v.line.PullN*alpha*alpha + v.line.BendNM2*math.Pow(alpha, 4)
		var free, give float64 // deflection of the line without it, and per reaction
		for n := 1; n <= v.terms; n++ {
			s := math.Sin(float64(n) * math.Pi / across * at)
			q, c := v.mode(m, n)
			free += q * c * s
			give += 2 / across * c * s * s
		}
		reaction := stiff * free / (1 + stiff*give)
		spring += v.line.SpringPa * free / (1 + stiff*give) * (1 - math.Cos(alpha*along)) / alpha
		for n := 1; n <= v.terms; n++ {
			beta := float64(n) * math.Pi / across
			q, c := v.mode(m, n)
			px, py := x, y
			if v.line.Upright {
				px, py = y, x
			}
			w += (q - 2/across*reaction*math.Sin(beta*at)) * c * math.Sin(alpha*px) * math.Sin(beta*py)
		}
	}
	return w, spring
}

// mode returns the load and the give of sine m along the line and n across it.
func (v lined) mode(m, n int) (q, give float64) {
	if v.line.Upright {
		m, n = n, m
	}
	np := float64(n) * math.Pi
	if m%2 == 1 {
		q = 2 * v.q0 * (1/np - math.Sin(np*v.level/v.b)/(np*np*v.level/v.b)) * 4 / (float64(m) * math.Pi)
	}
	a2, b2 := math.Pow(float64(m)*math.Pi/v.a, 2), math.Pow(np/v.b, 2)
	p := v.plate
	give = 1 / (p.DxNM*a2*a2 + 2*(p.D1NM+2*p.D66NM)*a2*b2 + p.DyNM*b2*b2)
	if p.ShearNPerM > 0 {
		give += 1 / (p.ShearNPerM * (a2 + b2))
	}
	return q, give
}

func TestBracingAgainstSeries(t *testing.T) {
	var w worst
	for _, plate := range []bow.Plate{bow.Bending(1000, 0.3, 1), bow.Grained(1500, 600, 0.2, 1), bow.Sandwich(1000, 0.25, 2e4, 1)} {
		for _, line := range []bow.Line{
			{AtMM: 400, SpringPa: 3e4}, {AtMM: 600, BendNM2: 300}, {AtMM: 300, BendNM2: 20_000}, {AtMM: 500, PullN: 5000},
			{Upright: true, AtMM: 500, BendNM2: 800}, {Upright: true, AtMM: 450, SpringPa: 2e4, PullN: 1000},
		} {
			wall := unitWall(1.4, 0, "SSSS")
			wall.LevelMM, wall.Plate, wall.Lines = 850, plate, []bow.Line{line}
			s, series := bend(t, wall), lined{navierOf(wall, 301), line}
			deflection, spring := series.bend(s.AtMM[0]/1000, s.AtMM[1]/1000)
			where := fmt.Sprintf("%+v", line)
			w.near(t, where, s.DeflectionMM, deflection*1000, 0.2, 0)
			if line.SpringPa > 0 {
				w.near(t, where+" force", s.Reactions.Lines[0], spring, 0.2, 0)
			}
			relative(t, "sum of reactions", s.Reactions.Sum(), s.ForceN, 1e-9)
		}
	}
	w.log(t, "bracing against series")
}
