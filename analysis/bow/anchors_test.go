package bow_test

import (
	"fmt"
	"math"
	"testing"

	"pourwright/analysis/bow"
)

// The anchors below have the same source as the tables: computed for this
// project by separate programs, unless another is named.

// Partial fill of a square wall; coefficients × q₀b⁴/D with q₀ = ρ·g·level.
func TestPartialFill(t *testing.T) {
	var w worst
	for _, c := range []struct {
		code       string
		half, more float64
		topMiddle  bool
	}{
		{"SSSF", 0.000753, 0.001848, true},
		{"SSSS", 0.000785, 0.001465, false},
		{"CCCF", 0.000234, 0.000508, false},
	} {
		for level, want := range map[float64]float64{0.5: c.half, 0.75: c.more} {
			wall := unitWall(1, 0.3, c.code)
			wall.LevelMM = 1000 * level
			s := bend(t, wall)
			got := s.alpha(s.DeflectionMM)
			if c.topMiddle {
				got = s.alpha(s.TopMiddleMM)
			}
			w.near(t, fmt.Sprintf("%s filled to %v", c.code, level), got, want, 0.5, 1e-6)
		}
	}
	w.log(t, "partial fill")
}

// Square wall, all edges on turning springs of K·b/D: from supported to clamped.
func TestElasticEdges(t *testing.T) {
	var w worst
	for _, c := range [][2]float64{{0, 0.002054}, {1, 0.001744}, {5, 0.001232}, {10, 0.001017}, {100, 0.000693}, {1e4, 0.000644}} {
		wall := unitWall(1, 0.3, "SSSS")
		e := bow.Edge{Hold: bow.Elastic, TurnN: c[0] * wall.Plate.DxNM}
		wall.Edges = bow.Edges{Left: e, Right: e, Bottom: e, Top: e}
		s := bend(t, wall)
		w.near(t, fmt.Sprintf("kb/D = %v", c[0]), s.alpha(s.DeflectionMM), c[1], 0.5, 1e-6)
	}
	w.log(t, "elastic edges")
}

// A spring at mid height of a wall two by one with a free top.
func TestLineSpring(t *testing.T) {
	var w worst
	for _, c := range [][2]float64{{0, 0.036703}, {10, 0.024351}, {100, 0.006407}, {1000, 0.001331}} {
		wall := unitWall(2, 0.3, "SSSF")
		wall.Lines = []bow.Line{{AtMM: 500, SpringPa: c[0] * wall.Plate.DxNM}}
		s := bend(t, wall)
		w.near(t, fmt.Sprintf("kb³/D = %v", c[0]), s.alpha(s.TopMiddleMM), c[1], 0.5, 1e-6)
		relative(t, "sum of reactions", s.Reactions.Sum(), s.ForceN, 1e-9)
	}
	w.log(t, "line spring")
}

// A rigid upright in the middle of a wall keeps it in place there, and by
// symmetry it does not turn either: each half bows like a wall clamped there.
func TestRigidLineIsAClampedEdgeBySymmetry(t *testing.T) {
	whole := unitWall(2, 0.3, "SSSF")
	whole.Lines = []bow.Line{{Upright: true, AtMM: 1000, SpringPa: math.Inf(1)}}
	half := unitWall(1, 0.3, "SCSF")
	w, h := bend(t, whole), bend(t, half)
	relative(t, "deflection", w.DeflectionMM, h.DeflectionMM, 5e-3)
	relative(t, "bulge", w.BulgeMM3, 2*h.BulgeMM3, 5e-3)
	relative(t, "line", w.Reactions.Lines[0], 2*h.Reactions.Right, 0.02)
}

