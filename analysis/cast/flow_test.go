package cast

import (
	"math"
	"testing"

	"pourwright/analysis/shelf"
)

// round is a round channel.
func round(d, length float64) Channel { return Channel{DiameterMM: d, LengthMM: length} }

// rect is a channel of section a by b, b the shorter.
func rect(a, b float64) Channel {
	return Channel{DiameterMM: b, AreaMM2: a * b, PerimeterMM: 2 * (a + b)}
}

// Poiseuille's law with and without end losses, worked by hand from the closed
// forms: d⁴π·Δp/(128μL), and Δp·r³/(μ(3 + 8L/πr)) (Sampson; Dagan, Weinbaum &
// Pfeffer, J. Fluid Mechanics 115, 1982, from memory).
func TestRoundNeck(t *testing.T) {
	for _, c := range []struct {
		d, l, head, viscosity, want float64 // mL/s
	}{
		{10, 50, 150, 20, 0.35528},
		{15, 50, 150, 20, 1.7086},
		{20, 50, 150, 20, 5.1426},
		{6, 50, 150, 1, 0.96143},
	} {
		near(t, "flow", round(c.d, c.l).Flow(c.head, 1.1, c.viscosity)/1000, c.want, 2e-5)
	}
	without := round(10, 50).conductance() * pressure(150, 1.1) / 50 / 20
	near(t, "without end losses", without/1000, 0.39714, 2e-5)
	// A hole in a thin sheet: Q = Δp·r³/3μ (Sampson, 1891).
	near(t, "hole", round(8, 0).Flow(100, 1.2, 5), pressure(100, 1.2)*64/3/5, 1e-12)
	near(t, "1 L through 10 mm, minutes", 1e6/round(10, 50).Flow(150, 1.1, 20)/60, 46.9, 1e-3)
}

// Exact series for a rectangle, Q·μ/(G·b⁴) (White, "Viscous Fluid Flow", from
// memory; the figures from the series summed by a script).
func TestRectangles(t *testing.T) {
	for _, c := range [][2]float64{{1, 0.0351443}, {1.5, 0.0734103}, {2, 0.114341}, {4, 0.280813}, {8, 0.614146}} {
		near(t, "rectangle", rect(c[0]*3, 3).conductance()/81, c[1], 0.008)
	}
	// Two plates: Q = w·h³·G/12μ, less 0.63 of a gap's width for the ends. With
	// G = ρg: 0.5618 mL/s between plates of 5 × 100 mm at 20 Pa·s and 1.1 g/cm³.
	got := rect(100, 5).conductance() * pressure(1, 1.1) / 20 / 1000
	near(t, "slot", got, 0.5618*(1-0.63*5/100), 0.005)
}

// Friction factors times Reynolds number (Darcy), as published for ducts: circle
// 64, square 56.9, 2:1 62.2, 4:1 73.0, 8:1 82.3, plates 96.
func TestFrictionOfDucts(t *testing.T) {
	friction := func(c Channel) float64 { // C in V = 2·Dh²·G/(C·μ)
		dh := 4 * c.area() / c.perimeter()
		return 2 * dh * dh * c.area() / c.conductance()
	}
	near(t, "circle", friction(round(7, 1)), 64, 1e-12)
	for _, c := range [][2]float64{{1, 56.908}, {2, 62.192}, {4, 72.93}, {8, 82.34}, {1e4, 96}} {
		near(t, "duct", friction(rect(c[0], 1)), c[1], 0.008)
	}
	triangle := Channel{DiameterMM: 1 / math.Sqrt(3), AreaMM2: math.Sqrt(3) / 4, PerimeterMM: 3}
	near(t, "equilateral triangle", friction(triangle), 53.333, 0.05)
	measured := Channel{DiameterMM: 2, AreaMM2: math.Pi, PerimeterMM: 2 * math.Pi}
	near(t, "circle by its area and outline", measured.conductance(), round(2, 0).conductance(), 0.004)
}

// An ellipse is exact: Q = πa³b³G/(4μ(a² + b²)) (White, from memory).
func TestEllipses(t *testing.T) {
	for _, a := range []float64{1.2, 1.5, 2, 3, 5, 8} {
		h := (a - 1) * (a - 1) / ((a + 1) * (a + 1))
		p := math.Pi * (a + 1) * (1 + 3*h/(10+math.Sqrt(4-3*h))) // Ramanujan, second form
		c := Channel{DiameterMM: 2, AreaMM2: math.Pi * a, PerimeterMM: p}
		near(t, "ellipse", c.conductance(), math.Pi*a*a*a/(4*(a*a+1)), 0.06)
	}
}

