package sheet

import (
	"strings"

	"pourwright/render/say"
)

// units words quantities like say.Style, with spaces that keep a figure and its
// unit on one line: a line may end only before a bracket or after "×".
type units struct{ style say.Style }

const noBreak = "\u00a0"

var unbroken = strings.NewReplacer(" (", " (", "× ", "× ", " ", noBreak, "–", "\u2060–\u2060")

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
func (u units) Size(mm []float64) string             { return keep(u.style.Size(mm)) }
func (u units) SizeUp(mm []float64) string           { return keep(u.style.SizeUp(mm)) }
func (u units) Mass(g float64) string                { return keep(u.style.Mass(g)) }
func (u units) MassRange(low, high float64) string   { return keep(u.style.MassRange(low, high)) }
func (u units) Volume(mm3 float64) string            { return keep(u.style.Volume(mm3)) }
func (u units) VolumeError(mm3, plus float64) string { return keep(u.style.VolumeError(mm3, plus)) }
func (u units) Liquid(mm3 float64) string            { return keep(u.style.Liquid(mm3)) }
func (u units) Area(mm2 float64) string              { return keep(u.style.Area(mm2)) }

// Both tells whether metric and inch stand side by side.
func (u units) Both() bool { return u.style == say.Both }

func grams(g float64) string          { return keep(say.Grams(g)) }
func duration(seconds float64) string { return keep(say.Duration(seconds)) }
func ratio(a, b float64) string       { return keep(say.Ratio(a, b)) }
