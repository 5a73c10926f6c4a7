package moldbox

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// How far the base board reaches past the box all round, for clamps and for
	// sealing from outside, and how far a bent wall laps over its own beginning
	// (common practice, no source).
	baseMarginMM = 40
	lapMM        = 30
)

// panels lists the boards to cut. Sizes are rounded up to what can be cut.
func (in Input) panels(r Result) []Panel {
	switch r.Floor.Shape {
	case Tube:
		return []Panel{in.bentSheet(r), in.base(r)}
	case Faceted:
		return []Panel{in.scoredStrip(r), in.base(r)}
	}
	t := in.Board.ThicknessMM
	return []Panel{
		in.panel("side", 2, r.InsideMM[0]+2*t, r.WallHeightMM,
			fmt.Sprintf("Covers the edges of the ends: inside length and two board thicknesses. Measure your board; if it is not %g mm, correct this length.", t)),
		in.panel("end", 2, r.InsideMM[1], r.WallHeightMM, "Stands between the two sides and sets the inside width."),
		in.base(r),
	}
}

func (in Input) panel(name string, count int, length, width float64, note string) Panel {
	return Panel{
		Name: name, Count: count, LengthMM: in.roundUp(length), WidthMM: in.roundUp(width),
		ThicknessMM: in.Board.ThicknessMM, Board: in.Board.Key, ScoresMM: []float64{}, Note: note,
	}
}

// base is the board that all stands on.
func (in Input) base(r Result) Panel {
	out := 2 * (in.Board.ThicknessMM + baseMarginMM)
	p := in.panel("base board", 1, r.InsideMM[0]+out, r.InsideMM[1]+out,
		fmt.Sprintf("Reaches %d mm past the box all round, for clamps and the seal.", baseMarginMM))
	if in.Base.ThicknessMM > 0 {
		p.ThicknessMM, p.Board = in.Base.ThicknessMM, in.Base.Key
	}
	return p
}

// bentSheet is the wall of a tube, as a sheet that is bent round, or a pipe.
func (in Input) bentSheet(r Result) Panel {
	d := 2 * r.Floor.RadiusMM
	return in.panel("tube", 1, math.Pi*(d+in.Board.ThicknessMM)+lapMM, r.WallHeightMM,
		fmt.Sprintf("A pipe or a straight pail %.0f mm wide inside, or a thin sheet of this length bent round and lapped by %d mm. A sheet this thick bends round only if it is thin and tough.", d, lapMM))
}

// scoredStrip is the wall of a faceted box in one piece. The scores are cut into
// the outside and the board is bent away from them, so that its inside keeps its
// length and the lengths between scores are those of the inside of the facets.
func (in Input) scoredStrip(r Result) Panel {
	p := in.panel("wrap", 1, r.Floor.PerimeterMM()+lapMM, r.WallHeightMM,
		fmt.Sprintf("Score the outside at each mark, two thirds through, and bend it away from the scores. The last %d mm lap over the first facet, outside.", lapMM))
	at := 0.0
	for i, c := range r.Floor.Outline {
		at += r2.Norm(r2.Sub(r.Floor.Outline[(i+1)%len(r.Floor.Outline)], c))
		p.ScoresMM = append(p.ScoresMM, at)
	}
	return p
}

// Assembly says in which order the pieces go together.
func Assembly(r Result) []string {
	switch r.Floor.Shape {
	case Tube:
		return []string{
			"Mark the circle of the wall on the base board, and the foot of the part in it.",
			"Glue the part down before the wall is on.",
			"Set the wall on its circle, lap and tape it, and seal its foot all round, outside first.",
		}
	case Faceted:
		return []string{
			"Score the strip outside, bend it at every score, and draw its outline on the base board.",
			"Glue the part down before the wall is on.",
			"Set the strip on its outline, glue the lap, and tape round it at each third of its height.",
			"Seal its foot and the lap all round, outside first.",
		}
	}
	return []string{
		"Mark the inside of the box on the base board, and the foot of the part in it.",
		"Glue the part down before the walls are on.",
		"Screw or clamp the two ends between the two sides, on a flat table: the corners must be square.",
		"Set the frame on its marks, screw it down from below or clamp it, and seal every seam, outside first.",
	}
}
