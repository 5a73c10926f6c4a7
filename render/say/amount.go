package say

import (
	"math"
	"strings"

	"pourwright/analysis/finding"
)

// unit is one measure of a kind of quantity: used from the size `from` up (in
// the base unit), when `base` base units make one of it.
type unit struct {
	name string
	base float64
	from float64
}

// Units from large to small. `from` is a little under one so that what rounds
// up to the unit is written in it.
var (
	metricMass   = []unit{{"kg", 1000, 999.5}, {"g", 1, 0}}
	inchMass     = []unit{{"lb", gramsPerPound, gramsPerPound * 0.9995}, {"oz weight", gramsPerOunce, 0}}
	metricVolume = []unit{{"L", 1e6, 999.5e3}, {"mL", 1e3, 0}}
	inchVolume   = []unit{{"in³", mm3PerInch3, 0}}
	inchLiquid   = []unit{{"US gal", mm3PerGallon, mm3PerGallon * 0.9995}, {"US fl oz", mm3PerFluidOz, 0}}
	metricArea   = []unit{{"m²", 1e6, 0.9995e5}, {"cm²", 100, 99.95}, {"mm²", 1, 0}}
	inchArea     = []unit{{"ft²", 144 * mm2PerInch2, 143.5 * mm2PerInch2}, {"in²", mm2PerInch2, 0}}
)

// pick is the largest unit that the size reaches.
func pick(units []unit, size float64) unit {
	for _, u := range units {
		if math.Abs(size) >= u.from {
			return u
		}
	}
	return units[len(units)-1]
}

// amount writes a size in the unit that fits, to three figures, or two when it
// is under one of the unit.
func amount(units []unit, size float64) string {
	u := pick(units, size)
	digits := 3
	if math.Abs(size) < u.base {
		digits = 2
	}
	return significant(size/u.base, digits) + " " + u.name
}

// span writes low–high in the unit that fits the middle, so that a range reads
// in the same unit as the likely size within it, to three figures of the larger.
func span(units []unit, low, high float64) string {
	u := pick(units, low/2+high/2)
	places := placesFor(math.Max(math.Abs(low), math.Abs(high))/u.base, 3)
	for places > 0 && ends0(low/u.base, places) && ends0(high/u.base, places) {
		places--
	}
	from, to := fixed(low/u.base, places), fixed(high/u.base, places)
	if from == to {
		return to + " " + u.name
	}
	return from + "–" + to + " " + u.name
}

// ends0 tells whether x written with places decimals ends in a zero.
func ends0(x float64, places int) bool { return strings.HasSuffix(fixed(x, places), "0") }

// give writes size ± error, the error rounded up to one figure and the size to
// the same place.
func give(units []unit, size, plusMinus float64) string {
	u := pick(units, size)
	size, plusMinus = size/u.base, math.Abs(plusMinus)/u.base
	plain := placesFor(size, 3)
	if plusMinus < 0.5*math.Pow10(-plain) {
		return decimals(size, plain) + " " + u.name
	}
	places := placesFor(plusMinus, 1)
	step := math.Pow10(-places)
	plusMinus = math.Ceil(plusMinus/step-slack) * step
	return decimals(size, places) + " ± " + decimals(plusMinus, places) + " " + u.name
}

// Mass words a mass in g: "3.27 kg (7.21 lb)", "85 g (3 oz weight)".
func (s Style) Mass(g float64) string {
	if !finite(g) {
		return Unknown
	}
	return s.join(amount(metricMass, g), amount(inchMass, g))
}

// MassRange words two masses in g as "3.1–3.5 kg (6.83–7.72 lb)".
func (s Style) MassRange(low, high float64) string {
	if !finite(low, high) {
		return Unknown
	}
	return s.join(span(metricMass, low, high), span(inchMass, low, high))
}

// Grams words a mass to weigh out, in g whatever the style, since mixes are
// weighed in grams: whole from 100 g, tenths from 10 g, hundredths below.
func Grams(g float64) string {
	if !finite(g) {
		return Unknown
	}
	switch size := math.Abs(g); {
	case size >= 99.95:
		return decimals(g, 0) + " g"
	case size >= 9.995:
		return decimals(g, 1) + " g"
	}
	return decimals(g, 2) + " g"
}

// Volume words a volume in mm³ that is filled or displaced: "412 mL (25.1 in³)".
func (s Style) Volume(mm3 float64) string {
	if !finite(mm3) {
		return Unknown
	}
	return s.join(amount(metricVolume, mm3), amount(inchVolume, mm3))
}

// VolumeError words a volume in mm³ with its error: "412 ± 3 mL (25.1 ± 0.2
// in³)". An error too small to show is left out.
func (s Style) VolumeError(mm3, plusMinus float64) string {
	if !finite(mm3) {
		return Unknown
	}
	if !finite(plusMinus) {
		return s.Volume(mm3)
	}
	return s.join(give(metricVolume, mm3, plusMinus), give(inchVolume, mm3, plusMinus))
}

// Liquid words a volume in mm³ that is bought or poured: "412 mL (13.9 US fl
// oz)", gallons from one up.
func (s Style) Liquid(mm3 float64) string {
	if !finite(mm3) {
		return Unknown
	}
	return s.join(amount(metricVolume, mm3), amount(inchLiquid, mm3))
}

// Area words an area in mm²: "525 cm² (81.4 in²)".
func (s Style) Area(mm2 float64) string {
	if !finite(mm2) {
		return Unknown
	}
	return s.join(amount(metricArea, mm2), amount(inchArea, mm2))
}

// Angle words an angle in degrees: whole from 10 up, one decimal below.
func Angle(degrees float64) string {
	if !finite(degrees) {
		return Unknown
	}
	if math.Abs(degrees) >= 9.95 {
		return decimals(degrees, 0) + "°"
	}
	return decimals(degrees, 1) + "°"
}

// Duration words a time in s: "45 s", "20 min", "1 h 30 min", "24 h".
func Duration(seconds float64) string {
	if !finite(seconds) {
		return Unknown
	}
	if seconds < 0 {
		return "−" + finding.Duration(-seconds)
	}
	return finding.Duration(seconds)
}

// Percent words a share of one: one decimal below 10 % (0.025 → "2.5 %"), whole
// from there up, halves away from zero; a share under 1 % keeps one figure.
func Percent(share float64) string {
	if !finite(share) {
		return Unknown
	}
	percent := share * 100
	switch size := math.Abs(percent); {
	case size < 0.95:
		return significant(percent, 1) + " %"
	case size < 9.95:
		return decimals(math.Round(percent*10)/10, 1) + " %"
	}
	return decimals(math.Round(percent), 0) + " %"
}

// Ratio words a mixing ratio by weight as its two figures: "100 : 10".
func Ratio(a, b float64) string {
	if !finite(a, b) {
		return Unknown
	}
	return significant(a, 3) + " : " + significant(b, 3)
}
