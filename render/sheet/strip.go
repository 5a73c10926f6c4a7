package sheet

import (
	"sort"
	"strconv"

	"pourwright/analysis"
)

// strip is the inside of a wall with the levels to mark on it.
type strip struct {
	High, Board      px // of the drawing; where the board is
	Top, Tall        px // of the wall
	RubberTop, Depth px // of the rubber
	Marks            []levelMark
	Batches          []levelMark
	WallTop          string
}

// levelMark is a line at Y with its label at TextY.
type levelMark struct {
	Y, TextY px
	Label    string
	Full     bool
}

const (
	stripGap = 22 // between labels
	stripLow = 8  // from the top of the wall, which is named above it
)

// drawStrip draws the levels, or gives nil when there are none.
func drawStrip(p *analysis.Plan, s units) *strip {
	full, marks, batches := p.Box.RubberLevelMM, p.Rubber.Marks, p.Rubber.Batches
	wall := max(p.Box.WallHeightMM, full)
	if !drawable(wall) || len(marks)+len(batches) == 0 {
		return nil
	}
	tall := max(230, float64(stripGap*(max(len(marks), len(batches))+2)))
	const top = 26
	y := func(mm float64) float64 { return top + tall*(1-min(max(mm/wall, 0), 1)) }
	d := &strip{High: px(top + tall + 28), Board: px(top + tall), Top: top, Tall: px(tall)}
	d.RubberTop = px(y(full))
	d.Depth = d.Board - d.RubberTop
	d.WallTop = s.LengthUp(wall)
	for _, m := range marks {
		d.Marks = append(d.Marks, levelMark{
			Y: px(y(m.LevelMM)), Label: s.Length(m.LevelMM),
			Full: m.LevelMM >= full-0.05,
		})
	}
	for i, b := range batches {
		d.Batches = append(d.Batches, levelMark{Y: px(y(b.LevelMM)), Label: "batch " + strconv.Itoa(i+1)})
	}
	settle(d.Marks, top+stripLow, top+tall)
	settle(d.Batches, top+stripLow, top+tall)
	return d
}

// settle sorts marks from the top down and keeps their labels apart.
func settle(marks []levelMark, low, high float64) {
	sort.SliceStable(marks, func(i, j int) bool { return marks[i].Y < marks[j].Y })
	at := make([]float64, len(marks))
	for i, m := range marks {
		at[i] = float64(m.Y)
	}
	for i, y := range spread(at, stripGap, low, high) {
		marks[i].TextY = px(y)
	}
}
