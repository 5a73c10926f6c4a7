package sheet

import (
	"math"

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
	Wall string // "x0" … "y1"
}

func wordCut(p *analysis.Plan, s units) cutWords {
	n := p.Cut.Normal
	if !(n[0]*n[0]+n[1]*n[1]+n[2]*n[2] > 0) {
		return cutWords{}
	}
	words := cutWords{Known: true, Meets: say.Percent(p.Cut.DetailCrossed), Seam: p.Cut.DetailCrossed >= 0.3}
	flat := math.Hypot(n[0], n[1])
	if tilt := math.Atan2(math.Abs(n[2]), flat) * 180 / math.Pi; tilt > 5 {
		words.Runs = "The cut leans " + say.Angle(tilt) + " from upright. Follow the blue plane in the picture."
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
	}
	return "Back wall: " + s.Length(at.FromLeft) + " from the left end"
}

// cutEnds is where an upright plane meets the inside of the box walls, the end
// with the smaller x first (then y). Clipping after Y.-D. Liang and B. A.
// Barsky, A new concept and method for line clipping, ACM Trans. Graphics 3
// (1984).
func cutEnds(p *analysis.Plan) ([2]cutEnd, bool) {
	n, at := p.Cut.Normal, p.Cut.PointMM
	flat := math.Hypot(n[0], n[1])
	half := [2]float64{p.Box.InsideMM[0] / 2, p.Box.InsideMM[1] / 2}
	if !(flat > 1e-9) || !drawable(half[0], half[1]) {
		return [2]cutEnd{}, false
	}
	along := [2]float64{-n[1] / flat, n[0] / flat}
	walls := [2][2]string{{"x0", "x1"}, {"y0", "y1"}}
	from, to := math.Inf(-1), math.Inf(1)
	var wall [2]string
	for k := range 2 {
		if math.Abs(along[k]) < 1e-12 {
			if math.Abs(at[k]) > half[k] {
				return [2]cutEnd{}, false
			}
			continue
		}
		near, far := (-half[k]-at[k])/along[k], (half[k]-at[k])/along[k]
		side := walls[k]
		if near > far {
			near, far, side = far, near, [2]string{side[1], side[0]}
		}
		if near > from {
			from, wall[0] = near, side[0]
		}
		if far < to {
			to, wall[1] = far, side[1]
		}
	}
	if !(from < to) {
		return [2]cutEnd{}, false
	}
	ends := [2]cutEnd{
		{at[0] + from*along[0], at[1] + from*along[1], wall[0]},
		{at[0] + to*along[0], at[1] + to*along[1], wall[1]},
	}
	if ends[1].X < ends[0].X-1e-9 || math.Abs(ends[1].X-ends[0].X) < 1e-9 && ends[1].Y < ends[0].Y {
		ends[0], ends[1] = ends[1], ends[0]
	}
	return ends, true
}
