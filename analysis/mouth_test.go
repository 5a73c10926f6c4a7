package analysis

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/airtrap"
	"pourwright/analysis/cast"
	"pourwright/analysis/finding"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
)

// A foot counts at its widest under half a millimetre, be it under or over the board's
// own face, holes left out. Elementary areas; a ball of radius R is cut at height h in a
// circle of radius √(2Rh − h²).
func TestFootprintClosedForms(t *testing.T) {
	circle := func(n, r float64) float64 { return n / 2 * r * r * math.Sin(2*math.Pi/n) } // of n corners
	ring := meshtest.Lathe([]r2.Vec{{X: 10}, {X: 30}, {X: 30, Y: 50}, {X: 10, Y: 50}, {X: 10}}, 64)
	ball := meshtest.Moved(meshtest.Icosphere(6).Scaled(50), r3.Vec{Z: 50})
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		want float64
		off  float64
	}{
		{"box", meshtest.Box(150, 60, 40), 150 * 60, 1e-9},
		{"narrows upwards", meshtest.Frustum(64, 30, 10, 1), circle(64, 30), 1e-9},
		{"widens upwards", meshtest.Frustum(64, 10, 30, 1), circle(64, 20), 1e-9},
		{"two feet", meshtest.Together(meshtest.Box(20, 20, 90), meshtest.Moved(meshtest.Box(30, 10, 90), r3.Vec{X: 50})), 700, 1e-9},
		{"ring", ring, circle(64, 30) - circle(64, 10), 1e-9},
		{"ball", ball, math.Pi * (50 - 0.25), 0.03},
		{"clear of the board", meshtest.Moved(meshtest.Box(9, 9, 9), r3.Vec{Z: 20}), 0, 1e-9},
	} {
		if have, _ := footprint(c.m, 0.5); math.Abs(have-c.want) > c.off*c.want+1e-9 {
			t.Errorf("%s: %.3f mm², want %.3f", c.name, have, c.want)
		}
	}
}

// What pushes on the lid is the likely pressure on all that is open, twice: of a box on
// a face of 150 by 60 mm its whole face, not the circle of 60 mm in it; on a stem the
// stem's circle.
func TestLidBearsTheWholeMouth(t *testing.T) {
	box := scanOf(t, meshtest.Box(60, 40, 150))
	round := scanOf(t, meshtest.Cylinder(180, 30, 200))
	for _, c := range []struct {
		name   string
		asked  Choices
		mm2    float64
		around []float64
	}{
		{"box", Choices{Scan: box, Units: "mm", Down: &[3]float64{0, 1, 0}}, 9000, []float64{150, 60}},
		{"cylinder", Choices{Scan: round, Units: "mm", Down: &[3]float64{0, 0, -1}}, 90 * 900 * math.Sin(math.Pi/90), []float64{60, 60}},
		{"on a stem", Choices{Scan: box, Units: "mm", Down: &[3]float64{0, 1, 0}, StemMM: 25}, 0, nil},
	} {
		p := castOf(t, c.asked)
		f, m := p.Cast.Foam, p.Cast.Mouth
		if c.mm2 == 0 {
			d := p.Stand.SpoutDiameterMM
			c.mm2, c.around = math.Pi/4*d*d, []float64{d, d}
		}
		vents := m.AreaMM2 - c.mm2
		if math.Abs(vents) > 1e-6*c.mm2 {
			t.Errorf("%s: mouth of %.2f mm², want %.2f", c.name, m.AreaMM2, c.mm2)
		}
		slices.SortFunc(m.SizeMM, func(a, b float64) int { return int(math.Copysign(1, b-a)) })
		if math.Abs(m.SizeMM[0]-c.around[0]) > 0.1 || math.Abs(m.SizeMM[1]-c.around[1]) > 0.1 {
			t.Errorf("%s: %v mm around the mouth, want %v", c.name, m.SizeMM, c.around)
		}
		want := cast.LidSafety * f.PressurePa.Likely * c.mm2 * 1e-6
		for _, trap := range p.CastTrap {
			if v := trap.Vent; v != nil {
				want += cast.LidSafety * f.PressurePa.Likely * math.Pi / 4 * v.DiameterMM * v.DiameterMM * 1e-6
			}
		}
		if math.Abs(f.LidN-want) > 0.01*want {
			t.Errorf("%s: %.1f N on the lid, want %.1f", c.name, f.LidN, want)
		}
		if !slices.ContainsFunc(p.Findings, func(f finding.Finding) bool { return strings.Contains(f.Text, "likely 0.25 bar, up to 0.51") }) {
			t.Errorf("%s: the highest pressure is not told", c.name)
		}
	}
}

// A vent that slants opens an oval: a bar of 4 mm at 45° cuts the board in √2 times its
// circle.
func TestSlantedVentOpensAnOval(t *testing.T) {
	v := &airtrap.Vent{From: r3.Vec{X: 30, Z: 30}, To: r3.Vec{}, DiameterMM: 4}
	j := &job{vents: []*airtrap.Vent{v, nil, v}}
	if have, want := j.ventsMM2(), math.Sqrt2*4*math.Pi; math.Abs(have-want) > 1e-9 {
		t.Errorf("%.4f mm², want %.4f", have, want)
	}
}

// Words of the safety go by the pressures.
func TestSafetyWords(t *testing.T) {
	for high, want := range map[float64]string{51e3: "and about what the highest does", 40e3: "1.2 times what the highest", 100e3: "2.0 times too little for the highest"} {
		f := CastFoam{PressurePa: Spread{Low: 2e4, Likely: 25e3, High: high}, Safety: 2}
		if have := f.SafetyWords(); !strings.Contains(have, want) {
			t.Errorf("up to %g Pa: %q", high, have)
		}
	}
}
