package drawing

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

const (
	stripMM    = 25 // wide
	tickMM     = 3.6
	labelMM    = 5.2 // from an edge to the labels
	stripLevel = 3.4 // size of a level
	stripSmall = 2.4 // of what is beside it
	stripTight = 2.1 // of all where they are crowded
	labelGapMM = 0.4
)

// pour is what a strip shows: the levels of one pour into a box.
type pour struct {
	name, title string
	fullMM      float64
	marks       []analysis.Mark
	batches     []analysis.Batch
	below       string  // what lies on the board before the pour; empty for nothing
	belowMM     float64 // how high, at its lowest
	highestMM   float64 // and at its highest
}

// poursOf lists the pours of a plan: one, or those of both parts of a mold.
func poursOf(p *analysis.Plan) []pour {
	t := p.TwoPart
	if t == nil {
		return []pour{{name: "strip", title: "Level strip", fullMM: p.Box.RubberLevelMM, marks: p.Rubber.Marks, batches: p.Rubber.Batches}}
	}
	var all []pour
	for i, part := range t.Parts {
		low, high := part.LevelMM-part.DepthMM, part.LevelMM-part.DepthMM
		if uneven(t) {
			low, high = t.LowMM, t.HighMM
			if i == 1 { // turned over
				low, high = t.InsideMM[2]-t.HighMM, t.InsideMM[2]-t.LowMM
			}
		}
		all = append(all, pour{name: "strip-" + strconv.Itoa(i+1), title: "Level strip, " + [2]string{"first", "second"}[i] + " part",
			fullMM: part.LevelMM, marks: part.Marks, batches: part.Batches, below: [2]string{"clay", "first part"}[i], belowMM: low, highestMM: high})
	}
	return all
}

// drawStrip draws the levels to pour to, on strips to tape upright into a corner.
func drawStrip(p *analysis.Plan, show say.Style) []Drawing {
	var all []Drawing
	for _, one := range poursOf(p) {
		all = append(all, one.strip(p, show)...)
	}
	return all
}

// uneven tells whether what lies on the board is higher in some places than in others.
func (one pour) uneven() bool { return one.highestMM-one.belowMM > 0.5 }

func (one pour) strip(p *analysis.Plan, show say.Style) []Drawing {
	full, wall := one.fullMM, max(p.Box.WallHeightMM, one.fullMM)
	if !drawable(full, wall) || len(one.marks)+len(one.batches) == 0 {
		return nil
	}
	s := newSketch(p, show, one.name, one.title)
	at := Point{borderMM, borderMM}
	board := at.Y + wall
	y := func(levelMM float64) float64 { return board - levelMM }
	outline := corners(Rect{at, Point{at.X + stripMM, board}})
	outline.Pen, outline.Class = edgePen, "strip"
	s.add(outline)
	if one.below != "" {
		below := corners(Rect{Point{at.X, y(one.belowMM)}, Point{at.X + stripMM, board}})
		below.Fill, below.Class = tint, "below-fill"
		s.add(below)
		if !one.uneven() {
			s.add(Line{Point{at.X, y(one.belowMM)}, Point{at.X + stripMM, y(one.belowMM)}, edgePen, "below"})
		}
	}
	s.ruler(at.X, board, wall)
	s.add(Line{Point{at.X, y(full)}, Point{at.X + stripMM, y(full)}, boldPen, "full"})
	labels := s.levels(one, y)
	s.labels(at, y(full), board, labels)
	s.head(Point{at.X + stripMM + 8, at.Y}, headMM-stripMM-8, stripNotes(p, one, show)...)
	return s.done()
}

