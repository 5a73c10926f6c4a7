package say

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// Factors of NIST SP 811 (2008), appendix B.8, the exact ones written in bold
// there: inch 2.54 E-02 m; pound (avoirdupois) 4.535 923 7 E-01 kg; ounce
// (avoirdupois) 2.834 952 E-02 kg; gallon (US) 3.785 412 E-03 m³; fluid ounce
// (US) 2.957 353 E-05 m³; cubic inch 1.638 706 E-05 m³; square inch 6.4516
// E-04 m²; square foot 9.290 304 E-02 m². Gallon = 231 in³: NIST Handbook 44,
// appendix C.
func TestFactors(t *testing.T) {
	cases := []struct {
		name       string
		have, want float64
		digits     float64
	}{
		{"inch in mm", mmPerInch, 25.4, 0},
		{"pound in g", gramsPerPound, 453.59237, 0},
		{"ounce in g", gramsPerOunce, 28.34952, 1e-5},
		{"gallon in mm³", mm3PerGallon, 3.785412e6, 1},
		{"fluid ounce in mm³", mm3PerFluidOz, 2.957353e4, 0.01},
		{"cubic inch in mm³", mm3PerInch3, 1.638706e4, 0.01},
		{"square inch in mm²", mm2PerInch2, 645.16, 1e-9},
		{"square foot in mm²", inchArea[0].base, 9.290304e4, 1e-6},
	}
	for _, c := range cases {
		if math.Abs(c.have-c.want) > c.digits {
			t.Errorf("%s: have %.9g, want %.9g", c.name, c.have, c.want)
		}
	}
}

func TestLength(t *testing.T) {
	cases := []struct {
		mm   float64
		want string
	}{
		{412, "412 mm (16 1/4 in)"}, // 16.2205 in
		{25.4, "25 mm (1 in)"},
		{19.05, "19 mm (3/4 in)"},
		{0, "0 mm (0 in)"},
		{3, "3 mm (1/8 in)"}, // 0.1181 in
		{1.5, "1.5 mm (1/16 in)"},
		{0.5, "0.5 mm (0.02 in)"}, // 0.019685 in
		{0.001, "0.001 mm (0.000039 in)"},
		{9.97, "10 mm (3/8 in)"},
		{-412, "−412 mm (−16 1/4 in)"},
		{math.Copysign(0, -1), "0 mm (0 in)"},
		{304.8, "305 mm (12 in)"},
		{100000, "100\u00a0000 mm (3937 in)"}, // 3937.008 in
		{math.NaN(), Unknown},
		{math.Inf(1), Unknown},
		{1e300, Unknown},
	}
	for _, c := range cases {
		if have := Both.Length(c.mm); have != c.want {
			t.Errorf("Length(%g): have %q, want %q", c.mm, have, c.want)
		}
	}
	if have := Metric.Length(412); have != "412 mm" {
		t.Errorf("metric: %q", have)
	}
	if have := Inch.Length(412); have != "16 1/4 in" {
		t.Errorf("inch: %q", have)
	}
}

func TestLengthUp(t *testing.T) {
	cases := []struct {
		mm   float64
		want string
	}{
		{412, "412 mm (16 1/4 in)"},         // 259.53 sixteenths
		{412.0000001, "412 mm (16 1/4 in)"}, // rounding error of a sum
		{412.01, "413 mm (16 1/4 in)"},
		{412.75, "413 mm (16 1/4 in)"},  // 260 sixteenths exactly
		{412.76, "413 mm (16 5/16 in)"}, // 260.006 sixteenths
		{25.4, "26 mm (1 in)"},
		{0.2, "1 mm (1/16 in)"},
		{0, "0 mm (0 in)"},
		{math.NaN(), Unknown},
	}
	for _, c := range cases {
		if have := Both.LengthUp(c.mm); have != c.want {
			t.Errorf("LengthUp(%g): have %q, want %q", c.mm, have, c.want)
		}
	}
}

// Down to whole mm and whole sixteenths: 24.66 mm is 15.53 sixteenths of an inch.
func TestLengthDown(t *testing.T) {
	for mm, want := range map[float64]string{24.66: "24 mm (15/16 in)", 25.4: "25 mm (1 in)", 25.39: "25 mm (15/16 in)", 9.7: "9 mm (3/8 in)", 64: "64 mm (2 1/2 in)", 0.4: "0 mm (0 in)", math.NaN(): Unknown} {
		if have := Both.LengthDown(mm); have != want {
			t.Errorf("LengthDown(%g): have %q, want %q", mm, have, want)
		}
	}
}

// No board comes out shorter than the length, nor a full step longer.
func TestLengthUpNeverShort(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 19))
	for range 2000 {
		mm := random.Float64() * 900
		if up := wholeUp(mm); up < mm-2*slack || up >= mm+1 {
			t.Fatalf("%g mm rounded up to %g mm", mm, up)
		}
		if up := sixteenthsUp(mm) / 16 * mmPerInch; up < mm-2*slack || up >= mm+mmPerInch/16 {
			t.Fatalf("%g mm rounded up to %g mm in sixteenths", mm, up)
		}
	}
}

