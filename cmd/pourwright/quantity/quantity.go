// Package quantity reads quantities as people type them: 3/4in, 1 1/2",
// 19mm, 2' 3", 2.5lb, 15x8x3in. A number without a unit is asked back, never
// guessed. Results are in mm, mm³ and g.
//
// Factors are exact (B. N. Taylor and A. Thompson, Guide for the Use of the
// International System of Units, NIST SP 811, appendix B): 1 in = 25.4 mm,
// 1 lb = 453.592 37 g, 1 US gal = 231 in³ = 4 US qt = 128 US fl oz.
package quantity

import (
	"fmt"
	"strings"
)

// Error is one sentence on what is wrong with what was typed.
type Error struct{ what, try string }

func (e *Error) Error() string { return e.what }

// Hint says what to type instead.
func (e *Error) Hint() string { return e.try }

// kind is a kind of quantity: its units and how to type one.
type kind struct {
	name    string
	units   map[string]float64 // in the singular, and plurals that are not in -s
	listed  string             // the units to offer
	example string
	bare    string // %s is the number that lacks a unit
}

const (
	mmPerInch     = 25.4
	mm3PerInch3   = mmPerInch * mmPerInch * mmPerInch
	mm3PerGallon  = 231 * mm3PerInch3
	gramsPerPound = 453.59237
)

var length = kind{
	name: "length",
	units: map[string]float64{
		"mm": 1, "millimetre": 1, "millimeter": 1,
		"cm": 10, "centimetre": 10, "centimeter": 10,
		"m": 1000, "metre": 1000, "meter": 1000,
		"in": mmPerInch, "inch": mmPerInch, "inches": mmPerInch, `"`: mmPerInch,
		"ft": 12 * mmPerInch, "foot": 12 * mmPerInch, "feet": 12 * mmPerInch, "'": 12 * mmPerInch,
	},
	listed:  "mm, cm, m, in or ft",
	example: `19mm, 4.5cm, 3/4in, 1 1/2" or 2ft 3in`,
	bare:    "%[1]smm, %[1]scm or %[1]sin",
}

var mass = kind{
	name: "mass",
	units: map[string]float64{
		"g": 1, "gram": 1, "gramme": 1, "kg": 1000, "kilo": 1000, "kilogram": 1000, "kilogramme": 1000,
		"lb": gramsPerPound, "lbs": gramsPerPound, "pound": gramsPerPound,
		"oz": gramsPerPound / 16, "ounce": gramsPerPound / 16,
	},
	listed:  "g, kg, oz or lb",
	example: "300g, 1.2kg, 2.5lb or 2lb 4oz",
	bare:    "%[1]sg, %[1]skg or %[1]slb",
}

var volume = kind{
	name: "volume",
	units: map[string]float64{
		"mm3": 1, "cm3": 1e3, "cc": 1e3, "m3": 1e9,
		"ml": 1e3, "millilitre": 1e3, "milliliter": 1e3, "cl": 1e4, "dl": 1e5, "l": 1e6, "litre": 1e6, "liter": 1e6,
		"in3": mm3PerInch3, "ft3": 1728 * mm3PerInch3,
		"floz": mm3PerGallon / 128, "qt": mm3PerGallon / 4, "quart": mm3PerGallon / 4, "gal": mm3PerGallon, "gallon": mm3PerGallon,
	},
	listed:  "ml, l, cm3, in3, fl oz, qt or gal (US)",
	example: "400ml, 0.4L, 25in3 or 13.5 fl oz",
	bare:    "%[1]sml, %[1]sl or %[1]sin3",
}

// Length reads a length and returns it in mm.
func Length(text string) (float64, error) { return length.read(text) }

// Mass reads a mass and returns it in g.
func Mass(text string) (float64, error) { return mass.read(text) }

// Volume reads a volume and returns it in mm³. Gallons, quarts and fluid
// ounces are US ones.
func Volume(text string) (float64, error) { return volume.read(text) }

// factor returns what one unit of a name is; long names may be in the plural,
// but ms are no metres.
func (k kind) factor(name string) (float64, bool) {
	f, known := k.units[name]
	if singular, plural := strings.CutSuffix(name, "s"); !known && plural && len(singular) > 2 {
		f, known = k.units[singular]
	}
	return f, known
}

// ScanUnit reads what one unit of a scan file is, such as mm or inches, and
// returns it as mm, cm, m or in.
func ScanUnit(text string) (string, error) {
	name := strings.TrimSuffix(plain(text), ".")
	mm, known := length.factor(name)
	for _, unit := range ScanUnits() {
		if known && length.units[unit] == mm {
			return unit, nil
		}
	}
	if name == "" {
		return "", &Error{"the unit of the scan is empty", "write mm, cm, m or in"}
	}
	return "", &Error{fmt.Sprintf("%q is not a unit that scans come in", text), "write mm, cm, m or in"}
}

// ScanUnits lists what ScanUnit returns.
func ScanUnits() []string { return []string{"mm", "cm", "m", "in"} }

// Size reads three lengths, such as 15x8x3in, and returns them in mm. Lengths
// without a unit take the one unit that the others have, if the last has one.
func Size(text string) ([3]float64, error) {
	var size [3]float64
	const likeThis = "write length x width x height, as in 15x8x3in or 380x200x75mm"
	parts := strings.Split(strings.ReplaceAll(plain(text), "*", "x"), "x")
	if len(parts) != 3 {
		return size, &Error{fmt.Sprintf("%q is not three lengths", text), likeThis}
	}
	shared, err := sharedUnit(text, parts)
	if err != nil {
		return size, err
	}
	for i, part := range parts {
		if unitOf(part) == "" {
			part += shared
		}
		if size[i], err = length.readPart(text, part); err != nil {
			return size, err
		}
	}
	return size, nil
}

// sharedUnit returns the unit for parts that have none.
func sharedUnit(text string, parts []string) (string, error) {
	shared, bare := "", 0
	agree := true
	for _, part := range parts {
		u := unitOf(part)
		if u == "" {
			bare++
			continue
		}
		agree = agree && (shared == "" || u == shared)
		shared = u
	}
	switch {
	case bare == len(parts):
		return "", &Error{fmt.Sprintf("%q has no unit", text), fmt.Sprintf("write %[1]smm, %[1]scm or %[1]sin", text)}
	case bare > 0 && (!agree || unitOf(parts[len(parts)-1]) == ""):
		return "", &Error{fmt.Sprintf("%q does not say the unit of each length", text), "put the unit at the end, as in 15x8x3in, or after each length"}
	}
	return shared, nil
}

// unitOf returns the last unit in a text, none if it ends in a number.
func unitOf(part string) string {
	return strings.TrimSpace(part[strings.LastIndexAny(part, "0123456789./")+1:])
}
