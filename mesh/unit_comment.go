package mesh

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// saysUnit tells whether a comment seems to name the unit of the file.
func saysUnit(comment string) bool {
	words := strings.FieldsFunc(strings.ToLower(comment), func(r rune) bool { return !unicode.IsLetter(r) })
	return len(comment) < 80 && (slices.Contains(words, "unit") || slices.Contains(words, "units"))
}

// noteComment keeps the first comment that seems to name the unit: nobody holds a
// program to its comments.
func (s *Source) noteComment(comment string) {
	s.UnitComment, s.HintMM = comment, unitNamed(comment)
}

// commentUnits are units by the words that comments use for them, in mm.
var commentUnits = map[string]float64{
	"mm": 1, "millimeter": 1, "millimeters": 1, "millimetre": 1, "millimetres": 1,
	"cm": 10, "centimeter": 10, "centimeters": 10, "centimetre": 10, "centimetres": 10,
	"m": 1000, "meter": 1000, "meters": 1000, "metre": 1000, "metres": 1000,
	"in": 25.4, "inch": 25.4, "inches": 25.4,
}

// unitNamed returns the last unit that a comment names, in mm: "units in mm" is in
// millimetres. It returns 0 for none and for a number of them, such as 0.01 m.
func unitNamed(comment string) float64 {
	words := strings.FieldsFunc(strings.ToLower(comment), func(r rune) bool {
		return r != '.' && !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
	for k := len(words) - 1; k >= 0; k-- {
		word := strings.Trim(words[k], ".")
		mm, known := commentUnits[word]
		if !known || word == "in" && k < len(words)-1 { // "unit in use"
			continue
		}
		if k > 0 {
			if n, err := strconv.ParseFloat(words[k-1], 64); err == nil && n != 1 {
				return 0
			}
		}
		return mm
	}
	return 0
}
