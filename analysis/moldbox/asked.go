package moldbox

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// asked is what the maker asked for, or the defaults instead.
type asked struct {
	usual                            float64 // default clearance for the size
	clearance, cut, cover, freeboard float64
	longest                          float64
	rule                             string
}

// Limits that tell a slip of unit from a wish, in mm.
const (
	leastClearanceMM = 1
	mostClearanceMM  = 300
	mostFreeboardMM  = 300
	leastBoardMM     = 0.5
	mostBoardMM      = 100
)

func (in Input) ask(points []r3.Vec) (asked, error) {
	a := asked{longest: in.LongestMM}
	if a.longest == 0 {
		b := mesh.BoundsOf(points)
		s := extent(points, Input{}.turn(points))
		a.longest = math.Max(b.Max.Z-math.Min(0, b.Min.Z), math.Max(s.max.X-s.min.X, s.max.Y-s.min.Y))
	}
	a.usual = DefaultClearanceMM(a.longest)
	a.clearance = a.usual
	a.rule = fmt.Sprintf("%g mm for a longest side of %.4g mm (common practice, no source)", a.usual, a.longest)
	if in.ClearanceMM != nil {
		a.clearance = *in.ClearanceMM
		a.rule = fmt.Sprintf("%g mm, as given", a.clearance)
	}
	a.cut = math.Max(a.clearance, LeastCutClearanceMM)
	a.cover = a.clearance + CoverOverClearanceMM
	a.freeboard = DefaultFreeboardMM
	for _, given := range []struct {
		to   *float64
		from *float64
	}{{&a.cut, in.CutClearanceMM}, {&a.cover, in.CoverMM}, {&a.freeboard, in.FreeboardMM}} {
		if given.from != nil {
			*given.to = *given.from
		}
	}
	if err := in.checkShape(); err != nil {
		return a, err
	}
	return a, a.check(in.Board.ThicknessMM)
}

// checkShape refuses shapes that are none, and what does not go with them.
func (in Input) checkShape() error {
	switch {
	case in.Shape != "" && !slices.Contains(Shapes(), in.Shape):
		return &InputError{fmt.Sprintf("%q is no shape of a box", in.Shape), "take " + strings.Join(Shapes(), ", ")}
	case in.Facets != 0 && (in.Facets < leastFacets || in.Facets > mostFacets):
		return &InputError{fmt.Sprintf("a wall of %d facets cannot be made", in.Facets), fmt.Sprintf("take %d to %d of them", leastFacets, mostFacets)}
	case in.Facets != 0 && in.Shape != Faceted:
		return &InputError{"only a faceted box has facets", "add --shape faceted, or leave the number out"}
	case in.Walls != (PerWall{}) && in.Shape != "" && in.Shape != Rectangle:
		return &InputError{"only a rectangle has a clearance for each wall", "leave it out, or take --shape rectangle"}
	}
	for _, mm := range []*float64{in.Walls.X0, in.Walls.X1, in.Walls.Y0, in.Walls.Y1} {
		if mm != nil && !(*mm >= leastClearanceMM && *mm <= mostClearanceMM) {
			return &InputError{fmt.Sprintf("the clearance to one wall is %g mm and must be from %d to %d mm", *mm, leastClearanceMM, mostClearanceMM), "give it such as --wall-clearance front=25mm"}
		}
	}
	return nil
}

// sides lays the figures on the walls; crossed are those the cut crosses.
func (a asked) sides(crossed walls) Sides {
	gap := func(wall int) float64 {
		if crossed[wall] {
			return a.cut
		}
		return a.clearance
	}
	return Sides{X0: gap(0), X1: gap(1), Y0: gap(2), Y1: gap(3), Cover: a.cover}
}

func (a asked) check(board float64) error {
	for _, c := range []struct {
		name        string
		v, low, top float64
		try         string
	}{
		{"clearance", a.clearance, leastClearanceMM, mostClearanceMM, fmt.Sprintf("%g mm is usual for a pattern of this size", a.usual)},
		{"clearance at the cut", a.cut, leastClearanceMM, mostClearanceMM, fmt.Sprintf("%d mm leaves room for keys", LeastCutClearanceMM)},
		{"cover", a.cover, leastClearanceMM, mostClearanceMM, fmt.Sprintf("%g mm is usual for a pattern of this size", a.usual+CoverOverClearanceMM)},
		{"freeboard", a.freeboard, 0, mostFreeboardMM, fmt.Sprintf("%d mm is usual", DefaultFreeboardMM)},
		{"thickness of the boards", board, leastBoardMM, mostBoardMM, "choose a board from the shelf"},
	} {
		if !(c.v >= c.low && c.v <= c.top) {
			return &InputError{
				fmt.Sprintf("the %s is %s mm and must be from %g to %g mm", c.name, strconv.FormatFloat(math.Round(c.v*10)/10, 'f', -1, 64), c.low, c.top),
				c.try,
			}
		}
	}
	return nil
}

// doubts lists what may be wrong with a box.
func (in Input) doubts(r Result, a asked) []finding.Finding {
	var fs []finding.Finding
	tell := func(level finding.Level, text, action string) {
		fs = append(fs, finding.Finding{Question: "moldbox", Level: level, Text: text, Action: action})
	}
	if a.clearance < a.usual/2 {
		tell(finding.Warn,
			fmt.Sprintf("%g mm of rubber beside the pattern is under half of the %g mm that are usual for its size.", a.clearance, a.usual),
			"Give more clearance, or expect a mold that sags and tears.")
	}
	if len(r.CutWalls) > 0 && a.cut < LeastCutClearanceMM {
		tell(finding.Note,
			fmt.Sprintf("%g mm of rubber at the cut leave little room for keys.", a.cut),
			fmt.Sprintf("Give %d mm at the cut where you can.", LeastCutClearanceMM))
	}
	if r.Floor.Shape == Faceted && !in.Board.Scores {
		tell(finding.Warn,
			fmt.Sprintf("%s is not a board to score and bend.", upperFirst(in.Board.Name)),
			"Take a foam board or a corrugated sheet with --board, or a rectangle.")
	}
	for _, t := range r.Thin {
		at := [3]float64{t.AtMM[0], t.AtMM[1], t.AtMM[2]}
		fs = append(fs, finding.Finding{
			Question: "moldbox", Level: finding.Warn, AtMM: &at,
			Text:   fmt.Sprintf("Only %.1f mm of rubber to %s.", t.GapMM, sideName(t.Wall)),
			Action: "Move or enlarge the box there.",
		})
	}
	return fs
}

// sideName says which side of the box is meant.
func sideName(wall string) string {
	if words, known := sideWords[wall]; known {
		return words
	}
	return "the wall at " + wall
}

var sideWords = map[string]string{
	"x0": "the wall at −x", "x1": "the wall at +x", "y0": "the wall at −y", "y1": "the wall at +y", "cover": "the top of the rubber", "tube": "the tube",
}

func upperFirst(words string) string { return strings.ToUpper(words[:1]) + words[1:] }
