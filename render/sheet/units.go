package sheet

import (
	"fmt"
	"math"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// units words quantities like say.Style, with spaces that keep a figure and its
// unit on one line: a line may end only before a bracket or after "×".
type units struct{ style say.Style }

const noBreak = "\u00a0"

// standardGravity is in m/s² (3rd General Conference on Weights and Measures, 1901).
const standardGravity = 9.80665

var unbroken = strings.NewReplacer(" (", " (", "× ", "× ", " ", noBreak, "–", "\u2060–\u2060")

// Prose words a sentence of the plan.
func (u units) Prose(text string) string { return u.style.Prose(text) }

// lines parts a quantity in two systems, for one line each.
func lines(text string) []string {
	metric, inch, both := strings.Cut(text, " (")
	if !both {
		return []string{text}
	}
	return []string{metric, "(" + inch}
}

func keep(text string) string { return unbroken.Replace(text) }

func (u units) Length(mm float64) string             { return keep(u.style.Length(mm)) }
func (u units) LengthUp(mm float64) string           { return keep(u.style.LengthUp(mm)) }
func (u units) LengthDown(mm float64) string         { return keep(u.style.LengthDown(mm)) }
func (u units) Size(mm []float64) string             { return keep(u.style.Size(mm)) }
func (u units) SizeUp(mm []float64) string           { return keep(u.style.SizeUp(mm)) }
func (u units) Mass(g float64) string                { return keep(u.style.Mass(g)) }
func (u units) MassRange(low, high float64) string   { return keep(u.style.MassRange(low, high)) }
func (u units) Volume(mm3 float64) string            { return keep(u.style.Volume(mm3)) }
func (u units) VolumeError(mm3, plus float64) string { return keep(u.style.VolumeError(mm3, plus)) }
func (u units) Liquid(mm3 float64) string            { return keep(u.style.Liquid(mm3)) }
func (u units) Area(mm2 float64) string              { return keep(u.style.Area(mm2)) }

// Bow words how far a wall gives, with its spread: in decimals, since it is too
// little for sixteenths of an inch, and in one system.
func (u units) Bow(s *analysis.Spread) string {
	switch {
	case s == nil:
		return say.Unknown
	case u.style == say.Inch && s.High < 0.005*25.4:
		return keep("under 0.005 in")
	case u.style == say.Inch && s.Low < 0.005*25.4:
		return keep(fmt.Sprintf("up to %.2f in", s.High/25.4))
	case u.style == say.Inch:
		return keep(fmt.Sprintf("%.2f–%.2f in", s.Low/25.4, s.High/25.4))
	case s.High < 0.1:
		return keep("under 0.1 mm")
	case s.Low < 0.05:
		return keep(fmt.Sprintf("up to %.1f mm", s.High))
	}
	return keep(fmt.Sprintf("%.1f–%.1f mm", s.Low, s.High))
}

// Force words a force in N by the mass that weighs as much too.
func (u units) Force(n float64) string {
	return keep(say.Number(n)+" N") + ", like " + u.Mass(n/standardGravity*1000)
}

// Temperature words a temperature in °C.
func (u units) Temperature(c float64) string {
	metric, inch := say.Number(math.Round(c))+" °C", say.Number(math.Round(c*9/5+32))+" °F"
	switch u.style {
	case say.Inch:
		return keep(inch)
	case say.Metric:
		return keep(metric)
	}
	return keep(metric + " (" + inch + ")")
}

// Cup words a volume on a card, where there is room for one system only.
func (u units) Cup(mm3 float64) string {
	if u.style == say.Inch {
		return u.Liquid(mm3)
	}
	return keep(say.Metric.Liquid(mm3))
}

// Both tells whether metric and inch stand side by side.
func (u units) Both() bool { return u.style == say.Both }

func grams(g float64) string          { return keep(say.Grams(g)) }
func duration(seconds float64) string { return keep(say.Duration(seconds)) }
func ratio(a, b float64) string       { return keep(say.Ratio(a, b)) }
