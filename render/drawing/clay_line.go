package drawing

import (
	"math"
	"slices"

	"pourwright/analysis"
)

// clayLine is where the bed meets a wall, as places on it: mostly one line.
func (o onWall) clayLine() (lines [][]Point) {
	rim := o.plan.Cut.Rim
	var line []Point
	end := func() {
		if len(line) > 1 {
			lines = append(lines, line)
		}
		line = nil
	}
	for i, a := range rim {
		from, on := o.at(a)
		to, both := o.at(rim[(i+1)%len(rim)])
		if !on || !both || math.Hypot(to.X-from.X, to.Y-from.Y) <= 1e-6 {
			if !on || !both {
				end()
			}
			continue
		}
		if line == nil {
			line = []Point{from}
		}
		line = append(line, to)
	}
	end()
	// The rim may begin in the middle of a wall.
	if n := len(lines); n > 1 && lines[n-1][len(lines[n-1])-1] == lines[0][0] {
		lines[0] = append(lines[n-1], lines[0][1:]...)
		lines = lines[:n-1]
	}
	return lines
}

// clayLine draws a piece of it.
func (s *sketch) clayLine(line []Point, paper func(Point) Point) {
	if len(line) == 2 {
		s.add(Line{paper(line[0]), paper(line[1]), cutPen, "clay-line"})
		return
	}
	var points []Point
	for _, q := range line {
		points = append(points, paper(q))
	}
	s.add(Path{points, cutPen, "clay-line"})
}

const (
	clayEveryMM = 50 // between heights along a wall
	clayTickMM  = 1.5
)

// clayPlaces are where the height of a clay line is told: from end to end, about evenly.
func clayPlaces(line []Point) []Point {
	if line[0].X > line[len(line)-1].X {
		line = slices.Clone(line)
		slices.Reverse(line)
	}
	from, to := line[0].X, line[len(line)-1].X
	n := max(1, int(math.Round((to-from)/clayEveryMM)))
	var places []Point
	for k := range n + 1 {
		x := from + (to-from)*float64(k)/float64(n)
		if y, ok := heightAt(line, x); ok {
			places = append(places, Point{x, y})
		}
	}
	return places
}

// heightAt is how high a line is at a place along the wall.
func heightAt(line []Point, x float64) (float64, bool) {
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		if a.X > b.X {
			a, b = b, a
		}
		if x >= a.X-1e-6 && x <= b.X+1e-6 && b.X > a.X {
			return a.Y + (b.Y-a.Y)*max(0, min(1, (x-a.X)/(b.X-a.X))), true
		}
	}
	return 0, false
}

// clayHeights writes how high clay that is not level stands along a wall.
func (s *sketch) clayHeights(r Rect, clay [][]Point) {
	paper := func(q Point) Point { return Point{r.Min.X + q.X, r.Max.Y - q.Y} }
	for _, line := range clay {
		for _, q := range clayPlaces(line) {
			at := paper(q)
			s.add(Line{at.plus(0, -clayTickMM), at.plus(0, clayTickMM), Pen{blue, 0.3, nil}, "clay-tick"})
		}
	}
	for _, line := range clay {
		for _, q := range clayPlaces(line) {
			s.clayHeight(r, paper(q), s.show.Length(q.Y), "clay-height")
		}
	}
	for _, line := range clay {
		for _, share := range []float64{0.5, 0.3, 0.7, 0.2, 0.8, 0.4, 0.6} {
			a, b := line[0].X, line[len(line)-1].X
			x := min(a, b) + share*math.Abs(b-a)
			if y, ok := heightAt(line, x); ok && s.clayHeight(r, paper(Point{x, y}), "clay line", "clay-label") {
				return
			}
		}
	}
}

// clayHeight writes words above or below a place of the clay line. It tells whether it
// did.
func (s *sketch) clayHeight(r Rect, at Point, words, class string) bool {
	before := len(s.Shapes)
	var tries []Text
	for _, away := range []float64{2.2, 3.5, 5, 7, 10} {
		for _, anchor := range []Anchor{Middle, Start, End} {
			dx := [...]float64{0.8, 0, -0.8}[anchor]
			tries = append(tries, Text{at.plus(dx, -away), smallMM, words, anchor, false, ink, class},
				Text{at.plus(dx, away+smallMM*0.75), smallMM, words, anchor, false, ink, class})
		}
	}
	s.placeIn(r, tries...)
	return len(s.Shapes) > before
}

// freeOfClay is the middle of an arrow up on a wall, over its lower edge, and how long
// it is: clear of clay that is not level, so far along the wall.
func (s *sketch) freeOfClay(p *analysis.Plan, clay [][]Point, w wall, x float64) (mid, long float64) {
	mid, long = w.WidthMM/2, min(30, w.WidthMM*0.3)
	if !uneven(p.TwoPart) {
		return mid, long
	}
	const room = 5
	for _, line := range clay {
		if y, ok := heightAt(line, x); ok && math.Abs(y-mid) < long/2+room {
			low, high := w.WidthMM-p.TwoPart.Parts[1].LevelMM, p.TwoPart.Parts[0].LevelMM
			if high-y > y-low {
				return (high + y) / 2, min(long, high-y-2*room)
			}
			return (y + low) / 2, min(long, y-low-2*room)
		}
	}
	return mid, long
}
