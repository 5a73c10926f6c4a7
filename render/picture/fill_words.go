package picture

import (
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/render/say"
)

// remark is a paragraph under a view.
type remark struct {
	number int  // of a trap; 0 for none
	beside bool // the cut does not show it
	muted  bool // advice
	lines  []string
}

const (
	remarkGap    = 9.0
	mostNumbered = 4
	leadLines    = 5
	rowLines     = 3
	adviceLines  = 5
)

func heightOf(all []remark) (sum float64) {
	for _, r := range all {
		sum += lineHigh*float64(len(r.lines)) + remarkGap
	}
	return sum
}

// title and verdict head the page.
func (f *filling) title() string {
	name := strings.TrimSpace(readable(f.s.plan.Name))
	if name == "" {
		name = "Block mold"
	}
	return name + ": where air stays"
}

func (f *filling) verdict() string {
	rubber, cast := f.panels[rubberRises].cut, f.panels[castRises].cut
	kept := 0
	for _, t := range cast.traps {
		if t.vent == nil {
			kept++
		}
	}
	first := "No air is trapped as the rubber rises."
	if n := len(rubber.traps); n > 0 {
		first = "The rubber traps air in " + say.Count(n, "place", "places") + "."
	}
	switch n := len(cast.traps); {
	case n == 0:
		return first + " None is trapped when you cast."
	case kept == 0:
		return first + " When you cast, vents free " + say.Count(n, "place", "places") + "."
	case kept == n:
		return first + " When you cast, air stays in " + say.Count(n, "place", "places") + " without a vent."
	}
	return first + " When you cast, air stays in " + say.Count(kept, "place", "places") + "; " + say.Count(len(cast.traps)-kept, "other has", "others have") + " a vent."
}

func (c *cutaway) heading() string {
	if c.pour == castRises {
		return "Casting, block turned over"
	}
	return "Pouring the rubber"
}

// listed are the traps that have a number: the one that the cut goes through,
// then the largest.
func (c *cutaway) listed() []int {
	if c.most < 0 {
		return nil
	}
	all := []int{c.most}
	for i := range c.traps {
		if len(all) == mostNumbered {
			break
		}
		if i != c.most {
			all = append(all, i)
		}
	}
	return all
}

// remarks say what the maker sees, in at most so much height.
func (c *cutaway) remarks(t *typefaces, show say.Style, wide, high float64) []remark {
	for listed := c.listed(); ; listed = listed[:len(listed)-1] {
		all := c.remarksOf(t, show, wide, listed)
		if len(listed) <= 1 || heightOf(all) <= high {
			return all
		}
	}
}

func (c *cutaway) remarksOf(t *typefaces, show say.Style, wide float64, listed []int) []remark {
	text := func(words string, most int, room float64) []string { return t.quantified(normal, words, room, most) }
	if c.most < 0 {
		return []remark{
			{lines: text(c.freeText(), leadLines, wide)},
			{lines: text(c.freeAdvice(), adviceLines, wide), muted: true},
		}
	}
	all := []remark{{number: c.most + 1, lines: text(c.lead(show), leadLines, wide-entryIndent)}}
	if advice := c.advice(c.most); advice != "" {
		all = append(all, remark{lines: text(advice, adviceLines, wide), muted: true})
	}
	for _, i := range listed[1:] {
		all = append(all, remark{number: i + 1, lines: text(c.row(i, show), rowLines, wide-entryIndent)})
	}
	if n := len(c.traps) - len(listed); n > 0 {
		all = append(all, remark{lines: []string{"and " + say.Count(n, "more place", "more places") + ", in the plan"}, muted: true})
	}
	return all
}

// listedIn are the traps that remarks have a number of.
func listedIn(all []remark) (traps []int) {
	for _, r := range all {
		if r.number > 0 {
			traps = append(traps, r.number-1)
		}
	}
	return traps
}

func (c *cutaway) freeText() string {
	if c.pour == castRises {
		return "No air is trapped: as the material rises, all of it leaves by the spout."
	}
	return "No air is trapped: as the rubber rises, all of it leaves upwards."
}

func (c *cutaway) freeAdvice() string {
	if c.pour == castRises {
		return "Pour slowly into the spout, and tap the block to free what clings."
	}
	return "Pour in one corner in a thin stream, and let the rubber rise around the pattern."
}

// lead tells of the moment that is drawn.
func (c *cutaway) lead(show say.Style) string {
	t := c.traps[c.most]
	size := show.Volume(t.volume) + " of air, " + show.Length(t.high) + " high"
	switch {
	case c.pour == rubberRises && t.spill < 1e-3*c.s.size:
		return "As soon as rubber comes in, it closes off " + size + "."
	case c.pour == rubberRises:
		return "When the rubber stands at " + show.Length(t.spill) + ", it closes off " + size + "."
	case t.vent == nil:
		return "When the material is " + show.Length(t.spill) + " below the spout's rim, it closes off " + size + ", and no vent reaches it."
	}
	return "When the material is " + show.Length(t.spill) + " below the spout's rim, it would close off " + size + "; " + t.ventName() + " lets it out."
}

// row tells of another trap.
func (c *cutaway) row(i int, show say.Style) string {
	t := c.traps[i]
	text := show.Volume(t.volume) + ", " + show.Length(t.high) + " high, at " + show.Length(t.spill)
	switch {
	case c.pour == rubberRises:
		return text
	case t.vent == nil:
		return text + " below the rim, no vent"
	}
	return text + " below the rim; " + t.ventName() + " frees it"
}

// advice is what the plan says to do about a trap.
func (c *cutaway) advice(trap int) string {
	at := c.traps[trap].at
	near := 1e-6 * c.s.size
	for _, f := range c.s.plan.Findings {
		if f.Question == "airtrap" && f.AtMM != nil && r3.Norm(r3.Sub(vec(*f.AtMM), at)) <= near && f.Action != "" {
			return sentence(f.Action)
		}
	}
	t := c.traps[trap]
	switch {
	case t.vent == nil:
		return ""
	case !t.vent.isPost():
		return "The pattern nearly touches the board there, which leaves the vent by itself; when you cast, plug it once material shows in it."
	case t.post > 0:
		return "Set post " + strconv.Itoa(t.post) + " before you pour the rubber. When you cast, plug its vent once material shows in it."
	}
	return "Set its post before you pour the rubber. When you cast, plug the vent once material shows in it."
}

// ventName is what the plan calls a trap's vent.
func (t air) ventName() string {
	if t.post > 0 {
		return "vent " + strconv.Itoa(t.post)
	}
	return "the vent"
}

// quantified breaks text into lines as wrapped does, but never within a quantity
// such as "62 mm (2 7/16 in)".
func (t *typefaces) quantified(s style, text string, room float64, most int) []string {
	const glue = '\u00b7' // not in our texts, and as narrow as a space
	letters := []rune(text)
	depth := 0
	for i, r := range letters {
		switch r {
		case '(':
			depth++
		case ')':
			depth--
		case ' ':
			number := i > 0 && letters[i-1] >= '0' && letters[i-1] <= '9'
			unit := i+1 < len(letters) && strings.ContainsRune("mLisgk0123456789", letters[i+1])
			if depth > 0 || number && unit {
				letters[i] = glue
			}
		}
	}
	lines := t.wrapped(s, string(letters), room, most)
	for i, l := range lines {
		lines[i] = strings.ReplaceAll(l, string(glue), " ")
	}
	return lines
}