// A ring between two tubes is a slot of its middle's length.
func TestRing(t *testing.T) {
	c := Channel{DiameterMM: 2, AreaMM2: math.Pi * (22*22 - 20*20), PerimeterMM: 2 * math.Pi * 42}
	near(t, "ring", c.conductance(), 2*math.Pi*21*8/12, 0.02)
}

var resin = Liquid{DensityGPerCM3: 1.1, ViscosityPaS: shelf.Range{Low: 10, Likely: 20, High: 40}, WorkingS: 1800}

// Under a falling head the level nears the rim as ln of the heads: a column of
// 50 cm² that drains from 150 to 50 mm of head through d 10, L 50 takes 2074.7 s
// without end losses (t = ln(h₀/h₁)/k, k = πd⁴ρg/(128μLA); White, "Fluid
// Mechanics", worked example, from memory). The losses lengthen it in proportion.
func TestFallingHead(t *testing.T) {
	var layers []Layer
	for i := range 2000 {
		layers = append(layers, Layer{DepthMM: 150 - brimMM - (float64(i)+0.5)*100/2000, VolumeMM3: 5000 * 100. / 2000})
	}
	c := round(10, 50)
	losses := c.resistance() * c.conductance() / c.LengthMM
	f := Fill(c, 1000, layers, resin)
	near(t, "time", f.Seconds.Likely, 2074.7*losses, 1e-4)
	near(t, "thin", f.Seconds.Low, f.Seconds.Likely/2, 1e-12)
	near(t, "thick", f.Seconds.High, f.Seconds.Likely*2, 1e-12)
}

func TestVerdict(t *testing.T) {
	behind := []Layer{{DepthMM: 300, VolumeMM3: 100_000}}
	c := round(10, 50)
	f := Fill(c, 140, behind, resin) // head 150 mm: 0.35528 mL/s
	near(t, "100 mL", f.Seconds.Likely, 100/0.35528, 2e-5)
	if !f.Quick || !f.Creeping {
		t.Errorf("281 s of the 300 that 1800 s of working time allow: %+v", f)
	}
	behind[0].VolumeMM3 *= 2
	if Fill(c, 140, behind, resin).Quick {
		t.Error("562 s are quick")
	}
	wide := WidenTo(c, 140, behind, resin)
	near(t, "widened", Fill(round(wide, 50), 140, behind, resin).Seconds.Likely, 300, 1e-6)
	if wide <= 10 || wide > 14 {
		t.Errorf("widened to %g mm", wide)
	}
	if quick := WidenTo(round(30, 50), 140, behind, resin); quick != 30 {
		t.Errorf("wide enough is widened to %g", quick)
	}
	if never := WidenTo(round(10, 50), 140, []Layer{{300, 1e9}}, resin); never != 0 {
		t.Errorf("a cubic metre in 300 s through %g mm", never)
	}
	square := WidenTo(Channel{DiameterMM: 9, AreaMM2: 81, PerimeterMM: 36, LengthMM: 50}, 140, behind, resin)
	if s := square / 9; math.Abs(Fill(Channel{square, 81 * s * s, 36 * s, 50}, 140, behind, resin).Seconds.Likely-300) > 1e-3 {
		t.Errorf("square widened to %g", square)
	}
}

// Water-thin resin through a wide neck is no creeping flow: 4ρQ/πdμ is far over
// 1000.
func TestTooFastForTheModel(t *testing.T) {
	water := Liquid{DensityGPerCM3: 1, ViscosityPaS: shelf.Range{Low: 0.001, Likely: 0.001, High: 0.001}, WorkingS: 300}
	f := Fill(round(20, 10), 100, []Layer{{100, 1e5}}, water)
	const q = pourMM3S * 1e-9 // it would pass more than can be poured
	near(t, "Reynolds", f.Reynolds, 4*1000*q/(math.Pi*0.020*0.001), 1e-9)
	near(t, "as fast as it is poured", f.Seconds.Likely, 1e5/pourMM3S, 1e-12)
	if f.Creeping {
		t.Error("said to creep")
	}
}

// More of anything in the way is never quicker.
func TestFlowLaws(t *testing.T) {
	behind := []Layer{{50, 1e5}, {150, 2e5}}
	base := Fill(rect(12, 5), 100, behind, resin).Seconds.Likely
	for name, other := range map[string]float64{
		"longer":  Fill(Channel{5, 60, 34, 9}, 100, behind, resin).Seconds.Likely,
		"thinner": Fill(rect(12, 4.5), 100, behind, resin).Seconds.Likely,
		"higher":  Fill(rect(12, 5), 60, behind, resin).Seconds.Likely,
		"more":    Fill(rect(12, 5), 100, append([]Layer{{20, 1}}, behind...), resin).Seconds.Likely,
	} {
		if !(other > base) {
			t.Errorf("%s: %g s, before %g s", name, other, base)
		}
	}
}
