package cast

import "math"

// gravity is the standard one, m/s² (exact by definition, CGPM 1901).
const gravity = 9.80665

// Channel is a straight passage for a liquid, mm.
type Channel struct {
	DiameterMM  float64 // of the largest circle in its section
	AreaMM2     float64 // of the section; 0: it is round
	PerimeterMM float64
	LengthMM    float64 // 0: a hole in a thin sheet
}

// area and perimeter of the section, mm² and mm.
func (c Channel) area() float64 {
	if c.AreaMM2 > 0 {
		return c.AreaMM2
	}
	return math.Pi / 4 * c.DiameterMM * c.DiameterMM
}

func (c Channel) perimeter() float64 {
	if c.PerimeterMM > 0 {
		return c.PerimeterMM
	}
	return math.Pi * c.DiameterMM
}

// times returns the channel with a section s times as wide, as long as before.
func (c Channel) times(s float64) Channel {
	return Channel{s * c.DiameterMM, s * s * c.AreaMM2, s * c.PerimeterMM, c.LengthMM}
}

// conductance returns κ, mm⁴, of the section for creeping flow: a pressure
// gradient G, Pa/mm, drives κ·G/μ mm³/s of a liquid of viscosity μ, Pa·s. A circle
// has πd⁴/128 (Poiseuille; White, "Viscous Fluid Flow", from memory). Any other
// section is taken as the rectangle or ellipse that is most like it, in the
// square-root-of-area model of Muzychka & Yovanovich, Journal of Fluids
// Engineering 131(6), 2009 (from memory): good to 6 % for both and for a
// triangle, where the range of viscosities is wider than that by far.
func (c Channel) conductance() float64 {
	if c.AreaMM2 <= 0 {
		return math.Pi / 128 * math.Pow(c.DiameterMM, 4)
	}
	a, p := c.area(), c.perimeter()
	e := c.slimness()
	friction := 12 / (math.Sqrt(e) * (1 + e) * (1 - 192*e/math.Pow(math.Pi, 5)*math.Tanh(math.Pi/2/e)))
	return 2 * math.Pow(a, 2.5) / (p * friction)
}

// slimness returns the short over the long side of the section. From its area and
// inscribed circle it is one figure for ellipses and another for rectangles; the
// perimeter tells which the section is more like.
func (c Channel) slimness() float64 {
	a, p := c.area(), c.perimeter()
	ellipse := min(1, math.Pi*c.DiameterMM*c.DiameterMM/4/a)
	rectangle := min(1, c.DiameterMM*c.DiameterMM/a)
	// Ramanujan, 1914 (from memory): the perimeter of an ellipse of axes e and 1.
	round := math.Pi * math.Pow(3*(1+ellipse)-math.Sqrt((3+ellipse)*(1+3*ellipse)), 2) / ellipse
	square := 4 * (1 + rectangle) * (1 + rectangle) / rectangle
	like := 0.5 // near 3:1 the perimeters are the same
	if math.Abs(square-round) > 0.02*round {
		like = min(max((p*p/a-round)/(square-round), 0), 1)
	}
	return ellipse + like*(rectangle-ellipse)
}

// resistance returns the pressure, Pa, that drives 1 mm³/s of a liquid of 1 Pa·s
// through, with the losses where it enters and leaves: in a round channel of
// radius r and length L, (3 + 8L/πr)/r³. Sources: Sampson, Philosophical
// Transactions A 182, 1891; Dagan, Weinbaum & Pfeffer, Journal of Fluid Mechanics
// 115, 1982 (both from memory). Other sections lose at their ends what the round
// channel of the same conductance does.
func (c Channel) resistance() float64 {
	k := c.conductance()
	r := math.Pow(8*k/math.Pi, 0.25)
	return 3/(r*r*r) + c.LengthMM/k
}

// Flow returns the flow, mm³/s, of a liquid under a head of itself.
func (c Channel) Flow(headMM, densityGPerCM3, viscosityPaS float64) float64 {
	return pressure(headMM, densityGPerCM3) / (viscosityPaS * c.resistance())
}

// pressure of a column of liquid, Pa.
func pressure(headMM, densityGPerCM3 float64) float64 { return densityGPerCM3 * gravity * headMM }

// reynolds returns the Reynolds number, on the hydraulic diameter 4A/P, of a flow
// in mm³/s. The model holds below mostReynolds.
func (c Channel) reynolds(flow, densityGPerCM3, viscosityPaS float64) float64 {
	return 4e-3 * densityGPerCM3 * flow / (c.perimeter() * viscosityPaS)
}

// mostReynolds is where the flow is no longer creeping enough for the losses above.
const mostReynolds = 1000
