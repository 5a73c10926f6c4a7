package analysis

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pourwright/analysis/shelf"
)

// Of the two parts that with less rubber that locks comes off first, then that with
// less that hooks; worked out by hand. Sides are those of the cut's normal.
func TestPeelFirst(t *testing.T) {
	lock := func(side int, mm3 float64, gives bool) Lock { return Lock{Side: side, VolumeMM3: mm3, Gives: gives} }
	for name, c := range map[string]struct {
		first int
		locks []Lock
		want  int
	}{
		"none":                           {1, nil, 2},
		"hooks in the second":            {1, []Lock{lock(-1, 300, true)}, 1},
		"hooks in the first":             {1, []Lock{lock(1, 300, true)}, 2},
		"as much in both":                {-1, []Lock{lock(1, 300, true), lock(-1, 300, true)}, 2},
		"locks count before hooks":       {-1, []Lock{lock(1, 250, false), lock(-1, 900, true)}, 1},
		"of two that lock the less":      {-1, []Lock{lock(1, 250, false), lock(-1, 900, false)}, 2},
		"nearly alike":                   {1, []Lock{lock(1, 295, false), lock(-1, 297, false)}, 2},
		"the same from the other normal": {1, []Lock{lock(1, 250, false), lock(-1, 900, false)}, 1},
	} {
		if have, why := (&TwoPart{Locks: c.locks}).easier(c.first); have != c.want || why == "" {
			t.Errorf("%s: part %d since %q, want %d", name, have, why, c.want)
		}
	}
}

// Of a mold in two parts nothing is cut, and it is not to stand: its plan says neither,
// and warns of the release's solvent. A block's plan says the opposite.
func TestNothingIsCut(t *testing.T) {
	scan := scanOf(t, goblet())
	for style, twoPart := range map[string]bool{BlockStyle: false, TwoPartStyle: true} {
		p := planOf(t, Choices{Scan: scan, Units: "mm", Style: style})
		if slices.Contains(p.Cautions, shelf.OpeningBlock) == twoPart || slices.Contains(p.Cautions, shelf.BetweenParts) != twoPart || p.Cautions[0] != shelf.DataSheetFirst {
			t.Errorf("%s: cautions %q", style, p.Cautions)
		}
		for _, b := range p.Basis {
			of := strings.HasPrefix(b.Key, "cut.slit") || strings.HasPrefix(b.Key, "cut.land") || strings.HasPrefix(b.Key, "cut.key")
			if of && twoPart || strings.HasPrefix(b.Key, "two_part.") && !twoPart {
				t.Errorf("%s: basis of %s", style, b.Key)
			}
		}
		for _, f := range p.Findings {
			if twoPart && strings.Contains(f.Text, "does not stand") {
				t.Errorf("%s: %s", style, f.Text)
			}
		}
	}
}

// A point measured inside the lying box is where the search for keys put it, by its own
// way of measuring, and the second pour has it as far from the other side.
func TestMeasuredInLyingBox(t *testing.T) {
	scan := scanOf(t, goblet())
	for _, down := range []*[3]float64{nil, {1, 0.2, 0}, {0, 0, -1}} {
		p := planOf(t, Choices{Scan: scan, Units: "mm", Style: TwoPartStyle, Down: down})
		b := p.TwoPart
		if len(b.Keys) == 0 {
			t.Fatal("no keys to compare with")
		}
		for _, k := range b.Keys {
			along, across, up := b.Measured(k.AtMM, 1)
			_, _, below := b.Measured(k.AtMM, 2)
			if math.Abs(along-k.AtMM[2]) > 1e-6 || math.Abs(across-k.FromRightMM) > 1e-6 { // the spout's wall is the stand's board
				t.Errorf("down %v: key at %g, %g, measured %g, %g", down, k.AtMM[2], k.FromRightMM, along, across)
			}
			if p.Cut.Surface == "plane" && math.Abs(up-b.BedMM) > 1e-6 || math.Abs(up+below-b.InsideMM[2]) > 1e-6 {
				t.Errorf("down %v: key %g over one board, %g over the other, bed %g", down, up, below, b.BedMM)
			}
		}
		walls := map[string]bool{}
		for _, d := range [][3]float64{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}} {
			walls[b.SideOf(d)] = true
		}
		if len(walls) != 6 || b.SideOf(b.Turned([3]float64{0, 0, -1})) != SpoutEnd {
			t.Errorf("down %v: sides %v", down, walls)
		}
	}
}
