package moldbox

import "fmt"

// baseMarginMM is how far the base board reaches past the box all round, for
// clamps and for sealing from outside (common practice, no source).
const baseMarginMM = 40

// panels lists the boards of a butt-jointed box: two ends between two sides,
// on a base board. Sizes are rounded up to what can be cut.
func (in Input) panels(r Result) []Panel {
	t := in.Board.ThicknessMM
	outerL, outerW := r.InsideMM[0]+2*t, r.InsideMM[1]+2*t
	board := func(name string, count int, length, width float64, note string) Panel {
		return Panel{
			Name: name, Count: count, LengthMM: in.roundUp(length), WidthMM: in.roundUp(width),
			ThicknessMM: t, ScoresMM: []float64{}, Note: note,
		}
	}
	return []Panel{
		board("side", 2, outerL, r.WallHeightMM,
			fmt.Sprintf("Covers the edges of the ends: inside length and two board thicknesses. Measure your board; if it is not %g mm, correct this length.", t)),
		board("end", 2, r.InsideMM[1], r.WallHeightMM, "Stands between the two sides and sets the inside width."),
		board("base board", 1, outerL+2*baseMarginMM, outerW+2*baseMarginMM,
			fmt.Sprintf("Reaches %d mm past the box all round, for clamps and the seal.", baseMarginMM)),
	}
}
