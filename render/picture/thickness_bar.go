package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// barLabel is a thickness beside the bar, with what it means.
type barLabel struct {
	mm    float64
	names []string
	value string
	y     float64 // of its middle
}

// drawThicknessBar draws the colours, the thicknesses that matter, and how much of
// the surface has each thickness.
func (c *canvas) drawThicknessBar(s *thickness) {
	c.drawHistogram(s)
	c.heatBar(thicknessBar)
	for _, l := range s.barLabels(c.letters) {
		const tick, out = 10, 26
		y := thicknessBar.Y1 - l.mm/s.top*thicknessBar.high()
		from := point{thicknessBar.X1, y}
		c.draw(line(ink, 1.4), []point{from, {from.X + tick, y}, {from.X + out, l.y}, {from.X + out + 6, l.y}})
		x := from.X + out + 14
		if len(l.names) == 0 {
			c.text(figure, ink, x, l.y+0.36*sizes[figure], l.value)
			continue
		}
		top := l.y - labelHigh(c.letters, l)/2
		for _, name := range l.names {
			c.text(small, shade, x, top+c.letters.ascent(small), c.letters.fit(small, name, pageRight-x))
			top += c.letters.ascent(small) + c.letters.descent(small)
		}
		c.text(figure, ink, x, top+c.letters.ascent(figure), c.letters.fit(figure, l.value, pageRight-x))
	}
}

func labelHigh(t *typefaces, l barLabel) float64 {
	return float64(len(l.names))*(t.ascent(small)+t.descent(small)) + t.ascent(figure) + t.descent(figure)
}

// barLabels are the ends of the bar and the thresholds, from the foot up, moved
// apart where they would meet.
func (s *thickness) barLabels(t *typefaces) []barLabel {
	w := s.wall
	marks := []barLabel{
		{mm: w.ThinMM, names: []string{"thin below" + s.share(w.ThinMM2)}},
		{mm: w.FloppyMM, names: []string{"floppy below" + s.share(w.FloppyMM2)}},
		{mm: w.WastedMM, names: []string{"wasted above" + s.share(w.WastedMM2)}},
	}
	slices.SortStableFunc(marks, func(a, b barLabel) int { return cmp.Compare(a.mm, b.mm) })
	all := []barLabel{{value: "0"}}
	for _, m := range marks {
		if last := &all[len(all)-1]; last.mm == m.mm && len(last.names) > 0 {
			last.names = append(last.names, m.names...)
		} else if m.mm > 0 && m.mm < s.top {
			m.value = s.words.length(m.mm)
			all = append(all, m)
		}
	}
	all = append(all, barLabel{mm: s.top, names: []string{"more than"}, value: s.words.length(s.top)})
	spaced(t, all, s.top)
	return all
}

// share says how much of the surface an area is.
func (s *thickness) share(mm2 float64) string {
	if !(s.wall.AreaMM2 > 0) {
		return ""
	}
	switch percent := 100 * mm2 / s.wall.AreaMM2; {
	case percent == 0:
		return " (none)"
	case percent < 1:
		return " (under 1 %)"
	default:
		return fmt.Sprintf(" (%.0f %%)", percent)
	}
}

// spaced puts labels beside their thickness, and as far apart as they are high:
// first up from the foot, then down from the top.
func spaced(t *typefaces, all []barLabel, top float64) {
	const gap = 8
	apart := func(a, b barLabel) float64 { return (labelHigh(t, a)+labelHigh(t, b))/2 + gap }
	for i := range all {
		all[i].y = thicknessBar.Y1 - all[i].mm/top*thicknessBar.high()
		if i > 0 {
			all[i].y = math.Min(all[i].y, all[i-1].y-apart(all[i-1], all[i]))
		}
	}
	for i := len(all) - 1; i >= 0; i-- {
		least := thicknessBar.Y0 - 30
		if i < len(all)-1 {
			least = all[i+1].y + apart(all[i+1], all[i])
		}
		all[i].y = math.Max(all[i].y, least)
	}
}

// drawHistogram draws how much of the surface has each thickness, beside the colour
// of it: as long as the area over the range of its bin.
func (c *canvas) drawHistogram(s *thickness) {
	dense, most := make([]float64, len(s.wall.Histogram)), 0.0
	for i, b := range s.wall.Histogram {
		if wide := b.ToMM - b.FromMM; wide > 0 && b.FromMM < s.top {
			dense[i] = b.AreaMM2 / wide
		}
		most = math.Max(most, dense[i])
	}
	if most == 0 {
		return
	}
	c.text(small, shade, thicknessBars.X0, thicknessBars.Y0-26, "area")
	at := func(mm float64) float64 { return thicknessBar.Y1 - math.Min(mm, s.top)/s.top*thicknessBar.high() }
	for i, b := range s.wall.Histogram {
		if dense[i] == 0 {
			continue
		}
		long := dense[i] / most * thicknessBars.wide()
		bar := rect{thicknessBars.X1 - long, at(b.ToMM) + 1, thicknessBars.X1, at(b.FromMM) - 1}
		c.fill(shade, 0.75, bar.corners())
	}
	c.draw(line(faint, 1.2), []point{{thicknessBars.X1, thicknessBars.Y0}, {thicknessBars.X1, thicknessBars.Y1}})
}
