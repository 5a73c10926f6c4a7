package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// Expected figures are the exact factors of NIST SP 811 times the number typed.
func TestLength(t *testing.T) {
	for _, c := range []struct {
		typed string
		mm    float64
	}{
		{"19mm", 19}, {"19 mm", 19}, {" 19 MM ", 19}, {"4.5cm", 45}, {".5m", 500}, {"5.mm", 5}, {"0mm", 0},
		{"3/4in", 19.05}, {"3/4 in", 19.05}, {`3/4"`, 19.05}, {`1 1/2"`, 38.1}, {"1-1/2 in", 38.1}, {"1 - 1/2 in", 38.1},
		{"1½in", 38.1}, {"½ in", 12.7}, {"1 ¼”", 31.75}, {"7⁄8″", 22.225}, {"0.5 ft", 152.4}, {"1 inch", 25.4}, {"2 inches", 50.8},
		{`2' 3"`, 685.8}, {"2'3''", 685.8}, {"2ft 3 1/2in", 698.5}, {"2 feet 3 in.", 685.8}, {"1m 2cm 3mm", 1023}, {"1ft", 304.8},
		{"20millimeters", 20}, {"20 Millimetres", 20}, {"1 millimetre", 1}, {"2 centimeters", 20}, {"3 CENTIMETRES", 30}, {"1 meter", 1000}, {"2 metres 5cm", 2050}, {"1 foot 2 inches", 355.6}, {"2INCHES", 50.8},
		{"1,5 cm", 15}, {"0,500m", 500}, {"1,25in", 31.75}, {"412\u00a0mm", 412},
	} {
		mm, err := Length(c.typed)
		if err != nil || math.Abs(mm-c.mm) > 1e-12*c.mm {
			t.Errorf("Length(%q) = %v, %v; want %v", c.typed, mm, err, c.mm)
		}
	}
}

func TestLengthIsKeptAsTyped(t *testing.T) {
	if mm, err := Length("3/4in"); mm != 19.05 {
		t.Errorf("3/4in is %v mm, %v", mm, err)
	}
}

func TestMassAndVolume(t *testing.T) {
	for _, c := range []struct {
		read  func(string) (float64, error)
		typed string
		want  float64
	}{
		{Mass, "2.5lb", 1133.980925}, {Mass, "300 g", 300}, {Mass, "1.2kg", 1200}, {Mass, "2 lb 4 oz", 2.25 * 453.59237}, {Mass, "8oz", 226.796185},
		{Mass, "2 pounds 4 ounces", 2.25 * 453.59237}, {Mass, "3 lbs", 3 * 453.59237}, {Mass, "2 Kilograms 5 grams", 2005}, {Volume, "3 Litres", 3e6}, {Volume, "2 gallons", 2 * 3785411.784}, {Volume, "5 milliliters", 5e3},
		{Volume, "0.4L", 4e5}, {Volume, "400 ml", 4e5}, {Volume, "25 in3", 25 * 16387.064}, {Volume, "25in³", 25 * 16387.064}, {Volume, "3 cu in", 3 * 16387.064},
		{Volume, "1 gal", 3785411.784}, {Volume, "128 fl oz", 3785411.784}, {Volume, "4qt", 3785411.784}, {Volume, "40cc", 4e4}, {Volume, "1cm³", 1e3},
	} {
		got, err := c.read(c.typed)
		if err != nil || math.Abs(got-c.want) > 1e-12*c.want {
			t.Errorf("%q = %v, %v; want %v", c.typed, got, err, c.want)
		}
	}
}

