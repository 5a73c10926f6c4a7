package analysis

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// unit is a unit of length that a scan file may be in.
type unit struct {
	name, plural string
	mm           float64
}

var knownUnits = []unit{
	{"mm", "millimetres", 1},
	{"cm", "centimetres", 10},
	{"m", "metres", 1000},
	{"in", "inches", 25.4},
}

// fileUnits are units that only a file may state.
var fileUnits = []unit{
	{"micron", "microns", 0.001},
	{"ft", "feet", 304.8},
}

// units is what one unit of the scan file is taken for.
type units struct {
	name     string
	from     string  // "given" | "file" | "comment" | "guessed" | "longest"
	scale    float64 // mm per file unit
	findings []finding.Finding
}

// chooseUnits decides on the unit of a scan whose tightest box is longest file
// units long: what the maker says, else what the file says, else a guess.
func chooseUnits(c Choices, source mesh.Source, longest float64) (units, error) {
	stated := statedUnits(source)
	u := stated
	switch {
	case c.Units != "":
		i := slices.IndexFunc(knownUnits, func(n unit) bool { return n.name == c.Units })
		if i < 0 {
			return u, &Refusal{fmt.Sprintf("%q is not a unit that scans come in", c.Units), "Give one of mm, cm, m or in."}
		}
		u = units{name: c.Units, from: "given", scale: knownUnits[i].mm}
		if stated.scale != 0 && stated.scale != u.scale {
			u.findings = append(u.findings, contradicted(stated, u, longest))
		}
	case stated.scale == 0:
		u = guessUnits(longest, source)
	}
	if c.LongestMM != 0 {
		u.measured(longest, c.LongestMM)
	}
	if off := source.HintMM/u.scale - 1; source.UnitComment != "" && u.from != "comment" && (off > 0.01 || off < -0.01) {
		text := fmt.Sprintf("A comment in the file says %q; the scan was not taken so.", source.UnitComment)
		if source.HintMM == 0 {
			text = fmt.Sprintf("A comment in the file says %q, which names no unit that is known here.", source.UnitComment)
		}
		u.findings = append(u.findings, finding.Finding{Question: "scan", Level: finding.Note, Text: text,
			Action: "A comment is a hint at most: a caliper knows, see --longest."})
	}
	return u, u.checkSize(longest, c)
}

// statedUnits returns the unit that the file itself states, a scale of 0 when
// it states none.
func statedUnits(source mesh.Source) units {
	u := units{from: "file", scale: source.UnitMM, name: "own"}
	for _, n := range slices.Concat(knownUnits, fileUnits) {
		if n.mm == source.UnitMM {
			u.name = n.name
		}
	}
	return u
}

// contradicted says that the maker's unit is not the file's.
func contradicted(stated, given units, longest float64) finding.Finding {
	return finding.Finding{Question: "scan", Level: finding.Warn,
		Text: fmt.Sprintf("The file says that it is in %s, which would make the part %s long; it was taken in %s, as given: %s long.",
			stated.plural(), sized(longest*stated.scale), given.plural(), sized(longest*given.scale)),
		Action: "Measure the longest side with a caliper; leave --units out if the file is right."}
}

// guessUnits takes the unit that makes a hand prop of the scan: 40 mm to 1.5 m
// long (common practice, no source). Of inches and centimetres, which overlap,
// it takes inches, the unit that buys enough rubber. A comment in the file that
// names a unit is believed where that makes a hand prop.
func guessUnits(longest float64, source mesh.Source) units {
	u := units{from: "guessed", name: "mm", scale: 1}
	hint := slices.IndexFunc(knownUnits, func(n unit) bool { return n.mm == source.HintMM && propLong(longest*n.mm) })
	switch {
	case hint >= 0:
		u.from, u.name, u.scale = "comment", knownUnits[hint].name, source.HintMM
	case longest >= 0.04 && longest < 1.5:
		u.name, u.scale = "m", 1000
	case longest >= 1.5 && longest < 40:
		u.name, u.scale = "in", 25.4
	}
	var others []string
	for _, n := range knownUnits {
		if mm := longest * n.mm; n.name != u.name && propLong(mm) {
			others = append(others, fmt.Sprintf("%s (%.0f mm)", n.plural, mm))
		}
	}
	f := finding.Finding{Question: "scan", Level: finding.Note,
		Text:   fmt.Sprintf("The file does not say its unit; taken as %s, which makes the part %.4g mm long.", u.plural(), longest*u.scale),
		Action: "If that is wrong, give --units, or the caliper length of its longest side with --longest."}
	switch {
	case hint >= 0:
		f.Text = fmt.Sprintf("Taken as %s by a comment in the file, %q, which makes the part %.4g mm long.", u.plural(), source.UnitComment, longest*u.scale)
	case len(others) > 0:
		f.Level = finding.Warn
		f.Text = strings.TrimSuffix(f.Text, ".") + "; it could also be " + strings.Join(others, " or ") + "."
	}
	u.findings = append(u.findings, f)
	return u
}

// propLong says whether a hand prop may be that long.
func propLong(mm float64) bool { return mm >= 40 && mm < 1500 }

func (u units) plural() string {
	for _, n := range slices.Concat(knownUnits, fileUnits) {
		if n.name == u.name {
			return n.plural
		}
	}
	return u.name
}

// measured replaces the scale by the one that fits the caliper length. A unit
// that was neither guessed nor hinted at and does not fit is worth a warning.
func (u *units) measured(longest, caliper float64) {
	scale := caliper / longest
	off := scale/u.scale - 1
	u.findings = nil
	if u.from != "guessed" && u.from != "comment" && (off > 0.01 || off < -0.01) {
		u.findings = append(u.findings, finding.Finding{Question: "scan", Level: finding.Warn,
			Text: fmt.Sprintf("In %s the scan is %.4g mm long, but the caliper says %.4g mm (%s); the caliper was taken.",
				u.plural(), longest*u.scale, caliper, percentOff(off)),
			Action: "Measure again along the longest side of the smallest box that would hold the part."})
	}
	u.from, u.scale = "longest", scale
}

// checkSize refuses parts that no block of rubber is poured around.
func (u units) checkSize(longest float64, c Choices) error {
	mm := longest * u.scale
	if mm >= leastLongest && mm <= mostLongest {
		return nil
	}
	what := fmt.Sprintf("taken in %s, the part is %s long", u.plural(), sized(mm))
	if c.LongestMM != 0 {
		what = fmt.Sprintf("by --longest the part is %s long", sized(mm))
	}
	return &Refusal{what + fmt.Sprintf(", and blocks are planned for parts of %d mm to %d m", leastLongest, mostLongest/1000),
		"Give the file's unit with --units mm, cm, m or in, or the true longest side with --longest."}
}

// sized writes any length so that it reads: 0.001 mm, 412 mm, 100 m.
func sized(mm float64) string {
	const megametre = 1e9
	switch {
	case mm >= megametre:
		return "over 1000 km"
	case mm >= 10_000:
		return strconv.FormatFloat(mm/1000, 'f', 0, 64) + " m"
	}
	return strconv.FormatFloat(mm, 'g', 3, 64) + " mm"
}

// percentOff writes a deviation with its sign.
func percentOff(off float64) string {
	return strings.Replace(fmt.Sprintf("%+.1f %%", 100*off), "-", "−", 1)
}