func TestSizeAndPoint(t *testing.T) {
	cases := []struct{ have, want string }{
		{Both.Size([]float64{300, 150, 90}), "300 × 150 × 90 mm (11 13/16 × 5 7/8 × 3 9/16 in)"},
		{Both.SizeUp([]float64{300.2, 150}), "301 × 150 mm (11 7/8 × 5 15/16 in)"},
		{Both.Size([]float64{392, 42.4, 41.6}), "392 × 42 × 42 mm (15 7/16 × 1 11/16 × 1 11/16 in)"}, // alike in mm, alike in inches
		{Inch.Size([]float64{42.4, 41.6}), "1 11/16 × 1 5/8 in"},
		{Metric.Size([]float64{12, 8}), "12 × 8 mm"},
		{Both.Size(nil), Unknown},
		{Both.Size([]float64{1, math.NaN()}), Unknown},
		{Both.Point([3]float64{12, -4, 33.8}), "x 12, y −4, z 34 mm (x 0.47, y −0.16, z 1.33 in)"},
		{Metric.Point([3]float64{-0.2, 0, 0}), "x 0, y 0, z 0 mm"},
		{Inch.Point([3]float64{math.Inf(1), 0, 0}), Unknown},
	}
	for _, c := range cases {
		if c.have != c.want {
			t.Errorf("have %q, want %q", c.have, c.want)
		}
	}
}

func TestAmounts(t *testing.T) {
	cases := []struct{ have, want string }{
		{Both.Mass(3270), "3.27 kg (7.21 lb)"}, // 7.2091 lb
		{Both.Mass(453.59237), "454 g (1 lb)"},
		{Both.Mass(85.048), "85 g (3 oz weight)"},
		{Both.Mass(999.7), "1 kg (2.2 lb)"},
		{Both.Mass(0), "0 g (0 oz weight)"},
		{Both.Mass(-3270), "−3.27 kg (−7.21 lb)"},
		{Metric.Mass(17234), "17.2 kg"},
		{Inch.Mass(28.349523125), "1 oz weight"},
		{Both.Mass(math.NaN()), Unknown},
		{Both.MassRange(3100, 3496), "3.1–3.5 kg (6.83–7.71 lb)"},
		{Both.MassRange(2790, 3220), "2.79–3.22 kg (6.15–7.10 lb)"}, // 6.1509, 7.0989 lb
		{Metric.MassRange(-2, 0), "−2–0 g"},
		{Metric.MassRange(950, 1050), "0.95–1.05 kg"},
		{Metric.MassRange(500, 500), "500 g"},
		{Metric.MassRange(math.NaN(), 500), Unknown},
		{Both.Volume(411600), "412 mL (25.1 in³)"}, // 25.117 in³
		{Both.Volume(5.5e6), "5.5 L (336 in³)"},    // 335.6 in³
		{Both.Volume(0), "0 mL (0 in³)"},
		{Both.VolumeError(412e3, 3e3), "412 ± 3 mL (25.1 ± 0.2 in³)"},
		{Both.VolumeError(412e3, 1e-6), "412 mL (25.1 in³)"},
		{Metric.VolumeError(412e3, math.NaN()), "412 mL"},
		{Metric.VolumeError(1.2345e6, 45e3), "1.23 ± 0.05 L"},
		{Both.Liquid(3785411.784), "3.79 L (1 US gal)"},
		{Both.Liquid(29573.5295625), "29.6 mL (1 US fl oz)"},
		{Both.Liquid(2e6), "2 L (67.6 US fl oz)"}, // 67.628
		{Both.Area(52500), "525 cm² (81.4 in²)"},  // 81.375
		{Both.Area(92903.04), "929 cm² (1 ft²)"},
		{Both.Area(210000), "0.21 m² (2.26 ft²)"},
		{Both.Area(50), "50 mm² (0.078 in²)"},
		{Both.Area(math.Inf(-1)), Unknown},
	}
	for _, c := range cases {
		if c.have != c.want {
			t.Errorf("have %q, want %q", c.have, c.want)
		}
	}
}