func TestSize(t *testing.T) {
	for _, c := range []struct {
		typed string
		mm    [3]float64
	}{
		{"15x8x3in", [3]float64{381, 203.2, 76.2}}, {"15 × 8 × 3 in", [3]float64{381, 203.2, 76.2}}, {`15" x 8" x 3"`, [3]float64{381, 203.2, 76.2}},
		{"380X200X75mm", [3]float64{380, 200, 75}}, {"38*20*7.5cm", [3]float64{380, 200, 75}}, {"1 1/2 x 2 x 3/4 in", [3]float64{38.1, 50.8, 19.05}},
		{"15in x 200mm x 3in", [3]float64{381, 200, 76.2}}, {`1' 3" x 8" x 3"`, [3]float64{381, 203.2, 76.2}}, {"1,5x2x3cm", [3]float64{15, 20, 30}},
	} {
		mm, err := Size(c.typed)
		for i := range mm {
			if err != nil || math.Abs(mm[i]-c.mm[i]) > 1e-12*c.mm[i] {
				t.Errorf("Size(%q) = %v, %v; want %v", c.typed, mm, err, c.mm)
				break
			}
		}
	}
}

func TestDirection(t *testing.T) {
	for _, typed := range []string{"0,0,-1", " 0, 0, -1", "0,0,−1", "0,-0,-1e0"} {
		if d, err := Direction(typed); err != nil || d != [3]float64{0, 0, -1} {
			t.Errorf("Direction(%q) = %v, %v", typed, d, err)
		}
	}
	for _, typed := range []string{"", "0,0", "0,0,0", "0,0,0,1", "a,b,c", "0,0,nan", "0,0,inf", "1e400,0,0", "0 0 1", "1e-200,0,0"} {
		refused(t, "a direction", func(s string) error { _, err := Direction(s); return err }, typed, "is not a direction")
	}
}

func TestPointAndBall(t *testing.T) {
	if p, err := Point(" 12, 0,−40.5"); err != nil || p != [3]float64{12, 0, -40.5} {
		t.Errorf("point: %v, %v", p, err)
	}
	if b, err := Ball("1,-2,3,0.5"); err != nil || b != [4]float64{1, -2, 3, 0.5} {
		t.Errorf("ball: %v, %v", b, err)
	}
	for _, typed := range []string{"", "1,2", "1,2,3,4", "1,2,x", "1,2,inf", "1 2 3"} {
		refused(t, "a point", func(s string) error { _, err := Point(s); return err }, typed, "is not a point")
	}
	for _, typed := range []string{"", "1,2,3", "1,2,3,0", "1,2,3,-1", "1,2,3,nan", "1,2,3,4,5"} {
		refused(t, "a ball", func(s string) error { _, err := Ball(s); return err }, typed, "is not a ball")
	}
}

func TestTemperature(t *testing.T) {
	for typed, want := range map[string]float64{"21C": 21, " 21.5 °C": 21.5, "70F": 21.1111111111, "70 °f": 21.1111111111, "23c": 23} {
		if got, err := Temperature(typed); err != nil || math.Abs(got-want) > 1e-6 {
			t.Errorf("Temperature(%q) = %v, %v; want %v", typed, got, err, want)
		}
	}
	for _, typed := range []string{"", "21", "C", "warm", "nanC", "-5C", "200F", "21K", "1e3C"} {
		refused(t, "a temperature", func(s string) error { _, err := Temperature(s); return err }, typed, "")
	}
}

func TestScanUnit(t *testing.T) {
	for want, typed := range map[string][]string{
		"mm": {"mm", "MM", " mm ", "millimetre", "Millimeters", "mm."}, "cm": {"cm", "centimeters", "centimetre"},
		"m": {"m", "M", "metres", "meter"}, "in": {"in", "IN", "inch", "Inches", "in.", `"`, "”"},
	} {
		for _, s := range typed {
			if unit, err := ScanUnit(s); err != nil || unit != want {
				t.Errorf("ScanUnit(%q) = %q, %v; want %s", s, unit, err, want)
			}
		}
	}
	for _, typed := range []string{"", " ", "ft", "furlongs", "s", "3mm", "g", "inx", "ms"} {
		refused(t, "a scan's unit", func(s string) error { _, err := ScanUnit(s); return err }, typed, "unit")
	}
}

