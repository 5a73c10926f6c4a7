package picture

import (
	"math"
)

// target is where a trap's number points: in the pocket where the cut shows it,
// else where its top is behind or before the cut.
func (v *cutView) target(trap int) (at point, cut bool) {
	const least = 12 // px that can be pointed at
	var sum point
	n := 0
	for i, l := range v.air {
		if int(l) == trap {
			sum, n = sum.plus(point{float64(i % v.wide), float64(i / v.wide)}), n+1
		}
	}
	if n < least {
		return v.cam.at(v.traps[trap].at), false
	}
	middle := sum.times(1 / float64(n))
	best, nearest := 0, math.Inf(1)
	for i, l := range v.air {
		if d := middle.minus(point{float64(i % v.wide), float64(i / v.wide)}).length(); int(l) == trap && d < nearest {
			best, nearest = i, d
		}
	}
	return point{float64(v.x0+best%v.wide) + 0.5, float64(v.y0+best/v.wide) + 0.5}, true
}

// trapNumber is where the number of a trap goes.
type trapNumber struct {
	trap   int
	on, at point
	cut    bool // the pocket is in the cut
}

// numbers finds places for the numbers of traps, in the room of the view, clear
// of what is taken.
func (v *cutView) numbers(room rect, busy *taken, listed []int) []trapNumber {
	all := make([]trapNumber, len(listed))
	for i, trap := range listed {
		all[i].trap = trap
		all[i].on, all[i].cut = v.target(trap)
	}
	placed := all[:0]
	for i, n := range all {
		spots := v.numberSpots(n.on, room)
		for k := range spots { // no number covers what another one points at
			for j, other := range all {
				if box := spots[k].box.grown(8); i != j && box.holds(rect{other.on.X, other.on.Y, other.on.X, other.on.Y}) {
					spots[k].cost += coverCost
				}
			}
		}
		if spot, ok := busy.put(spots); ok {
			n.at = spot.box.middle()
			placed = append(placed, n)
		}
	}
	return placed
}

func (c *canvas) drawTrapNumber(n trapNumber) {
	edge := line(signal, 2.2)
	if !n.cut {
		edge = dashed(signal, 2.2, 5, 4)
	}
	c.draw(stroke{chalk, 5.5, 0.9, nil}, []point{n.on, n.at})
	c.draw(edge, []point{n.on, n.at})
	c.fill(chalk, 1, disc(n.on, 6.5))
	c.fill(signal, 1, disc(n.on, 4.5))
	if n.cut {
		c.number(n.at, n.trap+1)
	} else {
		c.hiddenNumber(n.at, n.trap+1)
	}
}

// numberSpots lists places for a number around what it points at: best beside
// the block or in plain rubber, not over air or pattern.
func (v *cutView) numberSpots(on point, room rect) []spot {
	var all []spot
	for far := markHalf + 20; far < 420; far += 12 {
		for turn := range 24 {
			sin, cos := math.Sincos(2 * math.Pi * (float64(turn) + 0.5) / 24)
			box := around(on.plus(point{far * cos, far * sin}), 2*markHalf, 2*markHalf)
			if !room.holds(box) {
				continue
			}
			all = append(all, spot{box: box, leader: [2]point{on, box.middle()}, cost: far + v.covered(box.grown(4))})
		}
	}
	return all
}

// covered is what speaks against a label over a part of the view, in px of
// distance.
func (v *cutView) covered(box rect) float64 {
	const across, overAir, overPart = 5, 500.0, 160.0
	cost := 0.0
	for j := range across {
		for i := range across {
			col := int(box.X0+box.wide()*(float64(i)+0.5)/across) - v.x0
			row := int(box.Y0+box.high()*(float64(j)+0.5)/across) - v.y0
			if col < 0 || row < 0 || col >= v.wide || row >= v.high {
				continue
			}
			at := row*v.wide + col
			switch {
			case v.air[at] >= 0 || v.rods[at] > 0:
				cost += overAir / (across * across)
			case v.part[at] > 0:
				cost += overPart / (across * across)
			}
		}
	}
	return cost
}

// levelText is how the height of the liquid is said, in short lines.
func (c *cutaway) levelText(level float64) []string {
	var lines []string
	say := func(mm float64) {
		metric, inches := splitUnits(c.s.words.length(mm))
		lines = append(lines, metric)
		if inches != "" {
			lines = append(lines, inches)
		}
	}
	if c.pour == castRises {
		if level < 1e-6*c.s.size {
			return []string{"material", "at the rim"}
		}
		lines = append(lines, "material at")
		say(level)
		return append(lines, "below the rim")
	}
	lines = append(lines, "rubber at")
	say(level)
	return lines
}

// splitUnits parts "62 mm (2 7/16 in)".
func splitUnits(text string) (first, rest string) {
	for i := range text {
		if i > 0 && text[i] == '(' {
			return text[:i-1], text[i:]
		}
	}
	return text, ""
}

const levelLine = 29.0 // px from line to line of the level's label

// drawLevel writes the height of the liquid at the left of its mark, within a
// room, and returns the place it takes.
func (c *canvas) drawLevel(v *cutView, level float64, room rect) rect {
	lines := v.levelText(level)
	mark := math.Min(v.cam.at(v.at(v.inside.lo, level)).X, v.cam.at(v.at(v.inside.hi, level)).X)
	right := mark - v.wallPx() - 30
	wide := 0.0
	for _, l := range lines {
		wide = math.Max(wide, c.letters.width(figure, l))
	}
	high := levelLine * float64(len(lines))
	y := v.cam.at(v.at(0, level)).Y - high/2
	y = min(max(y, room.Y0), room.Y1-high)
	for i, l := range lines {
		s, t := figure, ink
		if i == 0 || i == len(lines)-1 && v.pour == castRises {
			s, t = small, shade
		}
		c.text(s, t, right-c.letters.width(s, l), y+levelLine*float64(i)+23, l)
	}
	return rect{right - wide, y, mark, y + high}
}
