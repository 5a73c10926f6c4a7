package analysis

import "math"

// Sides of the box on its side at the first pour, as someone sees it who looks from the
// spout's end along the box. The walls keep these names when the box is turned over.
const (
	SpoutEnd   = "spout end"
	FarEnd     = "far end"
	RightWall  = "right"
	LeftWall   = "left"
	FirstSide  = "above"
	SecondSide = "below"
)

// Turned is a direction of the stand frame, as it points at the first pour.
func (t *TwoPart) Turned(d [3]float64) [3]float64 {
	var out [3]float64
	for i, row := range t.Rotation {
		for k := range row {
			out[i] += row[k] * d[k]
		}
	}
	return out
}

// Lying is where a point of the stand frame lies at the first pour: board at z = 0,
// origin in the centre of the floor, +x along the length.
func (t *TwoPart) Lying(p [3]float64) [3]float64 {
	at := t.Turned(p)
	for k := range at {
		at[k] += t.TranslationMM[k]
	}
	return at
}

// SideOf names the side of the lying box that a direction of its own frame points to most.
func (t *TwoPart) SideOf(d [3]float64) string {
	ahead := t.Turned([3]float64{0, 0, 1})
	left := [3]float64{-ahead[1], ahead[0], 0}
	along, aside := d[0]*ahead[0]+d[1]*ahead[1], d[0]*left[0]+d[1]*left[1]
	switch up := d[2]; {
	case math.Abs(up) > math.Abs(along) && math.Abs(up) > math.Abs(aside):
		return pick(up > 0, FirstSide, SecondSide)
	case math.Abs(along) >= math.Abs(aside):
		return pick(along > 0, FarEnd, SpoutEnd)
	default:
		return pick(aside > 0, LeftWall, RightWall)
	}
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// Measured says where a point of the stand frame is as a rule measures it inside the
// lying box: from the wall at the spout's end, from the wall named right, and up from
// the board that is below at pour 1 or 2.
func (t *TwoPart) Measured(p [3]float64, pour int) (fromSpout, fromRight, up float64) {
	ahead, at := t.Turned([3]float64{0, 0, 1}), t.Lying(p)
	half := [2]float64{t.InsideMM[0] / 2, t.InsideMM[1] / 2}
	reach := func(d [2]float64) float64 { return math.Abs(d[0])*half[0] + math.Abs(d[1])*half[1] }
	on, left := [2]float64{ahead[0], ahead[1]}, [2]float64{-ahead[1], ahead[0]}
	fromSpout = reach(on) + on[0]*at[0] + on[1]*at[1]
	fromRight = reach(left) + left[0]*at[0] + left[1]*at[1]
	if pour == 2 {
		return fromSpout, fromRight, t.InsideMM[2] - at[2]
	}
	return fromSpout, fromRight, at[2]
}
