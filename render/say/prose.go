package say

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// Prose rewords the quantities within a sentence that analysis wrote in mm, mm²,
// mm³, mL, L and kg, for those who want inches; other styles keep the sentence as
// it is. Grams stay, since people weigh in them, and so does what data sheets
// give, such as g/cm³ and °C. Several figures before one unit are reworded
// together: "12 to 18 mm", "121 × 76 × 465 mm", and a place, "54, −17, 17 mm".
func (s Style) Prose(text string) string {
	if s != Inch {
		return text
	}
	return measures().ReplaceAllStringFunc(text, inInches)
}

const figurePattern = `[−-]?\d[\d\x{a0}]*(?:\.\d+)?`

var (
	figures  = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(figurePattern) })
	measures = sync.OnceValue(func() *regexp.Regexp {
		before := `(?:F(?: to | or | of the | × |–| ± )|(?:F, ){2})?(?:F × )?`
		after := `(?:[^\p{L}\d²³/]|$)`
		return regexp.MustCompile(strings.ReplaceAll(before+`F[ \x{a0}](?:mm[²³]?|mL|L|kg)`+after, "F", figurePattern))
	})
)

// inInches rewords what measures found, which may end with the character after it.
func inInches(found string) string {
	for _, u := range [...]string{"mm²", "mm³", "mm", "mL", "kg", "L"} {
		start := strings.LastIndex(found, u)
		if start < 0 {
			continue
		}
		text, rest := strings.TrimRight(found[:start], " \u00a0"), found[start+len(u):]
		if u == "mm" {
			place := strings.Contains(text, ",")
			return figures().ReplaceAllStringFunc(text, func(f string) string { return inchesFor(f, place) }) + " in" + rest
		}
		return inUnit(inchUnits[u], text) + rest
	}
	return found
}

// value is the number that a figure in a sentence stands for.
func value(figure string) float64 {
	x, _ := strconv.ParseFloat(strings.NewReplacer("−", "-", "\u00a0", "").Replace(figure), 64) // as figurePattern has it
	return x
}

// fineMM is from where on a length within a sentence is worded in sixteenths of an
// inch; what is smaller would lose too much.
const fineMM = 9.95

func inchesFor(figure string, place bool) string {
	mm := value(figure)
	switch size := math.Abs(mm); {
	case place:
		return decimals(mm/mmPerInch, 2) // as Point
	case size >= fineMM:
		return sixteenths(mm)
	case size < 0.95:
		return significant(mm/mmPerInch, 1)
	}
	return significant(mm/mmPerInch, 2)
}

// wording is how to word a metric unit, which is so many base units of others.
type wording struct {
	units []unit
	base  float64
}

var inchUnits = map[string]wording{
	"mm²": {inchArea, 1},
	"mm³": {inchVolume, 1},
	"mL":  {inchVolume, 1e3},
	"L":   {inchLiquid, 1e6},
	"kg":  {inchMass, 1e3},
}

// inUnit rewords the figures of a text in the unit that fits the last, which is the
// largest of a range.
func inUnit(to wording, text string) string {
	all := figures().FindAllString(text, -1)
	u := pick(to.units, to.base*value(all[len(all)-1]))
	return figures().ReplaceAllStringFunc(text, func(f string) string {
		size := to.base * value(f)
		digits := 3
		if math.Abs(size) < u.base {
			digits = 2
		}
		return significant(size/u.base, digits)
	}) + " " + u.name
}