// A grained plate 1.5 by one: Dx = 1, Dy = 0.25, D1 = 0.05, D66 = 0.12.
func TestGrainedPlate(t *testing.T) {
	var w worst
	wall := unitWall(1.5, 0, "SSSS")
	wall.Plate = bow.Plate{DxNM: 1, DyNM: 0.25, D1NM: 0.05, D66NM: 0.12, ThicknessMM: 1}
	s := bend(t, wall)
	w.near(t, "SSSS most", s.alpha(s.DeflectionMM), 0.011650, 0.5, 1e-6)
	w.near(t, "SSSS bulge", s.BulgeMM3/1e9*s.d/s.q0/1.5, 0.004821, 0.5, 1e-6)
	wall.Edges = edges("CCCF")
	s = bend(t, wall)
	w.near(t, "CCCF most", s.alpha(s.DeflectionMM), 0.004119, 0.5, 1e-6)
	w.log(t, "grained plate")

	wall = unitWall(1, 0, "SSSS")
	wall.Plate = bow.Plate{DxNM: 1, DyNM: 0.25, D1NM: 0.05, D66NM: 0.12, ThicknessMM: 1}
	upright := wall
	upright.Plate.DxNM, upright.Plate.DyNM = 0.25, 1
	one, two := bend(t, wall).BulgeMM3, bend(t, upright).BulgeMM3
	relative(t, "grain turned, square, supported all round: bulge", one, two, 1e-6)
	relative(t, "its value", one/1e9/bend(t, wall).q0, 0.001863, 5e-4)
}

// Sides and foot clamped, top free, other Poisson's ratios. The foot moments
// for ν = 0.2 are those of the concrete-tank tables of the Portland Cement
// Association, −0.126, −0.108, −0.086, −0.060, −0.047, −0.035 for width over
// height 3, 2.5, 2, 1.5, 1.25, 1 (from memory), to half a percent more digits.
func TestOtherPoissonRatios(t *testing.T) {
	var w worst
	for _, c := range []struct{ aspect, poisson, top, foot float64 }{
		{1, 0.2, 0.000554, -0.0350}, {1.25, 0.2, 0, -0.0477}, {1.5, 0.2, 0.003061, -0.0605},
		{2, 0.2, 0.007712, -0.0860}, {2.5, 0.2, 0.013240, -0.1088}, {3, 0.2, 0.018395, -0.1269},
		{1, 1. / 6, 0.000549, 0}, {2, 1. / 6, 0.007582, -0.08584},
	} {
		s := bend(t, unitWall(c.aspect, c.poisson, "CCCF"))
		where := fmt.Sprintf("a/b %v ν %.2f", c.aspect, c.poisson)
		if c.top != 0 {
			w.near(t, where+" top", s.alpha(s.TopMiddleMM), c.top, 0.5, 1e-6)
		}
		if c.foot != 0 {
			w.near(t, where+" foot", s.Moments.FootY/s.q0, c.foot, 0.5, 1e-4)
		}
	}
	w.log(t, "other Poisson's ratios")
	for aspect, want := range map[float64]float64{3: -0.126, 2.5: -0.108, 2: -0.086, 1.5: -0.060, 1.25: -0.047, 1: -0.035} {
		s := bend(t, unitWall(aspect, 0.2, "CCCF"))
		if got := s.Moments.FootY / s.q0; math.Abs(got-want) > 0.001 {
			t.Errorf("a/b %v: foot moment %.4f, tank tables %.3f", aspect, got, want)
		}
	}
}

