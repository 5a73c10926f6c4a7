package analysis

import (
	"math"
	"strings"
	"testing"

	"pourwright/mesh"
)

func TestChooseUnits(t *testing.T) {
	stated := func(mm float64) mesh.Source { return mesh.Source{UnitMM: mm} }
	commented := func(mm float64) mesh.Source { return mesh.Source{HintMM: mm, UnitComment: "units"} }
	for _, c := range []struct {
		name    string
		choices Choices
		source  mesh.Source
		longest float64
		unit    string
		from    string
		scale   float64
		finding string
	}{
		{"the file says metres", Choices{}, stated(1000), 0.3, "m", "file", 1000, ""},
		{"the file says millimetres, though a guess would be inches", Choices{}, stated(1), 12, "mm", "file", 1, ""},
		{"the file says inches", Choices{}, stated(25.4), 12, "in", "file", 25.4, ""},
		{"the file says microns", Choices{}, stated(0.001), 300_000, "micron", "file", 0.001, ""},
		{"the file says feet", Choices{}, stated(304.8), 1, "ft", "file", 304.8, ""},
		{"the file says another unit", Choices{}, stated(0.5), 300, "own", "file", 0.5, ""},
		{"nobody says", Choices{}, stated(0), 300, "mm", "guessed", 1, "The file does not say its unit"},
		{"a comment says centimetres, though a guess would be inches", Choices{}, commented(10), 10, "cm", "comment", 10, "Taken as centimetres by a comment in the file, \"units\", which makes the part 100 mm long."},
		{"a comment says metres, which no prop is", Choices{}, commented(1000), 300, "mm", "guessed", 1, "millimetres, which makes the part 300 mm long.; A comment in the file says \"units\"; the scan was not taken so."},
		{"a comment against the maker", Choices{Units: "in"}, commented(10), 10, "in", "given", 25.4, "A comment in the file says"},
		{"a comment that agrees with the maker", Choices{Units: "cm"}, commented(10), 10, "cm", "given", 10, ""},
		{"a comment that agrees with the caliper", Choices{LongestMM: 100.5}, commented(10), 10, "cm", "longest", 10.05, ""},
		{"a comment against the caliper", Choices{LongestMM: 254}, commented(10), 10, "cm", "longest", 25.4, "the scan was not taken so"},
		{"a comment that names none", Choices{}, commented(0), 100, "mm", "guessed", 1, "\"units\", which names no unit that is known here"},
		{"the maker agrees with the file", Choices{Units: "cm"}, stated(10), 30, "cm", "given", 10, ""},
		{"the maker contradicts the file", Choices{Units: "in"}, stated(1000), 12, "in", "given", 25.4,
			"The file says that it is in metres, which would make the part 12 m long; it was taken in inches, as given: 305 mm long."},
		{"the caliper agrees with the file", Choices{LongestMM: 301}, stated(1), 300, "mm", "longest", 301. / 300, ""},
		{"the caliper contradicts the file", Choices{LongestMM: 310}, stated(1), 300, "mm", "longest", 310. / 300, "but the caliper says 310 mm"},
		{"the caliper on a guess", Choices{LongestMM: 310}, stated(0), 300, "mm", "longest", 310. / 300, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			u, err := chooseUnits(c.choices, c.source, c.longest)
			if err != nil {
				t.Fatal(err)
			}
			if u.name != c.unit || u.from != c.from || math.Abs(u.scale-c.scale) > 1e-12*c.scale {
				t.Errorf("%+v", u)
			}
			var texts []string
			for _, f := range u.findings {
				texts = append(texts, f.Text)
			}
			if got := strings.Join(texts, "; "); !strings.Contains(got, c.finding) || (got == "") != (c.finding == "") {
				t.Errorf("findings %q, want %q", got, c.finding)
			}
		})
	}
}

func TestSized(t *testing.T) {
	for mm, want := range map[float64]string{0.00123: "0.00123 mm", 412: "412 mm", 100_000: "100 m", 3e38: "over 1000 km"} {
		if got := sized(mm); got != want {
			t.Errorf("%g mm: %q, want %q", mm, got, want)
		}
	}
}
