package analysis

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/mesh"
)

// A second caliper length may be off by this share before it is a doubt.
const lengthAgrees = 0.01

// Parts beyond these longest sides (mm) are rarely molded in a block.
const (
	smallPart = 20
	largePart = 2000
)

// scaleDoubts holds the sides of the tightest box, in mm and longest first,
// against what the maker measured and what is usual.
func scaleDoubts(c Choices, sides [3]float64) ([]finding.Finding, error) {
	var doubts []finding.Finding
	tell := func(level finding.Level, text, action string) {
		doubts = append(doubts, finding.Finding{Question: "scan", Level: level, Text: text, Action: action})
	}
	switch longest := sides[0]; {
	case longest < smallPart:
		tell(finding.Warn, fmt.Sprintf("The part is only %.3g mm long.", longest), "Make sure of the unit: give --units or --longest.")
	case longest > largePart:
		tell(finding.Warn, fmt.Sprintf("The part is %.3g m long.", longest/1000), "Make sure of the unit: give --units or --longest. A block of rubber this size is rarely worth its price.")
	}
	if c.CheckLengthMM == 0 {
		return doubts, nil
	}
	if c.CheckSide < 1 || c.CheckSide > 3 {
		return nil, &Refusal{fmt.Sprintf("side %d of the tightest box was measured, and it has sides 1, 2 and 3, the longest first", c.CheckSide),
			"Give it such as --check-length 2=85mm."}
	}
	side := sides[c.CheckSide-1]
	switch off := side/c.CheckLengthMM - 1; {
	case off > lengthAgrees || off < -lengthAgrees:
		tell(finding.Warn, fmt.Sprintf("Side %d of the tightest box is %.4g mm in the scan and %.4g mm by caliper (%s).", c.CheckSide, side, c.CheckLengthMM, percentOff(off)),
			"Measure both sides again; if they still disagree, the scan is stretched: volumes and fits cannot be trusted.")
	default:
		tell(finding.Note, fmt.Sprintf("Side %d of the tightest box agrees with the caliper (%s).", c.CheckSide, percentOff(off)), "Go on.")
	}
	return doubts, nil
}

// caliperMM is how far a caliper reading on a worn prop may be off (common
// practice, no source).
const caliperMM = 0.5

// scaleDoubt returns the share of the volume that is in doubt because the scale
// is: a scale from one caliper reading is off by its share of that length, and
// the volume by three times that; a second reading that disagrees counts in full.
func (c Choices) scaleDoubt(sides [3]float64) float64 {
	doubt := 0.0
	if c.LongestMM > 0 {
		doubt = 3 * caliperMM / c.LongestMM
	}
	if c.CheckLengthMM > 0 {
		doubt = max(doubt, math.Abs(sides[c.CheckSide-1]/c.CheckLengthMM-1))
	}
	return doubt
}

// knownScale returns the scale of a scan where it does not depend on how long the
// tightest box is exactly. Two points as far apart as a side of the bounds fit
// into no box of less than 1/√3 of that, and no box that fits is longer than the
// diagonal of the bounds.
func (c Choices) knownScale(source mesh.Source, raw *mesh.Mesh) (scale float64, known bool) {
	b := raw.Bounds()
	size := r3.Sub(b.Max, b.Min)
	least, err := chooseUnits(c, source, max(size.X, size.Y, size.Z)/math.Sqrt(3))
	if err != nil {
		return 0, false
	}
	most, err := chooseUnits(c, source, r3.Norm(size))
	return least.scale, err == nil && least.scale == most.scale
}
