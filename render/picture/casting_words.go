package picture

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pourwright/analysis/finding"
	"pourwright/render/say"
)

// passage is a part of the page's words, with its upper left corner.
type passage struct {
	at      point
	wide    float64
	remarks []remark
	key     []entry
}

const signIndent = 44.0

func (k *casting) title() string {
	name := strings.TrimSpace(readable(k.s.plan.Name))
	if name == "" {
		name = "Block mold"
	}
	return name + ": casting"
}

func (k *casting) verdict() string {
	text := "Block turned over, spout up, strapped between boards; cut open"
	if name := readable(k.s.plan.Cast.Name); name != "" {
		text = strings.ToUpper(name[:1]) + name[1:] + ". " + text
	}
	return text + "."
}

// caution is the line at the foot.
func (k *casting) caution() string {
	if all := k.s.plan.Cautions; len(all) > 0 {
		return sentence(all[0])
	}
	return "The data sheets of the product, local rules and licensed practice come before anything shown here."
}

// facts are the figures of the cast, in paragraphs.
func (k *casting) facts() []string {
	cast := k.s.plan.Cast
	all := []string{k.charge()}
	if f := cast.Foam; f != nil {
		all = append(all, fmt.Sprintf("The liquid stands %s high and can grow %s times.", k.show.Length(f.LevelMM), say.Number(math.Round(10*f.Expansion)/10)),
			"It fills by rising: close it at once.")
	} else if !cast.TooThick {
		all = append(all, k.filling())
	}
	weighs := "The prop weighs "
	if cast.TooThick {
		weighs = "Solid, the prop would weigh "
	}
	prop := weighs + k.show.MassRange(cast.FinishedG.Low, cast.FinishedG.High)
	if len(k.s.stiff) > 0 {
		prop += " without rod"
	}
	all = append(all, prop+".")
	if k.hollow() {
		all = append(all, k.turned())
	}
	if text := k.stiffened(); text != "" {
		all = append(all, text)
	}
	if h := cast.Slush; h != nil && !cast.TooThick {
		all = append(all, fmt.Sprintf("Hollow instead: %s of %s make a skin of %s.", say.Count(h.Coats, "coat", "coats"), k.show.Mass(h.CoatG), k.show.Length(h.SkinMM)))
	}
	return all
}

// charge says what to mix.
func (k *casting) charge() string {
	cast := k.s.plan.Cast
	if h := cast.Slush; k.hollow() {
		return fmt.Sprintf("Cast it hollow: %s of %s each make a skin of %s. Poured solid it gets too hot.", say.Count(h.Coats, "coat", "coats"), k.show.Mass(h.CoatG), k.show.Length(h.SkinMM))
	}
	text := "Mix " + say.Grams(cast.MassG.Likely)
	switch {
	case cast.AG != nil && cast.BG != nil:
		return text + ": " + say.Grams(*cast.AG) + " of A and " + say.Grams(*cast.BG) + " of B."
	case cast.AMM3 != nil && cast.BMM3 != nil:
		return text + fmt.Sprintf(": %.0f mL of A and %.0f mL of B.", *cast.AMM3/1000, *cast.BMM3/1000)
	}
	return text + ", A and B as its data sheet says."
}

// sideDown names the sides of the block that lie down while a coat sets, as it stood.
var sideDown = map[string]string{"cover": "the end away from the spout", "y0": "front", "y1": "back", "x0": "left end", "x1": "right end", "spout": "the spout’s side, lid on"}

// turned says in which order a hollow cast is laid down.
func (k *casting) turned() string {
	h := k.s.plan.Cast.Slush
	text := "Roll it slowly, each side down"
	if h.DwellS != nil {
		text += " for " + say.Duration(*h.DwellS)
	}
	for i, turn := range h.Turns {
		text += fmt.Sprintf("%s %d %s", map[bool]string{true: ":", false: ","}[i == 0], i+1, sideDown[turn])
	}
	if len(k.s.vents) > 0 {
		text += ". Plug the vents first"
	}
	return text + "."
}

// filling says how long a resin takes to fill the mold.
func (k *casting) filling() string {
	cast := k.s.plan.Cast
	if cast.FillS == nil {
		return "How long it takes to fill is not known."
	}
	low, high := say.Duration(cast.FillS.Low), say.Duration(cast.FillS.High)
	text := "It fills in " + low + " to " + high
	if low == high {
		text = "It fills in about " + low
	}
	if cast.AllowedS != nil {
		text += "; its working time allows " + say.Duration(*cast.AllowedS)
	}
	return text + "."
}

// stiffened says what rod goes in and how.
func (k *casting) stiffened() string {
	r := k.s.plan.Rod
	switch {
	case len(k.s.stiff) == 0 && r.LongestMM != nil:
		return "No rod goes in." // one would fit, but is of no use
	case len(k.s.stiff) == 0 && r.DiameterMM > 0:
		return "No rod of " + k.show.Length(r.DiameterMM) + " fits under its cover."
	case len(k.s.stiff) == 0:
		return ""
	}
	text := map[string]string{"spout": "The rod goes in by the spout", "mouth": "The rod is lowered in by the mouth", "half": "The rod is laid into one half", "two": "Two rods, bound together, are laid into one half"}[r.Entry]
	if text == "" {
		text = "The rod goes in"
	}
	if n := len(r.Standoffs); n > 0 {
		text += " on " + say.Count(n, "bridge", "bridges") + " of " + k.bridges()
	}
	return text + "."
}