func stripNotes(p *analysis.Plan, one pour, show say.Style) []string {
	if one.uneven() {
		return []string{
			"Cut the strip out, and off where the " + one.below + " is in the way. Tape it upright into a corner, inside, with FULL " + show.Length(one.fullMM) + " over the board.",
			"The " + one.below + " is " + show.Length(one.belowMM) + " to " + show.Length(one.highestMM) + " high. Pour " + p.Rubber.MaterialName + " and stop at FULL.",
		}
	}
	if one.below != "" {
		return []string{
			"Cut the strip out, and off where the " + one.below + " ends. Tape it upright into a corner, inside, standing on the " + one.below + ".",
			"The " + one.below + " is " + show.Length(one.belowMM) + " high. Pour " + p.Rubber.MaterialName + " and stop at FULL, " + show.Length(one.fullMM) + " over the board.",
		}
	}
	return []string{
		"Cut the strip out. Tape it upright into a corner, inside, its lower end on the board.",
		"Stop at FULL: " + show.Length(one.fullMM) + " of " + p.Rubber.MaterialName + ". The strip ends where the wall does.",
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
	size  float64 // of the first line
}

// levels lists the marks of the strip from the board up. What is told at the rubber
// level itself goes with FULL.
func (s *sketch) levels(one pour, y func(float64) float64) []level {
	full := level{y: y(one.fullMM), lines: append([]string{"FULL"}, s.lengths(one.fullMM)...), ink: ink, class: "full", size: stripLevel}
	all := []level{{y: y(0), lines: []string{"this end on the board"}, ink: shade, class: "board", size: stripSmall}}
	switch {
	case one.uneven():
		all = append(all, level{y(one.belowMM), append([]string{one.below + " lowest"}, s.lengths(one.belowMM)...), shade, "below", stripSmall},
			level{y(one.highestMM), append([]string{one.below + " highest"}, s.lengths(one.highestMM)...), shade, "below-high", stripSmall})
	case one.below != "":
		const under = 2 // its line, so that it does not lie on the label
		all = append(all, level{y(one.belowMM) + under, append([]string{one.below + " up to here"}, s.lengths(one.belowMM)...), shade, "below-line", stripSmall})
	}
	for _, m := range one.marks {
		if sameLevel(m.LevelMM, one.fullMM) {
			full.lines = append(full.lines, s.amounts(m)...)
			continue
		}
		all = append(all, level{y(m.LevelMM), append(s.lengths(m.LevelMM), s.amounts(m)...), ink, "mark", stripLevel})
	}
	for i, b := range one.batches {
		name := "after batch " + strconv.Itoa(i+1)
		if len(one.batches) == 1 {
			continue
		}
		if sameLevel(b.LevelMM, one.fullMM) {
			full.lines = append(full.lines, name)
			continue
		}
		all = append(all, level{y(b.LevelMM), append([]string{name}, s.lengths(b.LevelMM)...), blue, "batch", stripLevel})
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
// are shortened, then set at both edges in turn; within an edge they are moved apart,
// and a thin line leads to each.
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
	columns := []column{{levels: levels, long: stripMM - labelMM - 0.5}}
	if total(levels) > board-top-1 {
		columns = bothEdges(levels)
	}
	for _, c := range columns {
		for i, y := range apart(c.levels, top, board-0.6) {
			s.write(at, c, c.levels[i], y)
		}
	}
}

// column is the labels along one edge of the strip, at most long mm.
type column struct {
	levels []level
	long   float64
	right  bool
}

// bothEdges deals the levels out to the two edges.
func bothEdges(levels []level) []column {
	columns := []column{{long: stripMM/2 - labelMM - 0.3}, {long: stripMM/2 - labelMM - 0.3, right: true}}
	for i, l := range levels {
		l.size = stripTight
		switch l.class {
		case "batch":
			l.lines[0] = strings.TrimPrefix(l.lines[0], "after ")
		case "below-line":
			l.lines[0] = strings.TrimSuffix(l.lines[0], " up to here")
		case "board":
			l.lines = []string{"board"}
		}
		columns[i%2].levels = append(columns[i%2].levels, l)
	}
	return columns
}

// mostLines is how many lines the longest label has.
const mostLines = 6

// first is how far below the top of a label the middle of its first line is.
func (l level) first() float64 { return l.size * 1.05 / 2 }

func (l level) height() float64 {
	return l.size*1.05 + float64(len(l.lines)-1)*stripSmall*1.3
}

func total(levels []level) float64 {
	sum := 0.0
	for _, l := range levels {
		sum += l.height() + labelGapMM
	}
	return sum
}

// apart returns the middles of labels, sorted from below, between top and bottom: no two
// closer than they are high, and their first lines as near to their levels as that allows,
// by least squares (pooling of adjacent violators, Ayer et al. 1955, from memory).
func apart(levels []level, top, bottom float64) []float64 {
	if len(levels) == 0 {
		return nil
	}
	// With the room that labels below take added, they only must not rise again.
	taken := make([]float64, len(levels))
	var pools [][2]float64 // sum and count
	for i, l := range levels {
		if i > 0 {
			taken[i] = taken[i-1] + (levels[i-1].height()+l.height())/2 + labelGapMM
		}
		pools = append(pools, [2]float64{l.y + l.height()/2 - l.first() + taken[i], 1})
		for n := len(pools); n > 1 && pools[n-1][0]/pools[n-1][1] > pools[n-2][0]/pools[n-2][1]; n-- {
			pools[n-2] = [2]float64{pools[n-2][0] + pools[n-1][0], pools[n-2][1] + pools[n-1][1]}
			pools = pools[:n-1]
		}
	}
	last := len(levels) - 1
	low, high := bottom-levels[0].height()/2, top+levels[last].height()/2+taken[last]
	var middle []float64
	for _, p := range pools {
		for range int(p[1]) {
			middle = append(middle, max(min(p[0]/p[1], low), high)-taken[len(middle)])
		}
	}
	return middle
}

// write draws the tick of a level, its label with the middle at y, and what leads there.
func (s *sketch) write(at Point, c column, l level, y float64) {
	x, anchor := func(mm float64) float64 { return at.X + mm }, Start
	if c.right {
		x, anchor = func(mm float64) float64 { return at.X + stripMM - mm }, End
	}
	if l.class != "board" && l.class != "full" && l.class != "below-line" {
		tick := Point{x(tickMM), l.y}
		s.add(Line{Point{x(0), l.y}, tick, Pen{l.ink, 0.35, nil}, l.class})
		// A line that leads straight on would read as a minus sign.
		if to := (Point{x(labelMM - 0.5), y - l.height()/2 + l.first()}); math.Abs(to.Y-l.y) > 0.3 {
			s.add(Line{tick, to, Pen{l.ink, 0.15, nil}, "leader"})
		}
	}
	baseline := y - l.height()/2 + l.size*0.8
	for i, line := range l.lines {
		size := stripSmall
		if i == 0 {
			size = l.size
		} else {
			baseline += stripSmall * 1.3
		}
		size = min(size, size*c.long/room(line, size))
		s.add(Text{Point{x(labelMM), baseline}, size, line, anchor, false, l.ink, l.class + "-label"})
	}
}