// Strips of a very wide wall under the triangle of pressure are beams
// (standard beam tables, from memory): cantilever q₀b⁴/30D at the top,
// supported 0.006522 at 0.481 b, clamped at both ends 1/768 in the middle.
func TestStrips(t *testing.T) {
	wide := func(code string) scaled { return bend(t, unitWall(10, 0, code)) }
	c := wide("FFCF")
	relative(t, "cantilever", c.alpha(c.TopMiddleMM), 1./30, 1e-4)
	relative(t, "its foot moment", c.Moments.FootY/c.q0, -1./6, 1e-3)
	s := wide("FFSS")
	relative(t, "supported", s.alpha(s.DeflectionMM), 0.006522, 1e-3)
	if math.Abs(s.AtMM[1]-481) > 1 {
		t.Errorf("supported strip bows most at %v, want 0.481 of the height", s.AtMM[1]/1000)
	}
	cc := wide("FFCC")
	relative(t, "clamped", cc.alpha(cc.Grid.MM[20*41+20]), 1./768, 1e-3)

	// A soft core adds, by integrating −S·v″ = q twice, q₀b²/6S at the top of a
	// cantilever and q₀b²/16S in the middle between two edges.
	for _, strip := range []struct {
		code string
		of   func(scaled) float64
		want float64
	}{
		{"FFCF", func(s scaled) float64 { return s.TopMiddleMM }, 1. / 6},
		{"FFCC", func(s scaled) float64 { return s.Grid.MM[20*41+20] }, 1. / 16},
		{"FFSS", func(s scaled) float64 { return s.Grid.MM[20*41+20] }, 1. / 16},
	} {
		w := unitWall(4, 0, strip.code)
		plain := strip.of(bend(t, w))
		w.Plate.ShearNPerM = 5000
		s := bend(t, w)
		relative(t, strip.code+" soft core", (strip.of(s)-plain)/1000*5000/s.q0, strip.want, 1e-4)
	}
}

// Hydrostatic pressure on a supported plate in the form of tank-glass tables:
// w = α·q·b⁴/Et³, σ = β·q·b²/t², with L/H and the digits as printed (R. J.
// Roark, "Formulas for Stress and Strain", table 26 case 1d, as quoted by pages
// on glass tanks; ν = 0.3). The first α, 0.003, stands for 0.0037 there, cut off.
func TestTankGlass(t *testing.T) {
	for _, c := range []struct{ ratio, alpha, beta, alphaDigit, betaDigit float64 }{
		{0.5, 0.003, 0.085, 2e-3, 2e-3}, {0.666, 0.0085, 0.1156, 2e-4, 6e-3}, {1, 0.022, 0.16, 1e-3, 1e-2},
		{1.5, 0.042, 0.26, 1e-3, 1e-2}, {2, 0.056, 0.32, 1e-3, 1e-2}, {2.5, 0.063, 0.35, 1e-3, 1e-2}, {3, 0.067, 0.37, 1e-3, 1e-2},
	} {
		s := bend(t, unitWall(c.ratio, 0.3, "SSSS"))
		alpha := 12 * (1 - 0.3*0.3) * s.alpha(s.DeflectionMM)
		beta := 6 * math.Max(s.Moments.SagX, s.Moments.SagY) / s.q0
		if math.Abs(alpha-c.alpha) > c.alphaDigit {
			t.Errorf("L/H %v: α %.4f, table %v", c.ratio, alpha, c.alpha)
		}
		if math.Abs(beta-c.beta) > c.betaDigit {
			t.Errorf("L/H %v: β %.4f, table %v", c.ratio, beta, c.beta)
		}
	}
}

// A worked pane: 3000 × 1000 mm, E = 69 GPa, 27.06 mm thick, q₀ = 10 kPa bows
// 0.490 mm with the α of 0.067 of the table (page on glass tanks).
func TestWorkedPane(t *testing.T) {
	w := unitWall(3, 0.3, "SSSS")
	w.Plate = bow.Isotropic(69e9, 0.3, 27.06)
	w.DensityGPerCM3 = 10 / bow.GravityMPerS2
	s := bend(t, w)
	if math.Abs(s.DeflectionMM-0.490) > 0.0015 {
		t.Errorf("pane bows %.4f mm, want 0.490", s.DeflectionMM)
	}
	relative(t, "force", s.ForceN, 15000, 1e-9)
}

