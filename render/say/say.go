// Package say words the quantities that people read: lengths in millimetres
// and fractions of an inch, masses in grams and pounds, volumes in litres and
// US measures. Every figure is rounded to what a maker can use. A figure that
// is not a number reads "not known".
//
// Factors are exact (B. N. Taylor and A. Thompson, Guide for the Use of the
// International System of Units, NIST SP 811, appendix B): 1 in = 25.4 mm,
// 1 lb = 453.592 37 g, 1 US gal = 231 in³ = 128 US fl oz. An ounce of weight
// is always called "oz weight" and one of volume "US fl oz".
package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Style says which system of units is shown.
type Style int

// The styles. The zero value shows both, metric first.
const (
	Both Style = iota
	Inch
	Metric
)

// Unknown is what a quantity reads when it is not a finite number.
const Unknown = "not known"

const (
	mmPerInch     = 25.4
	gramsPerPound = 453.59237
	gramsPerOunce = gramsPerPound / 16
	mm3PerInch3   = mmPerInch * mmPerInch * mmPerInch
	mm3PerGallon  = 231 * mm3PerInch3
	mm3PerFluidOz = mm3PerGallon / 128
	mm2PerInch2   = mmPerInch * mmPerInch
)

// ParseStyle reads "in", "mm" or "both"; the empty string means both.
func ParseStyle(text string) (Style, error) {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "", "both":
		return Both, nil
	case "in":
		return Inch, nil
	case "mm":
		return Metric, nil
	}
	return Both, fmt.Errorf("units to show are in, mm or both, not %q", text)
}

// String is the word that ParseStyle reads.
// Letter is what marks the end of a cavity: a to z, then aa. It is small, since A and
// B are the parts of a casting material.
func Letter(i int) string {
	if i < 26 {
		return string(rune('a' + i))
	}
	return Letter(i/26-1) + Letter(i%26)
}

func (s Style) String() string {
	switch s {
	case Inch:
		return "in"
	case Metric:
		return "mm"
	}
	return "both"
}

// join puts the two wordings of one quantity together.
func (s Style) join(metric, inch string) string {
	switch s {
	case Inch:
		return inch
	case Metric:
		return metric
	}
	return metric + " (" + inch + ")"
}

// largest is the size above which a figure is no quantity of a workshop and
// its digits would no longer be true.
const largest = 1e15

// finite tells whether every figure is a number that can be shown.
func finite(figures ...float64) bool {
	for _, x := range figures {
		if math.IsNaN(x) || math.Abs(x) > largest {
			return false
		}
	}
	return true
}

// Count words a number of things: "1 vent", "2 vents".
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return group(strconv.Itoa(n)) + " " + many
}

// Number words a figure to three significant digits, more when it is whole.
func Number(x float64) string {
	if !finite(x) {
		return Unknown
	}
	return significant(x, 3)
}

// significant rounds to digits significant figures, keeps all of the whole
// part, and drops zeros after the point. Very small figures read as zero.
func significant(x float64, digits int) string {
	return decimals(x, placesFor(x, digits))
}

// placesFor is how many decimals show digits significant figures of x.
func placesFor(x float64, digits int) int {
	x = math.Abs(x)
	if x == 0 {
		return 0
	}
	magnitude := int(math.Floor(math.Log10(x)))
	// 9.996 rounds up to 10.0: one decimal fewer.
	if math.Round(x*math.Pow10(digits-1-magnitude)) >= math.Pow10(digits) {
		magnitude++
	}
	return min(max(digits-1-magnitude, 0), 9)
}

// decimals writes x with at most places decimals, a true minus sign, no "-0",
// and groups of three digits from five digits on (SI Brochure, 9th ed., 5.4.4).
func decimals(x float64, places int) string {
	text := fixed(x, places)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// fixed is decimals with all places written.
func fixed(x float64, places int) string {
	text := strconv.FormatFloat(math.Abs(x), 'f', places, 64)
	if x < 0 && strings.Trim(text, "0.") != "" {
		return "−" + group(text)
	}
	return group(text)
}

// group parts the whole digits in threes with a no-break space.
func group(text string) string {
	sign := ""
	if strings.HasPrefix(text, "-") {
		sign, text = "−", text[1:]
	}
	whole, fraction, found := strings.Cut(text, ".")
	if len(whole) >= 5 {
		var parts []string
		for len(whole) > 3 {
			parts = append([]string{whole[len(whole)-3:]}, parts...)
			whole = whole[:len(whole)-3]
		}
		whole = strings.Join(append([]string{whole}, parts...), "\u00a0")
	}
	if found {
		whole += "." + fraction
	}
	return sign + whole
}
