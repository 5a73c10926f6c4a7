package sheet

import (
	"math"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// cutWords says in plain words where the block is cut.
type cutWords struct {
	Known bool
	Runs  string
	Marks []string // where the cut meets the walls
	Meets string   // share of the line that meets fine detail
	Seam  bool     // much of it: the seam will show
}

// cutEnd is where the cut meets a wall, on the board.
type cutEnd struct {
	X, Y float64
	Wall string // "x0" … "y1", "facet 1" …, or "left side" … of a tube
}

// Name names the wall that the cut meets.
func (e cutEnd) Name() string {
	if name := wallNames[e.Wall]; name != "" {
		return name
	}
	return strings.ToUpper(e.Wall[:1]) + e.Wall[1:]
}

func wordCut(p *analysis.Plan, s units) cutWords {
	n := p.Cut.Normal
	if !(n[0]*n[0]+n[1]*n[1]+n[2]*n[2] > 0) {
		return cutWords{}
	}
	words := cutWords{Known: true, Meets: say.Percent(p.Cut.DetailCrossed), Seam: p.Cut.DetailCrossed >= 0.3}
	flat := math.Hypot(n[0], n[1])
	stepped := len(p.Cut.Steps) > 0
	if tilt := math.Atan2(math.Abs(n[2]), flat) * 180 / math.Pi; tilt > 5 || stepped {
		words.Runs = leanWords(p, s, tilt) + " Follow it in the picture."
		if stepped {
			words.Runs = "The cut is stepped: it runs beside a plane. " + words.Runs
		}
		words.Marks = cornerMarks(p, s)
		return words
	}
	words.Runs = "The cut is one upright plane. " + runWords(n)
	if ends, ok := cutEnds(p); ok {
		for _, e := range ends {
			words.Marks = append(words.Marks, markWords(p, s, e))
		}
	}
	return words
}

// leanWords says how a plane lies that is not upright, or that steps leave.
func leanWords(p *analysis.Plan, s units, tilt float64) string {
	switch {
	case tilt > 89:
		return "The plane is level, " + s.Length(p.Cut.PointMM[2]) + " above the board."
	case tilt > 5:
		return "The plane leans " + say.Angle(tilt) + " from upright. " + runWords(p.Cut.Normal)
	}
	return "The plane is upright. " + runWords(p.Cut.Normal)
}

// mostMarks is how many corners of the cut are worth a list; the true-size drawings
// show all.
const mostMarks = 8

// cornerMarks lists where the cut turns on the outside of the block.
func cornerMarks(p *analysis.Plan, s units) []string {
	if len(p.Cut.Rim) > mostMarks {
		return nil
	}
	var all []string
	for _, at := range p.Cut.Rim {
		name, _ := wallAt(p, at[0], at[1])
		all = append(all, name+": "+placeOf(p, at).Words(s))
	}
	return all
}

// runWords says which way an upright plane runs, by its normal.
func runWords(n [3]float64) string {
	turn := math.Atan2(-n[0], n[1]) * 180 / math.Pi // of the plane to +x
	turn = math.Mod(turn+360, 180)
	switch off := math.Min(turn, 180-turn); {
	case off < 0.5:
		return "It runs along the block, from the left end to the right end."
	case off < 20:
		return "It runs along the block, turned by " + say.Angle(off) + "."
	case off > 89.5:
		return "It runs across the block, from the front to the back."
	case off > 70:
		return "It runs across the block, turned by " + say.Angle(90-off) + "."
	default:
		return "It runs slantwise, at " + say.Angle(off) + " to the long walls."
	}
}

func markWords(p *analysis.Plan, s units, e cutEnd) string {
	at := placeOf(p, [3]float64{e.X, e.Y, 0})
	switch e.Wall {
	case "x0":
		return "Left end wall: " + s.Length(at.FromFront) + " from the front"
	case "x1":
		return "Right end wall: " + s.Length(at.FromFront) + " from the front"
	case "y0":
		return "Front wall: " + s.Length(at.FromLeft) + " from the left end"
	case "y1":
		return "Back wall: " + s.Length(at.FromLeft) + " from the left end"
	}
	return e.Name() + ": " + s.Length(at.FromLeft) + " from the left end, " + s.Length(at.FromFront) + " from the front"
}
