package moldbox

import "fmt"

// OnItsSide returns the box that a block is poured in lying on its side, across the
// direction x or y of its own frame: the floor holds the block's height and its other
// side, the walls stand as high as the block is thick in that direction. inside is
// the block: length, width and height.
func OnItsSide(inside [3]float64, acrossX bool, in Input) Result {
	length, width, deep := inside[2], inside[0], inside[1]
	if acrossX {
		width, deep = inside[1], inside[0]
	}
	if width > length {
		length, width = width, length
	}
	freeboard := float64(DefaultFreeboardMM)
	if in.FreeboardMM != nil {
		freeboard = *in.FreeboardMM
	}
	r := Result{Floor: RectangleFloor(length, width), InsideMM: [3]float64{length, width, deep}, RubberLevelMM: deep}
	r.WallHeightMM = in.roundUp(deep + freeboard)
	r.FreeboardMM = r.WallHeightMM - deep
	r.Panels = in.panels(r)
	base := &r.Panels[len(r.Panels)-1]
	base.Count, base.Note = 2, base.Note+" One is below at each pour: the second is clamped on to turn the box over."
	return r
}

// AssemblyOnSide says in which order a box on its side goes together, and its bed, which
// is low to high mm over the board.
func AssemblyOnSide(lowMM, highMM float64, onStem bool) []string {
	clay := fmt.Sprintf("to about %.0f mm", lowMM)
	if highMM-lowMM >= 1 {
		clay = fmt.Sprintf("from about %.0f mm at its lowest to %.0f mm at its highest", lowMM, highMM)
	}
	end := "its spout end"
	if onStem {
		end = "the end of its stem"
	}
	return []string{
		"Screw or clamp the two ends between the two sides, on a flat table: the corners must be square.",
		"Set the frame on the base board, screw it down from below or clamp it, and seal every seam, outside first.",
		fmt.Sprintf("Fill it with clay %s, and bed the part in it with %s against the wall.", clay, end),
	}
}
