package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"pourwright/analysis"
)

// drawWayWords writes name and score over a view, the figures and the reason under
// it.
func (d *drawnWays) drawWayWords(w *way, cell rect, words wording) {
	c, t := d.canvas, d.canvas.letters
	score := fmt.Sprintf("score %.2f", w.score)
	x := cell.X1 - t.width(figure, score)
	c.text(figure, ink, x, cell.Y0+26, score)
	c.text(heading, ink, cell.X0, cell.Y0+26, t.fit(heading, w.name, x-cell.X0-20))
	y := cell.Y1 - wayFoot + 34
	for _, text := range t.wrapped(small, w.facts(words), cell.wide(), 2) {
		c.text(small, ink, cell.X0, y, text)
		y += lineHigh
	}
	y += 4
	for _, text := range t.wrapped(small, words.prose(w.reason), cell.wide(), 2) {
		c.text(small, shade, cell.X0, y, text)
		y += lineHigh
	}
}

// facts are the figures of a way in one line.
func (w *way) facts(words wording) string {
	var all []string
	if w.radius > 0 {
		all = append(all, "spout "+words.length(2*w.radius))
	}
	f := w.figures
	if f.Vents > 0 {
		all = append(all, plural(f.Vents, "vent"))
	}
	if n := f.CastTraps - f.Vents; n > 0 {
		all = append(all, "air stays in the cast")
	}
	if f.RubberTraps > 0 {
		all = append(all, "air under the part")
	}
	if f.TipDeg < 0 {
		all = append(all, "tips over")
	}
	if more := math.Round(100 * (w.rubber - 1)); w.rubber > 0 && more != 0 && !strings.Contains(w.reason, "rubber") {
		all = append(all, strings.Replace(fmt.Sprintf("rubber %+.0f %%", more), "-", "−", 1))
	}
	return strings.Join(all, " · ")
}

func plural(n int, name string) string {
	if n == 1 {
		return "1 " + name
	}
	return strconv.Itoa(n) + " " + name + "s"
}

// drawWaysKey says what is marked, how large it is and what a score is made of.
func (d *drawnWays) drawWaysKey(p *analysis.Plan, w wording, ways []way) {
	c, t, x, y := d.canvas, d.canvas.letters, d.key.X0, d.key.Y0
	c.draw(line(faint, 1.2), []point{{x - waysApart/2, y + 6}, {x - waysApart/2, d.key.Y1}})
	say := func(s style, colour tint, text string, most int) {
		for _, l := range t.wrapped(s, text, d.key.wide(), most) {
			c.text(s, colour, x, y, l)
			y += lineHigh
		}
	}
	y += 26
	say(heading, ink, "All in one scale, as rubber is poured", 1)
	mm := roundLength(scaleBarRoom/d.scale, w.inches)
	d.drawWaysScale(x, y-6, mm, w.length(mm))
	y += 46
	spout, stem := false, false
	for _, a := range ways {
		spout, stem = spout || a.radius > 0, stem || a.radius > 0 && a.stem > 0
	}
	if spout {
		c.drawRim(line(lamp, 2.8), closed(ellipse(point{x + 23, y}, 21, 10)))
		c.text(small, ink, x+58, y+9, "spout, dashed behind the part")
		y += keyRow
	}
	if stem {
		c.swatch(lamp, 1, amber, point{x, y - 13})
		c.text(small, ink, x+58, y+9, "stem under the spout")
		y += keyRow
	}
	y += 22
	say(heading, ink, "What the score weighs", 1)
	say(small, shade, weighed(p.Stand.Weights), 7)
}

// drawWaysScale draws a bar of a round length.
func (d *drawnWays) drawWaysScale(x, y, mm float64, text string) {
	c, long := d.canvas, mm*d.scale
	for i := range 4 {
		t := chalk
		if i%2 == 0 {
			t = ink
		}
		c.fill(t, 1, rect{x + long*float64(i)/4, y, x + long*float64(i+1)/4, y + 9}.corners())
	}
	c.draw(line(ink, 1.4), closed(rect{x, y, x + long, y + 9}.corners()))
	c.text(figure, ink, x+long+scaleGap, y+14, c.letters.fit(figure, text, d.key.X1-x-long-scaleGap))
}

// weighed lists the criteria that count, each 0 to 1, and how much.
func weighed(w analysis.Weights) string {
	var all []string
	for _, c := range []struct {
		name   string
		weight float64
	}{
		{"detail kept", w.Detail}, {"a wide spout", w.Spout}, {"no air in the cast", w.CastAir}, {"no air in the rubber", w.RubberAir},
		{"little rubber", w.RubberMass}, {"low box", w.Height}, {"stands firmly", w.Stability}, {"no narrow necks", w.Necks},
	} {
		if c.weight > 0 {
			all = append(all, fmt.Sprintf("%s %g", c.name, c.weight))
		}
	}
	if len(all) == 0 {
		return "Each part of it is from 0 to 1, and higher is better."
	}
	return "Parts from 0 to 1, higher is better, with their weights: " + strings.Join(all, ", ") + "."
}