// Walls of box materials under rubber of 1.13 g/cm³ to the top. Deflection in
// mm, bulge in mL where printed.
func TestWorkedWalls(t *testing.T) {
	ply := func(t float64) bow.Plate { return bow.Isotropic(7e9, 0.3, t) }
	acrylic := bow.Isotropic(3.2e9, 0.37, 6)
	foam := bow.Bending(9, 0.25, 5)
	for _, c := range []struct {
		name          string
		width, height float64
		plate         bow.Plate
		code          string
		mm, mL        float64
		digit         float64
	}{
		{"ply 6", 300, 250, ply(6), "SSSS", 0.222, 6.96, 0.001},
		{"ply 6", 300, 250, ply(6), "SSSF", 0.564, 17.8, 0.001},
		{"ply 6", 300, 250, ply(6), "CCCF", 0.109, 3.23, 0.001},
		{"ply 12", 300, 250, ply(12), "SSSS", 0.028, 0, 0.001},
		{"ply 12", 300, 250, ply(12), "SSSF", 0.071, 0, 0.001},
		{"ply 12", 300, 250, ply(12), "CCCF", 0.014, 0, 0.001},
		{"acrylic 6", 300, 250, acrylic, "SSSS", 0.46, 0, 0.01},
		{"acrylic 6", 300, 250, acrylic, "SSSF", 1.24, 0, 0.1},
		{"acrylic 6", 300, 250, acrylic, "CCCF", 0.23, 0, 0.01},
		{"foam 5", 300, 250, foam, "SSSS", 3.4, 0, 0.1},
		{"foam 5", 300, 250, foam, "SSSF", 8.4, 0, 0.1},
		{"foam 5", 300, 250, foam, "CCCF", 1.7, 0, 0.1},
		{"foam 5", 200, 150, foam, "SSSS", 0.31, 0, 0.01},
		{"foam 5", 200, 150, foam, "SSSF", 0.94, 0, 0.01},
		{"foam 5", 200, 150, foam, "CCCF", 0.19, 0, 0.01},
	} {
		s := bend(t, bow.Wall{
			WidthMM: c.width, HeightMM: c.height, LevelMM: c.height, Plate: c.plate, Edges: edges(c.code), DensityGPerCM3: 1.13,
		})
		if math.Abs(s.DeflectionMM-c.mm) > 0.51*c.digit {
			t.Errorf("%s %v × %v %s: %.4f mm, want %v", c.name, c.width, c.height, c.code, s.DeflectionMM, c.mm)
		}
		if c.mL != 0 && math.Abs(s.BulgeMM3/1000/c.mL-1) > 0.005 {
			t.Errorf("%s %v × %v %s: %.3f mL, want %v", c.name, c.width, c.height, c.code, s.BulgeMM3/1000, c.mL)
		}
		if s.Linear != (s.DeflectionMM < c.plate.ThicknessMM/2) {
			t.Errorf("%s %s: %.3f mm called linear: %v", c.name, c.code, s.DeflectionMM, s.Linear)
		}
	}
}

// Force and base moment of a wall 300 × 250 mm under 1.13 g/cm³: 103.889 N at
// 83.33 mm, 8.6574 N·m (closed forms ½ρgah² and ρgah³/6).
func TestForceOfTheLiquid(t *testing.T) {
	s := bend(t, bow.Wall{
		WidthMM: 300, HeightMM: 300, LevelMM: 250, Plate: bow.Bending(100, 0.3, 6), Edges: edges("SSSF"), DensityGPerCM3: 1.13,
	})
	relative(t, "force", s.ForceN, 103.889, 1e-5)
	relative(t, "its height", s.ForceAtMM, 250./3, 1e-12)
	relative(t, "base moment", s.ForceN*s.ForceAtMM/1000, 8.6574, 1e-5)
}

