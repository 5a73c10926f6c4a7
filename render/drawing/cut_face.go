package drawing

import (
	"fmt"
	"strings"
)

// The pens of the cut's face. The slit is the thickest line there is.
var (
	partPen  = Pen{Colour: ink, WidthMM: 0.5}
	landPen  = Pen{Colour: blue, WidthMM: 0.3, Dash: []float64{3, 1.2}}
	keyPen   = Pen{Colour: blue, WidthMM: 0.5}
	slitPen  = Pen{Colour: blue, WidthMM: 1.4}
	hingePen = Pen{Colour: deep, WidthMM: 1.4, Dash: []float64{1.4, 1.4}}
	hatchPen = Pen{Colour: deep, WidthMM: 0.15}
	stopPen  = Pen{Colour: ink, WidthMM: 0.9}
	knifePen = Pen{Colour: shade, WidthMM: 0.15, Dash: []float64{0.3, 1.5}}
	ventPen  = Pen{Colour: amber, WidthMM: 0.35, Dash: []float64{2, 1}}
)

// draw draws the face, what lies below first.
func (f *cutFace) draw() {
	f.hatch()
	for _, loop := range f.pattern {
		fill := tint
		if f.depth(loop)%2 == 1 {
			fill = paper
		}
		f.add(Poly{f.papers(loop), partPen, fill, "pattern"})
	}
	f.spout()
	f.vents()
	f.add(Poly{f.papers(f.rim), boldPen, none, "rim"})
	for _, l := range f.lands {
		f.line(l, landPen, "land")
	}
	for _, k := range f.keys {
		f.line(k, keyPen, "key-line")
	}
	if f.plan.Cut.Slit.Full { // whatever way it is opened from the spout
		for _, loop := range f.pattern {
			f.line(flatLine{loop, true}, slitPen, "slit-round")
		}
	}
	f.line(flatLine{points: f.hinge}, hingePen, "hinge")
	f.line(flatLine{points: f.slit}, slitPen, "slit")
	f.stopMark()
	f.stopHeight()
	f.knifeDepths()
	f.waveDepths()
	f.edgeNames()
	f.names()
}

// depth is how many other loops a loop lies in: those of odd depth are holes of the
// part, with rubber in them.
func (f *cutFace) depth(loop []Point) int {
	n := 0
	for i := range f.pattern {
		if other := f.pattern[i]; &other[0] != &loop[0] && within(other, loop[0]) {
			n++
		}
	}
	return n
}

// within tells whether a place lies in a polygon.
func within(polygon []Point, p Point) bool {
	inside := false
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		if (a.Y < p.Y) != (b.Y < p.Y) && p.X > a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	return inside
}

// inPart tells whether a place lies in the part.
func (f *cutFace) inPart(p Point) bool {
	inside := false
	for _, loop := range f.pattern {
		inside = inside != within(loop, p)
	}
	return inside
}

// notes say how to read the drawing and what to do by it.
func (f *cutFace) notes() []string {
	c := &f.plan.Cut
	seen, taken := f.halves()
	look := map[string]string{"front": "from the front", "right": "from the right", "upper": "from above"}[taken]
	notes := []string{fmt.Sprintf("The face of the %s half, seen %s, as the block stood while the rubber was poured. The %s half is taken off.", seen, look, taken)}
	if len(c.Steps) > 0 {
		notes = append(notes, "The cut steps aside. It is drawn rolled out along its steps, so that lengths along it are true.")
	}
	notes = append(notes, f.slitNote())
	if len(c.Knife) > 0 {
		notes = append(notes, fmt.Sprintf("Figures round the edge: how deep the knife goes, square to the outside, before it meets the land. The part lies at least %s further in.", f.show.Length(c.LandMM)))
	}
	if len(c.KeyLines) > 0 {
		notes = append(notes, fmt.Sprintf("Figures in the waves: how far the crest is off the cut: + %s, − %s.", f.offWords(1), f.offWords(-1)))
	} else {
		notes = append(notes, "There is no rubber for a key line.")
	}
	for _, caution := range f.plan.Cautions {
		if strings.HasPrefix(caution, "Opening the block") {
			notes = append(notes, caution)
		}
	}
	return notes
}

// offWords words a direction off the cut, as it is seen on paper.
func (f *cutFace) offWords(sign int) string {
	seen, taken := f.halves()
	if sign < 0 {
		return "away from you, into the " + seen + " half"
	}
	return "toward you, into the " + taken + " half"
}

func (f *cutFace) slitNote() string {
	c := &f.plan.Cut
	switch {
	case c.Slit.Full && c.Slit.Because != nil:
		return "Cut through all round, because " + *c.Slit.Because + "."
	case c.Slit.Full || c.Hinge == nil:
		return "Cut through all round."
	case c.SlitMM == 0:
		return "The rubber stretches far enough without a slit; cut only if the part will not come."
	}
	words := fmt.Sprintf("Slit %s along the part from the spout (thick line); leave %s as a hinge (hatched).", f.show.Length(c.SlitMM), f.show.Length(c.Hinge.LengthMM))
	if c.Hinge.Stop != nil && !c.Hinge.Square {
		words += " The line where the knife stops slants, since no straight way in is clear of the part."
	}
	return words
}

// legend shows what each kind of line is.
func (f *cutFace) legend(at Point) float64 {
	items := []legendItem{{boldPen, "outside of the block"}, {partPen, "part"}, {landPen, "land"}, {keyPen, "key line"}}
	if len(f.slit) > 1 || f.plan.Cut.Slit.Full {
		items = append(items, legendItem{slitPen, "to be slit"})
	}
	if len(f.hinge) > 1 {
		items = append(items, legendItem{hingePen, "hinge, left whole"})
	}
	if f.meetsSpout() {
		items = append(items, legendItem{holePen, "spout"})
	}
	if len(f.plan.Cut.Knife) > 0 {
		items = append(items, legendItem{knifePen, "knife depth"})
	}
	if len(f.nearVents()) > 0 {
		items = append(items, legendItem{ventPen, "vent"})
	}
	return f.legendRows(at, headMM, items)
}

type legendItem struct {
	pen   Pen
	words string
}

// legendRows draws a legend in rows of a length, and returns where it ends.
func (s *sketch) legendRows(at Point, long float64, items []legendItem) float64 {
	x, y := at.X, at.Y
	for _, item := range items {
		wide := 13.5 + room(item.words, smallMM) + 6
		if x+wide > at.X+long && x > at.X {
			x, y = at.X, y+4.5
		}
		s.add(Line{Point{x, y - 0.9}, Point{x + 12, y - 0.9}, item.pen, "legend"},
			Text{Point{x + 13.5, y}, smallMM, item.words, Start, false, shade, ""})
		x += wide
	}
	return y + 5
}