// bridges says how long the bridges are, with the unit once: "8.7 and 13 mm (5/16
// and 1/2 in)".
func (k *casting) bridges() string {
	var metric, inches []string
	for _, b := range k.s.plan.Rod.Standoffs {
		first, rest := splitUnits(k.show.Length(b.LengthMM))
		if !slices.Contains(metric, first) { // what reads the same in mm is said once
			metric, inches = append(metric, first), withNew(inches, strings.Trim(rest, "()"))
		}
	}
	text := listed(metric)
	if rest := listed(inches); rest != "" {
		text += " (" + rest + ")"
	}
	return text
}

// withNew adds a text that is not yet among others.
func withNew(all []string, text string) []string {
	if text == "" || slices.Contains(all, text) {
		return all
	}
	return append(all, text)
}

// listed joins quantities of one unit.
func listed(all []string) string {
	if len(all) < 2 {
		return strings.Join(all, "")
	}
	short := slices.Clone(all)
	for i, text := range short[:len(short)-1] {
		short[i] = text[:strings.LastIndexByte(text, ' ')]
	}
	last := len(short) - 1
	return strings.Join(short[:last], ", ") + " and " + short[last]
}

// doubts are the warnings of casting and rod, the worst first.
func (k *casting) doubts() (all []string) {
	for _, level := range []finding.Level{finding.Stop, finding.Warn} {
		for _, f := range k.s.plan.Findings {
			if f.Level == level && (f.Question == "cast" || f.Question == "rod") {
				all = append(all, sentence(k.show.Prose(f.Text)))
			}
		}
	}
	return all
}

// warned are the warnings in lines, within a height; what has no room is counted.
func (k *casting) warned(wide, high float64) (rows []remark) {
	all := k.doubts()
	for most := 6; most >= 2; most-- {
		for shown := len(all); shown > 0; shown-- {
			if shown < len(all) && most > 3 {
				break // rather shorter than fewer
			}
			rows = nil
			for _, text := range all[:shown] {
				rows = append(rows, remark{number: -1, lines: wholeWords(k.canvas.letters.quantified(normal, text, wide-signIndent, most))})
			}
			if left := len(all) - shown; left > 0 {
				rows = append(rows, remark{muted: true, lines: []string{"and " + say.Count(left, "more warning", "more warnings") + ", in the plan"}})
			}
			if heightOf(rows) <= high {
				return rows
			}
		}
	}
	if len(all) == 0 {
		return nil
	}
	return []remark{{number: -1, lines: []string{say.Count(len(all), "warning", "warnings") + ", in the plan"}}}
}

// wholeWords leaves no part of a word before an ellipsis.
func wholeWords(lines []string) []string {
	last := len(lines) - 1
	if last < 0 || !strings.HasSuffix(lines[last], "…") {
		return lines
	}
	if end := strings.LastIndexByte(lines[last], ' '); end > 0 {
		lines[last] = strings.TrimRight(lines[last][:end], ",;:") + " …"
	}
	return lines
}

// told are the facts in lines.
func (k *casting) told(wide float64) (rows []remark) {
	for _, text := range k.facts() {
		rows = append(rows, remark{lines: k.canvas.letters.quantified(normal, text, wide, 4)})
	}
	return rows
}

// castKeyRow is how far rows of the key are apart, px.
const castKeyRow = 37.0

// inColumn puts warnings, facts and key one under the other.
func (k *casting) inColumn(on rect) []passage {
	told, key := k.told(on.wide()), k.key()
	below := heightOf(told) + castKeyRow*float64(len(key)) + 14
	warned := k.warned(on.wide(), on.high()-below)
	at := point{on.X0, on.Y0}
	var all []passage
	if len(warned) > 0 {
		all = append(all, passage{at: at, wide: on.wide(), remarks: warned})
		at.Y += heightOf(warned)
	}
	all = append(all, passage{at: at, wide: on.wide(), remarks: told})
	return append(all, passage{at: point{on.X0, on.Y1 - castKeyRow*float64(len(key))}, wide: on.wide(), key: key})
}

// inRow puts facts, key and warnings side by side; returns their height.
func (k *casting) inRow(wide float64) ([]passage, float64) {
	const apart, most = 44.0, 420.0
	each := (wide - 2*apart) / 3
	told, key := k.told(each), k.key()
	warned := k.warned(each, most)
	half := len(key)
	if len(warned) == 0 { // two columns of key
		half = (len(key) + 1) / 2
	}
	high := math.Max(math.Max(heightOf(told), heightOf(warned)), castKeyRow*float64(half))
	x := func(column int) float64 { return pageLeft + float64(column)*(each+apart) }
	return []passage{
		{at: point{x(0), 0}, wide: each, remarks: told}, {at: point{x(1), 0}, wide: each, key: key[:half]},
		{at: point{x(2), 0}, wide: each, key: key[half:], remarks: warned},
	}, high
}

// drawPassage writes a part of the words.
func (c *canvas) drawPassage(p passage) {
	at := p.at
	for _, r := range p.remarks {
		if r.number < 0 {
			c.warning(point{at.X + 18, at.Y + lineHigh/2 + 1})
			r.number = 0
			at.Y = c.drawRemark(r, point{at.X + signIndent, at.Y})
			continue
		}
		at.Y = c.drawRemark(r, at)
	}
	for _, e := range p.key {
		e.swatch(c, point{at.X, at.Y + 5})
		c.text(small, ink, at.X+60, at.Y+26, c.letters.fit(small, e.name, p.wide-60))
		at.Y += castKeyRow
	}
}