func TestRefused(t *testing.T) {
	length := func(s string) error { _, err := Length(s); return err }
	mass := func(s string) error { _, err := Mass(s); return err }
	volume := func(s string) error { _, err := Volume(s); return err }
	size := func(s string) error { _, err := Size(s); return err }
	for _, c := range []struct {
		read        func(string) error
		typed, want string
	}{
		{length, "", "is empty"}, {length, "  ", "is empty"}, {length, "19", "has no unit"}, {length, "1 1/2", "has no unit"}, {length, "0", "has no unit"},
		{length, "5 6 in", "has no unit"}, {length, `5' 3`, "has no unit"}, {length, "1.5.2mm", "is not a length"},
		{length, "-3mm", "is negative"}, {length, "−3mm", "is negative"}, {length, "inf", "is not a length"}, {length, "nan mm", "is not a length"}, {length, "+infmm", "is not a length"},
		{length, "mm", "is not a length"}, {length, "1/0in", "not a number that can be used"}, {length, strings.Repeat("9", 400) + "mm", "not a number that can be used"},
		{length, "1e3mm", "cannot be read"}, {length, "1e9m", "cannot be read"}, {length, "1.5E+9 m", "cannot be read"}, {length, "2.e-3m", "cannot be read"}, {size, "1e9x8x3in", "cannot be read"}, {mass, "1e2g", "cannot be read"}, {length, "3 ms", "no unit of length"}, {length, "3 mmss", "no unit of length"}, {length, "3 kg", "no unit of length"}, {length, "2 furlongs", "no unit of length"}, {length, "3in 2ft", "is not a length"}, {length, "2mm 2mm", "is not a length"},
		{length, "1,500 mm", "may mark a fraction or thousands"}, {length, "1,500.5mm", "may mark a fraction or thousands"}, {length, "1.500,5mm", "may mark a fraction or thousands"}, {length, "1,2,3mm", "may mark a fraction or thousands"},
		{length, "12mm!", "is not a length"}, {length, "twelve mm", "is not a length"}, {length, "0x10mm", "no unit of length"}, {length, "--3mm", "is negative"},
		{mass, "3", "has no unit"}, {mass, "3 mm", "no unit of mass"}, {volume, "8oz", "no unit of volume"}, {volume, "4", "has no unit"},
		{size, "15x8x3", "has no unit"}, {size, "15x8in", "not three lengths"}, {size, "15in", "not three lengths"}, {size, "15x8x3x2in", "not three lengths"}, {size, "", "not three lengths"},
		{size, "15inx8x3", "does not say the unit of each"}, {size, "15cmx8x3in", "does not say the unit of each"}, {size, "15x-8x3in", "is negative"}, {size, "x8x3in", "is not a length"}, {size, "axbxc", "is not a length"}, {size, "15x8xinfin", "no unit of length"},
	} {
		refused(t, "", c.read, c.typed, c.want)
	}
}

// refused checks for one sentence with a hint.
func refused(t *testing.T, what string, read func(string) error, typed, want string) {
	t.Helper()
	err := read(typed)
	var e *Error
	if !errors.As(err, &e) || !strings.Contains(e.Error(), want) || e.Hint() == "" || strings.Contains(e.Error(), "\n") {
		t.Errorf("%s %q: %v; want %q and a hint", what, typed, err, want)
	}
}

func FuzzLength(f *testing.F) {
	for _, s := range []string{"19mm", `1 1/2"`, "2' 3\"", "½in", "1,5 cm", "15x8x3in", "x", "0,0,-1", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, read := range []func(string) (float64, error){Length, Mass, Volume} {
			if x, err := read(s); err == nil && !(x >= 0 && !math.IsInf(x, 0)) {
				t.Errorf("%q read as %v", s, x)
			}
		}
		if _, err := Size(s); err == nil && !strings.ContainsAny(s, "xX×*") {
			t.Errorf("%q read as a size", s)
		}
	})
}