func TestPlainFigures(t *testing.T) {
	cases := []struct{ have, want string }{
		{Grams(1234.6), "1235 g"}, {Grams(12345), "12\u00a0345 g"}, {Grams(43.46), "43.5 g"},
		{Grams(4.346), "4.35 g"}, {Grams(0), "0 g"}, {Grams(-0.001), "0 g"}, {Grams(math.NaN()), Unknown},
		{Angle(90), "90°"}, {Angle(7.25), "7.2°"}, {Angle(-0.01), "0°"}, {Angle(math.NaN()), Unknown},
		{Duration(45), "45 s"}, {Duration(60), "1 min"}, {Duration(1200), "20 min"},
		{Duration(5400), "1 h 30 min"}, {Duration(3599), "1 h"}, {Duration(86400), "24 h"},
		{Duration(93600), "26 h"}, {Duration(0), "0 s"}, {Duration(-90), "−1.5 min"},
		{Duration(math.Inf(1)), Unknown},
		{Percent(0.053), "5.3 %"}, {Percent(0.025), "2.5 %"}, {Percent(0.125), "13 %"}, {Percent(-0.016), "−1.6 %"},
		{Percent(0.08), "8 %"}, {Percent(0.0996), "10 %"}, {Percent(0.0097), "1 %"}, {Percent(0.9), "90 %"}, {Percent(0.004), "0.4 %"}, {Percent(0), "0 %"}, {Percent(math.NaN()), Unknown},
		{Ratio(100, 10), "100 : 10"}, {Ratio(1, 1), "1 : 1"}, {Ratio(math.NaN(), 1), Unknown},
		{Count(0, "vent", "vents"), "0 vents"}, {Count(1, "vent", "vents"), "1 vent"},
		{Count(64210, "face", "faces"), "64\u00a0210 faces"}, {Count(-12000, "a", "b"), "−12\u00a0000 b"},
		{Number(1.18), "1.18"}, {Number(9.996), "10"}, {Number(1234.5), "1234"}, {Number(0), "0"},
		{Number(math.NaN()), Unknown},
	}
	for _, c := range cases {
		if c.have != c.want {
			t.Errorf("have %q, want %q", c.have, c.want)
		}
	}
}

// A range reads in the unit of the likely mass within it, also where the range
// reaches past one of the unit: 1 lb is 453.59 g.
func TestMassRangeReadsLikeTheMass(t *testing.T) {
	cases := []struct {
		likely, low, high float64
		mass, span        string
	}{
		{438, 419, 462, "438 g (15.4 oz weight)", "419–462 g (14.8–16.3 oz weight)"}, // 14.780, 16.297 oz
		{460, 440, 485, "460 g (1.01 lb)", "440–485 g (0.97–1.07 lb)"},               // 0.9700, 1.0692 lb
		{300, 280, 330, "300 g (10.6 oz weight)", "280–330 g (9.9–11.6 oz weight)"},  // 9.877, 11.640 oz
		{990, 960, 1022, "990 g (2.18 lb)", "960–1022 g (2.12–2.25 lb)"},             // 2.1164, 2.2531 lb
		{1010, 975, 1050, "1.01 kg (2.23 lb)", "0.97–1.05 kg (2.15–2.31 lb)"},        // 2.1495, 2.3149 lb
	}
	for _, c := range cases {
		if have := Both.Mass(c.likely); have != c.mass {
			t.Errorf("have %q, want %q", have, c.mass)
		}
		if have := Both.MassRange(c.low, c.high); have != c.span {
			t.Errorf("have %q, want %q", have, c.span)
		}
	}
}

// Nothing a plan may hold reads NaN, Inf or minus zero.
func TestNeverNaN(t *testing.T) {
	odd := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, math.Copysign(0, -1), -1e-12, 5e-324,
		math.MaxFloat64, -math.MaxFloat64, 1e15, -1e15, 0.99999999}
	for _, x := range odd {
		for _, s := range []Style{Both, Inch, Metric} {
			for _, text := range []string{
				s.Length(x), s.LengthUp(x), s.Size([]float64{x, 1}), s.SizeUp([]float64{x}), s.Mass(x),
				s.MassRange(x, 1), s.Volume(x), s.VolumeError(1, x), s.VolumeError(x, 1), s.Liquid(x),
				s.Area(x), s.Point([3]float64{x, 0, 0}), Grams(x), Angle(x), Duration(x), Percent(x), Ratio(x, x), Number(x),
			} {
				if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") || strings.HasPrefix(text, "−0 ") || text == "" {
					t.Errorf("%g in style %s reads %q", x, s, text)
				}
			}
		}
	}
}

func TestParseStyle(t *testing.T) {
	for text, want := range map[string]Style{"": Both, "both": Both, "in": Inch, "mm": Metric, " MM ": Metric} {
		have, err := ParseStyle(text)
		if err != nil || have != want {
			t.Errorf("ParseStyle(%q): have %v, %v", text, have, err)
		}
	}
	for _, s := range []Style{Both, Inch, Metric} {
		if have, err := ParseStyle(s.String()); err != nil || have != s {
			t.Errorf("style %v does not read back: %v, %v", s, have, err)
		}
	}
	if _, err := ParseStyle("feet"); err == nil || !strings.Contains(err.Error(), `"feet"`) {
		t.Errorf("feet: %v", err)
	}
}

func TestLetters(t *testing.T) {
	for i, want := range map[int]string{0: "a", 25: "z", 26: "aa", 27: "ab", 51: "az", 52: "ba"} {
		if have := Letter(i); have != want {
			t.Errorf("%d is %q, want %q", i, have, want)
		}
	}
}
