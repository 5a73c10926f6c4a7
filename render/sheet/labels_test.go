package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pourwright/analysis"
	"pourwright/render/say"
)

// extentOf is where a label starts and ends.
func (l label) extentOf() (from, to px) {
	if l.Anchor == "end" {
		return l.X - l.wide(), l.X
	}
	return l.X, l.X + l.wide()
}

// faced is a box of inside length × width and level, cut along or across, with
// a part that fills all but 16 mm to every side.
func faced(long, wide, level, angle float64) *analysis.Plan {
	p := boxed(angle, 0, 0)
	p.Box.InsideMM, p.Box.RubberLevelMM = [3]float64{long, wide, level}, level
	sin, cos := math.Sincos(angle * math.Pi / 180)
	half := long/2 - 16
	if angle != 0 {
		half = wide/2 - 16
	}
	for _, c := range [][2]float64{{-half, 0}, {half, 0}, {half, level - 16}, {-half, level - 16}} {
		if len(p.Cut.Outline) == 0 {
			p.Cut.Outline = [][][3]float64{nil}
		}
		p.Cut.Outline[0] = append(p.Cut.Outline[0], [3]float64{c[0] * cos, c[0] * sin, c[1]})
	}
	return p
}

// The names of the walls keep clear of each other, of the block and of the
// drawing's edges, from tall and narrow blocks to flat and long ones.
func TestWallNamesKeepApart(t *testing.T) {
	for _, size := range [][3]float64{
		{121, 76, 465}, {60, 60, 900}, {131, 123, 254}, {300, 200, 100}, {900, 80, 45}, {450, 181, 185}, {200, 200, 200}, {45, 45, 45},
	} {
		for _, angle := range []float64{0, 90} {
			t.Run(fmt.Sprintf("%g at %g", size, angle), func(t *testing.T) {
				f := drawCut(faced(size[0], size[1], size[2], angle), say.Both)
				if f == nil || len(f.Walls) != 2 {
					t.Fatalf("no names of walls: %+v", f)
				}
				wallNamesKeepApart(t, f)
			})
		}
	}
}

func wallNamesKeepApart(t *testing.T, f *cutFace) {
	t.Helper()
	const up, down = 12, 4 // of the letters, over and under the line
	_, leftEnd := f.Walls[0].extentOf()
	rightStart, _ := f.Walls[1].extentOf()
	if rightStart-leftEnd < labelGap {
		t.Errorf("%q ends at %s, %q starts at %s", f.Walls[0].Text, leftEnd, f.Walls[1].Text, rightStart)
	}
	for _, l := range f.Walls {
		from, to := l.extentOf()
		if from < 0 || to > f.Wide || l.Y-up < 0 || l.Y+down > f.High {
			t.Errorf("%q from %s to %s at %s leaves the drawing of %s × %s", l.Text, from, to, l.Y, f.Wide, f.High)
		}
		b := f.Block
		if from < b.X+b.W && to > b.X && l.Y-up < b.Y+b.H && l.Y+down > b.Y {
			t.Errorf("%q lies on the block", l.Text)
		}
	}
	if text := (label{Text: f.Bar.Label, Anchor: "start", X: f.BarText}); text.X+text.wide() > f.Wide {
		t.Errorf("scale bar %q ends at %s of %s", text.Text, text.X+text.wide(), f.Wide)
	}
}

// What is said of vents depends on there being some.
func TestNoVentsNoWordsOfThem(t *testing.T) {
	p := gull()
	p.CastTrap = nil
	text := shown(t, written(t, p, Options{}))
	for _, absent := range []string{"every vent", "the vent ", "Pull the post", "Clear the vents", "part and vents", "leaves a vent", "posts"} {
		if strings.Contains(text, absent) {
			t.Errorf("no vents, but the sheet says %q", absent)
		}
	}
	for _, want := range []string{"No vents are needed.", "To fill: part 198 mL"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the sheet", want)
		}
	}
	p.Stand.StemMM = 20
	if text := shown(t, written(t, p, Options{})); !strings.Contains(text, "To fill: part and stem 198 mL") {
		t.Error("the stem is not part of the cavity")
	}
}

// A vent whose trap lies on the board has no post, yet keeps its number.
func TestVentOnTheBoardHasNoPost(t *testing.T) {
	p := gull()
	p.CastTrap[0].Vent = &analysis.Vent{FromMM: [3]float64{44, -2, 0.3}, ToMM: [3]float64{44, -2, 0}, DiameterMM: 5, Post: 1, LengthMM: 0.3,
		BoardMM: [2]float64{44, -2}, FromWalls: [2]analysis.FromMM{{Wall: "x1", MM: 22}, {Wall: "y0", MM: 40}}}
	text := shown(t, written(t, p, Options{}))
	for _, want := range []string{
		"Rod for 1 post, 5 mm (3/16 in) across 173 mm (6 13/16 in)", "Glue in 1 post, as listed.",
		"1 – none 22 mm (7/8 in) from the right end 40 mm (1 9/16 in) from the front no post: the part itself stands on the board here",
		"2 5 mm (3/16 in) 173 mm", "Pull the post. 2 vents must be open",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the sheet", want)
		}
	}
}

// The caution that all others stand under is said once.
func TestDataSheetCautionOnce(t *testing.T) {
	const of = "licensed practice come before"
	p := gull()
	if n := strings.Count(shown(t, written(t, p, Options{})), of); n != 1 {
		t.Errorf("said %d times with the plan's cautions", n)
	}
	p.Cautions = nil
	if n := strings.Count(shown(t, written(t, p, Options{})), of); n != 1 {
		t.Errorf("said %d times without", n)
	}
}

func TestCardRow(t *testing.T) {
	for n, want := range map[int]int{0: 2, 1: 2, 2: 2, 3: 3, 4: 2, 5: 3, 6: 3, 7: 3} {
		if have := (pouring{Batches: make([]analysis.Batch, n)}).CardRow(); have != want {
			t.Errorf("%d batches: %d in a row, want %d", n, have, want)
		}
	}
}

// Walls are rounded up on the strip too: 246.4 mm is 9.701 in.
func TestStripWallIsRoundedUp(t *testing.T) {
	p := gull()
	p.Box.WallHeightMM = 246.4
	if have := drawStrip(p, units{}).WallTop; strings.ReplaceAll(have, noBreak, " ") != "247 mm (9 3/4 in)" {
		t.Errorf("have %q", have)
	}
}
