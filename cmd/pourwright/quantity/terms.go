package quantity

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// pattern is compiled when it is used first: no command that reads no quantity waits for it.
func pattern(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}

// A quantity is one or more terms of ever smaller units: "2' 3 1/2\"" is two.
var (
	fraction = pattern(`^(?:(\d+)(?: +| *- *))?(\d+) */ *(\d+)`)
	decimal  = pattern(`^(?:\d+\.\d*|\.?\d+)`)
	unitWord = pattern(`^ *([a-z]+[23]?|"|')\.?`)
	thousand = pattern(`(?:^|[^0-9.,])[1-9]\d{0,2}(,\d{3})+(?:$|[^0-9])|,\d*[.,]|\.\d*,`)
	powers   = pattern(`\d\.?e[-+]?\d`)
	comma    = pattern(`(\d),(\d)`)
)

// spellings are other ways to type what is read as the second of each pair.
var spellings = strings.NewReplacer(
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅓", " 1/3", "⅔", " 2/3",
	"⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "⁄", "/",
	"″", `"`, "”", `"`, "“", `"`, "''", `"`, "′", "'", "’", "'",
	"×", "x", "−", "-", "–", "-", "²", "2", "³", "3",
	"\u00a0", " ", "\u202f", " ", "\t", " ",
	"fl oz", "floz", "fl. oz.", "floz", "cu in", "in3", "cubic inches", "in3",
)

// plain returns a text in lower case and in the spellings that are read.
func plain(text string) string {
	return strings.TrimSpace(spellings.Replace(strings.ToLower(text)))
}

func (k kind) read(text string) (float64, error) { return k.readPart(text, plain(text)) }

// readPart reads the plain text rest, a part of what was typed.
func (k kind) readPart(typed, rest string) (float64, error) {
	rest = strings.TrimSpace(rest)
	if err := k.refuse(typed, rest); err != nil {
		return 0, err
	}
	rest = comma().ReplaceAllString(rest, "$1.$2")
	sum, finer := 0.0, math.Inf(1)
	for rest != "" {
		number, length := readNumber(rest)
		if length == 0 {
			return 0, k.unread(typed)
		}
		word := strings.TrimSpace(rest[:length])
		rest = rest[length:]
		m := unitWord().FindStringSubmatch(rest)
		if m == nil {
			return 0, k.noUnit(typed, word, rest)
		}
		factor, known := k.factor(m[1])
		if !known {
			return 0, &Error{fmt.Sprintf("%q has the unit %q, which is no unit of %s", typed, m[1], k.name), "use " + k.listed}
		}
		if factor >= finer {
			return 0, k.unread(typed)
		}
		finer = factor
		sum += number * factor
		rest = strings.TrimSpace(rest[len(m[0]):])
	}
	if math.IsInf(sum, 0) || math.IsNaN(sum) {
		return 0, &Error{fmt.Sprintf("%q is not a number that can be used", typed), "write it like " + k.example}
	}
	return rounded(sum), nil
}

// rounded drops the last two digits, so that 3/4in is 19.05 mm and is kept so.
func rounded(x float64) float64 {
	const digits = 14
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
	if err != nil {
		return x // the largest numbers may round to infinity
	}
	return y
}

// refuse answers texts that are understood but cannot be taken.
func (k kind) refuse(typed, rest string) error {
	switch {
	case rest == "":
		return &Error{"the " + k.name + " is empty", "write it like " + k.example}
	case strings.HasPrefix(rest, "-"):
		return &Error{fmt.Sprintf("%q is negative", typed), "give the " + k.name + " without a minus"}
	case powers().MatchString(rest):
		return &Error{fmt.Sprintf("%q cannot be read: powers of ten are not a way to type a %s", typed, k.name), "write the number out, like " + k.example}
	case thousand().MatchString(rest):
		return &Error{fmt.Sprintf("the comma in %q may mark a fraction or thousands", typed), "write 1.5 or 1500, without a comma"}
	}
	return nil
}

func (k kind) unread(typed string) error {
	return &Error{fmt.Sprintf("%q is not a %s", typed, k.name), "write it like " + k.example}
}

// noUnit asks for the unit of a number; what follows it tells whether the rest
// can be read at all.
func (k kind) noUnit(typed, number, rest string) error {
	if rest != "" && rest[0] != ' ' {
		return k.unread(typed)
	}
	return &Error{fmt.Sprintf("%q has no unit", typed), "write " + fmt.Sprintf(k.bare, number)}
}

// readNumber reads the number at the start of a text: 1.5, 3/4, 1 1/2 or
// 1-1/2. It returns how long it is, 0 for none.
func readNumber(text string) (x float64, length int) {
	if m := fraction().FindStringSubmatch(text); m != nil {
		whole, _ := strconv.ParseFloat(m[1], 64) // none is 0
		over, _ := strconv.ParseFloat(m[2], 64)
		under, _ := strconv.ParseFloat(m[3], 64)
		return whole + over/under, len(m[0])
	}
	m := decimal().FindString(text)
	x, _ = strconv.ParseFloat(m, 64) // digits only: out of range is ±Inf
	return x, len(m)
}
