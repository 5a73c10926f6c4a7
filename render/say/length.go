package say

import (
	"math"
	"strconv"
	"strings"
)

// slack keeps a rounding error of the sums before from costing a whole step
// when a length is rounded up, in mm.
const slack = 1e-6

// Length words a length in mm: "412 mm (16 1/4 in)". Millimetres are whole
// from 10 up; inches go to the nearest 1/16.
func (s Style) Length(mm float64) string {
	if !finite(mm) {
		return Unknown
	}
	return s.join(metricLength(mm)+" mm", sixteenths(mm)+" in")
}

// LengthUp words a length that must not come out short, such as a board or a
// wall: up to the next whole mm and the next 1/16 in, each from the length
// itself.
func (s Style) LengthUp(mm float64) string {
	if !finite(mm) {
		return Unknown
	}
	return s.join(decimals(wholeUp(mm), 0)+" mm", fraction(sixteenthsUp(mm))+" in")
}

// LengthDown words a length that must not come out long, such as how deep a knife may
// go before it meets the land: down to the whole mm and the whole 1/16 in, each from the
// length itself.
func (s Style) LengthDown(mm float64) string {
	if !finite(mm) {
		return Unknown
	}
	return s.join(decimals(math.Floor(mm+slack), 0)+" mm", fraction(math.Floor((mm+slack)/mmPerInch*16))+" in")
}

// Size words lengths that belong together: "300 × 150 × 90 mm (11 13/16 × …)".
func (s Style) Size(mm []float64) string {
	return s.size(mm, metricLength, sixteenths)
}

// SizeUp is Size rounded like LengthUp.
func (s Style) SizeUp(mm []float64) string {
	return s.size(mm,
		func(x float64) string { return decimals(wholeUp(x), 0) },
		func(x float64) string { return fraction(sixteenthsUp(x)) })
}

func (s Style) size(mm []float64, metric, inch func(float64) string) string {
	if len(mm) == 0 || !finite(mm...) {
		return Unknown
	}
	var m, i []string
	for _, x := range mm {
		m = append(m, metric(x))
		i = append(i, inch(s.alike(x, mm, metric)))
	}
	const by = " × "
	return s.join(strings.Join(m, by)+" mm", strings.Join(i, by)+" in")
}

// alike is the largest of the lengths that read the same in mm where both systems
// are shown, so that they read the same in inches too.
func (s Style) alike(x float64, mm []float64, metric func(float64) string) float64 {
	if s != Both {
		return x
	}
	for _, other := range mm {
		if other > x && metric(other) == metric(x) {
			x = other
		}
	}
	return x
}

// Point words a place in mm: "x 12, y −4, z 34 mm (x 0.47, y −0.16, z 1.34 in)".
func (s Style) Point(mm [3]float64) string {
	if !finite(mm[:]...) {
		return Unknown
	}
	metric, inch := make([]string, 3), make([]string, 3)
	for k, axis := range []string{"x ", "y ", "z "} {
		metric[k] = axis + decimals(mm[k], 0)
		inch[k] = axis + decimals(mm[k]/mmPerInch, 2)
	}
	return s.join(strings.Join(metric, ", ")+" mm", strings.Join(inch, ", ")+" in")
}

// metricLength is whole from 10 mm up, one decimal from 1, two figures below.
func metricLength(mm float64) string {
	switch size := math.Abs(mm); {
	case size >= 9.95:
		return decimals(mm, 0)
	case size >= 0.995:
		return decimals(mm, 1)
	}
	return significant(mm, 2)
}

// sixteenths is the nearest 1/16 in as a fraction; what is under half of that
// is written as a decimal.
func sixteenths(mm float64) string {
	inches := mm / mmPerInch
	if math.Abs(inches) < 1.0/32 {
		return significant(inches, 2)
	}
	return fraction(math.Round(inches * 16))
}

func wholeUp(mm float64) float64      { return math.Ceil(mm - slack) }
func sixteenthsUp(mm float64) float64 { return math.Ceil((mm - slack) / mmPerInch * 16) }

// fraction writes a whole number of sixteenths of an inch: 260 → "16 1/4".
func fraction(sixteenths float64) string {
	sign := ""
	if sixteenths < 0 {
		sign, sixteenths = "−", -sixteenths
	}
	whole := math.Floor(sixteenths / 16)
	part := int(sixteenths - whole*16)
	if part == 0 {
		if whole == 0 {
			return "0"
		}
		return sign + decimals(whole, 0)
	}
	under := 16
	for part%2 == 0 {
		part, under = part/2, under/2
	}
	text := strconv.Itoa(part) + "/" + strconv.Itoa(under)
	if whole > 0 {
		text = decimals(whole, 0) + " " + text
	}
	return sign + text
}
