package drawing

import (
	"math"
	"slices"
	"strconv"

	"pourwright/analysis"
	"pourwright/render/say"
)

const (
	stripMM     = 25 // wide
	tickMM      = 4
	labelMM     = 6 // from the left edge to the labels
	labelLongMM = stripMM - labelMM - 0.5
	stripLevel  = 3.4 // size of a level
	stripSmall  = 2.4 // of what is beside it
	labelGapMM  = 0.5
)

// drawStrip draws the levels to pour to, on a strip to tape upright into a corner.
func drawStrip(p *analysis.Plan, show say.Style) []Drawing {
	full, wall := p.Box.RubberLevelMM, max(p.Box.WallHeightMM, p.Box.RubberLevelMM)
	if !drawable(full, wall) || len(p.Rubber.Marks)+len(p.Rubber.Batches) == 0 {
		return nil
	}
	s := newSketch(p, show, "strip", "Level strip")
	at := Point{borderMM, borderMM}
	board := at.Y + wall
	y := func(levelMM float64) float64 { return board - levelMM }
	outline := corners(Rect{at, Point{at.X + stripMM, board}})
	outline.Pen, outline.Class = edgePen, "strip"
	s.add(outline)
	s.ruler(at.X, board, wall)
	s.add(Line{Point{at.X, y(full)}, Point{at.X + stripMM, y(full)}, boldPen, "full"})
	labels := s.levels(p, y)
	s.labels(at, y(full), board, labels)
	s.head(Point{at.X + stripMM + 8, at.Y}, headMM-stripMM-8, stripNotes(p, show)...)
	return s.done()
}

func stripNotes(p *analysis.Plan, show say.Style) []string {
	return []string{
		"Cut the strip out. Tape it upright into a corner, inside, its lower end on the board.",
		"Stop at FULL: " + show.Length(p.Box.RubberLevelMM) + " of " + p.Rubber.MaterialName + ". The strip ends where the wall does.",
	}
}

// ruler draws small ticks to count by.
func (s *sketch) ruler(x, board, wall float64) {
	step := 10.0
	if s.show == say.Inch {
		step = mmPerInch / 2
	}
	for k := 1; float64(k)*step < wall; k++ {
		y := board - float64(k)*step
		s.add(Line{Point{x + stripMM - 1.5, y}, Point{x + stripMM, y}, thinPen, "ruler"})
	}
}

// level is a mark of the strip with the lines of its label, the most important first.
type level struct {
	y     float64
	lines []string
	ink   Colour
	class string
}

// levels lists the marks of the strip from the board up. What is told at the rubber
// level itself goes with FULL.
func (s *sketch) levels(p *analysis.Plan, y func(float64) float64) []level {
	full := level{y: y(p.Box.RubberLevelMM), lines: append([]string{"FULL"}, s.lengths(p.Box.RubberLevelMM)...), ink: ink, class: "full"}
	all := []level{{y: y(0), lines: []string{"this end on the board"}, ink: shade, class: "board"}}
	for _, m := range p.Rubber.Marks {
		if sameLevel(m.LevelMM, p.Box.RubberLevelMM) {
			full.lines = append(full.lines, s.amounts(m)...)
			continue
		}
		all = append(all, level{y(m.LevelMM), append(s.lengths(m.LevelMM), s.amounts(m)...), ink, "mark"})
	}
	for i, b := range p.Rubber.Batches {
		name := "after batch " + strconv.Itoa(i+1)
		if len(p.Rubber.Batches) == 1 {
			continue
		}
		if sameLevel(b.LevelMM, p.Box.RubberLevelMM) {
			full.lines = append(full.lines, name)
			continue
		}
		all = append(all, level{y(b.LevelMM), append([]string{name}, s.lengths(b.LevelMM)...), blue, "batch"})
	}
	slices.SortStableFunc(all, func(a, b level) int { return int(math.Copysign(1, b.y-a.y)) })
	return append(all, full)
}

func sameLevel(a, b float64) bool { return math.Abs(a-b) < 0.05 }

// lengths words a level, each system on a line of its own.
func (s *sketch) lengths(mm float64) []string {
	switch s.show {
	case say.Both:
		return []string{say.Metric.Length(mm), say.Inch.Length(mm)}
	default:
		return []string{s.show.Length(mm)}
	}
}

// amounts words the rubber up to a mark. A scale shows grams, so both systems read so.
func (s *sketch) amounts(m analysis.Mark) []string {
	if s.show == say.Inch {
		return []string{say.Inch.Mass(m.MassG), say.Inch.Liquid(m.RubberMM3)}
	}
	return []string{say.Grams(m.MassG), say.Metric.Liquid(m.RubberMM3)}
}

// labels writes the labels beside their ticks. Where they would crowd each other they
// are shortened, then moved apart; a thin line leads to each.
func (s *sketch) labels(at Point, full, board float64, levels []level) {
	top := full + 0.8
	if word := (Text{Point{at.X + stripMM/2, full - 1.2}, 5, "FULL", Middle, false, ink, "full-label"}); word.box().Min.Y > at.Y {
		s.add(word)
		last := &levels[len(levels)-1]
		last.lines = last.lines[1:]
	}
	for keep := mostLines; keep > 1 && total(levels) > board-top-1; keep-- {
		for i := range levels {
			levels[i].lines = levels[i].lines[:min(len(levels[i].lines), keep-1)]
		}
	}
	for i, y := range apart(levels, top, board-0.6) {
		s.write(at, levels[i], y)
	}
}

// mostLines is how many lines the longest label has.
const mostLines = 6

func height(lines []string) float64 {
	return stripLevel*1.05 + float64(len(lines)-1)*stripSmall*1.3
}

func total(levels []level) float64 {
	sum := 0.0
	for _, l := range levels {
		sum += height(l.lines) + labelGapMM
	}
	return sum
}

// apart returns the middles of labels, sorted from below, moved apart between top and
// bottom as far as there is room.
func apart(levels []level, top, bottom float64) []float64 {
	middle := make([]float64, len(levels))
	low := bottom
	for i, l := range levels {
		h := height(l.lines)
		middle[i] = min(l.y, low-h/2)
		low = middle[i] - h/2 - labelGapMM
	}
	high := top
	for i := len(levels) - 1; i >= 0; i-- {
		h := height(levels[i].lines)
		middle[i] = max(middle[i], high+h/2)
		high = middle[i] + h/2 + labelGapMM
	}
	return middle
}

// write draws the tick of a level, its label with the middle at y, and what leads there.
func (s *sketch) write(at Point, l level, y float64) {
	if l.class != "board" && l.class != "full" {
		pen := Pen{l.ink, 0.35, nil}
		tick := Point{at.X + tickMM, l.y}
		s.add(Line{Point{at.X, l.y}, tick, pen, l.class}, Line{tick, Point{at.X + labelMM - 0.4, y}, Pen{l.ink, 0.15, nil}, "leader"})
	}
	baseline := y - height(l.lines)/2 + stripLevel*0.8
	for i, line := range l.lines {
		size := stripSmall
		if i == 0 {
			size = stripLevel
		} else {
			baseline += stripSmall * 1.3
		}
		for room(line, size) > labelLongMM && size > 1 {
			size -= 0.1
		}
		s.add(Text{Point{at.X + labelMM, baseline}, size, line, Start, false, l.ink, l.class + "-label"})
	}
}