// Sandwich walls under 1.13 g/cm³, D = 9 N·m, S = 2·10⁴ N/m, supported all
// round: in the middle 200 × 150 mm bows 0.310 mm by bending and 0.088 mm by
// shear, 100 × 100 mm 0.025 and 0.020 mm. Shear alone, in the middle: 0.036836
// q₀b²/S square, 0.056936 for two by one.
func TestSandwich(t *testing.T) {
	for _, c := range []struct{ width, height, bend, shear float64 }{{200, 150, 0.310, 0.088}, {100, 100, 0.025, 0.020}} {
		w := bow.Wall{
			WidthMM: c.width, HeightMM: c.height, LevelMM: c.height, Edges: edges("SSSS"), DensityGPerCM3: 1.13,
			Plate: bow.Bending(9, 0.3, 5),
		}
		plain := bend(t, w).Grid.MM[20*41+20]
		w.Plate = bow.Sandwich(9, 0.3, 2e4, 5)
		shear := bend(t, w).Grid.MM[20*41+20] - plain
		if math.Abs(plain-c.bend) > 0.0006 || math.Abs(shear-c.shear) > 0.0006 {
			t.Errorf("%v × %v: bending %.4f, shear %.4f mm, want %v and %v", c.width, c.height, plain, shear, c.bend, c.shear)
		}
	}
	for aspect, want := range map[float64]float64{1: 0.036836, 2: 0.056936} {
		w := unitWall(aspect, 0.3, "SSSS")
		plain := bend(t, w).Grid.MM[20*41+20]
		w.Plate.ShearNPerM = 1000
		s := bend(t, w)
		relative(t, "shear alone", (s.Grid.MM[20*41+20]-plain)/1000*1000/s.q0, want, 5e-4)
	}
}

// Panels 300 × 300 mm supported all round, as a workshop page worked them out:
// 16 mm board bows under 0.1 mm, 12 mm MDF about 0.1, 6 mm acrylic about 1, 5 mm
// foam board centimetres; it takes 1.18 g/cm³ (3.5 kPa at 300 mm).
func TestWorkshopPanels(t *testing.T) {
	for _, c := range []struct {
		name        string
		plate       bow.Plate
		least, most float64
	}{
		{"16 mm board", bow.Isotropic(2.5e9, 0.25, 16), 0, 0.1},
		{"12 mm MDF", bow.Isotropic(3.2e9, 0.25, 12), 0.05, 0.15},
		{"6 mm acrylic", bow.Isotropic(3.1e9, 0.37, 6), 0.7, 1.3},
		{"5 mm foam board", bow.Sandwich(9, 0.25, 2e4, 5), 5, 30},
	} {
		s := bend(t, bow.Wall{
			WidthMM: 300, HeightMM: 300, LevelMM: 300, Plate: c.plate, Edges: edges("SSSS"), DensityGPerCM3: 1.18,
		})
		if math.Abs(s.q0-3500) > 50 || s.DeflectionMM < c.least || s.DeflectionMM > c.most {
			t.Errorf("%s: %.3f mm at %.0f Pa, want %v to %v", c.name, s.DeflectionMM, s.q0, c.least, c.most)
		}
		if c.plate.ThicknessMM == 5 && s.Linear {
			t.Error("foam board in centimetres is called linear")
		}
	}
}

// What is the same on both sides of the middle is solved with half the
// functions; a line of nothing makes the solver take all of them, and one more.
func TestHalfTheFunctionsDo(t *testing.T) {
	for _, code := range []string{"SSSF", "CCCF", "SSSS"} {
		for _, shear := range []float64{0, 2e4} {
			w := unitWall(1.3, 0.3, code)
			w.LevelMM, w.Plate.ShearNPerM = 800, shear
			half := bend(t, w)
			w.Lines = []bow.Line{{Upright: true, AtMM: 200}}
			all := bend(t, w)
			relative(t, code+" deflection", half.DeflectionMM, all.DeflectionMM, 1e-6)
			relative(t, code+" bulge", half.BulgeMM3, all.BulgeMM3, 1e-6)
			relative(t, code+" moment", half.Moments.Largest, all.Moments.Largest, 1e-4)
			relative(t, code+" side", half.Reactions.Left, all.Reactions.Left, 1e-4)
			relative(t, code+" foot", half.Reactions.Bottom, all.Reactions.Bottom, 1e-2)
		}
	}
}
