package sheet

import (
	"strings"

	"pourwright/analysis"
)

// holding says what keeps the part where it is glued.
type holding struct {
	Known   bool // the plan looked at it
	Stays   bool // down by its own weight
	Chosen  *analysis.HoldKind
	Also    []analysis.HoldKind // hold as well
	TooWeak string
	Pins    []pin
	Prop    *place // where a prop from a bar across the box presses
}

// pin is a dowel through a wall, with the wall named as on the cut list.
type pin struct {
	analysis.Pin
	Number   int
	Wall     string
	LengthMM float64 // of its dowel: what it reaches in and its board; 0 when the board's thickness is not known
}

// dowelMM is how thick the dowel of a pin is.
const dowelMM = 6

// DowelMM is how thick the dowels of the pins are.
func (holding) DowelMM() float64 { return dowelMM }

// DowelsMM is how long the dowels of all pins are together; 0 when that is not known.
func (h holding) DowelsMM() float64 {
	sum := 0.0
	for _, p := range h.Pins {
		if p.LengthMM == 0 {
			return 0
		}
		sum += p.LengthMM
	}
	return sum
}

// dowelLength is how long the dowel of a pin is.
func dowelLength(p *analysis.Plan, one analysis.Pin) float64 {
	name, _, _ := strings.Cut(one.Panel, " ")
	for _, panel := range p.Box.Panels {
		if (panel.Name == one.Panel || panel.Name == name) && panel.ThicknessMM > 0 {
			return one.GapMM + panel.ThicknessMM
		}
	}
	return 0
}

func wordHolding(p *analysis.Plan) holding {
	h := holding{Known: len(p.Hold.Kinds) > 0, Stays: p.Hold.NetLiftN <= 0}
	for i, kind := range p.Hold.Kinds {
		switch {
		case kind.Chosen:
			h.Chosen = &p.Hold.Kinds[i]
		case kind.Holds:
			h.Also = append(h.Also, kind)
		default:
			h.TooWeak = joined(h.TooWeak, kind.Name)
		}
	}
	for i, one := range p.Hold.Pins {
		h.Pins = append(h.Pins, pin{one, i + 1, panelWords(one.Panel), dowelLength(p, one)})
	}
	if p.Hold.Bar != nil {
		at := placeOf(p, p.Hold.Bar.AtMM)
		h.Prop = &at
	}
	return h
}

// panelWords names the board that a pin goes through: "side y1" is the side at
// the back.
func panelWords(panel string) string {
	name, wall, found := strings.Cut(panel, " ")
	if !found || wallNames[wall] == "" {
		return panel
	}
	return name + ", " + side(wall)
}

// wallBow is how walls of one size bow without bracing.
type wallBow struct {
	Names   string
	Bows    string
	Verdict string
	Brace   bool
}

// wallBows lists the walls; opposite walls that bow alike share a row.
func wallBows(p *analysis.Plan, s units) []wallBow {
	var rows []wallBow
	for _, w := range p.Bow.Walls {
		row := wallBow{Names: bowName(p, w.Name), Bows: s.Bow(w.DeflectionMM), Verdict: "not known", Brace: w.Verdict == "brace"}
		switch w.Verdict {
		case "holds":
			row.Verdict = "holds"
		case "brace":
			row.Verdict = "brace it"
			if w.DeflectionMM == nil {
				row.Bows = "more than " + s.Length(w.LinearMM)
			}
		}
		if i := sameBow(rows, row); i >= 0 {
			rows[i].Names = together(rows[i].Names, row.Names)
			continue
		}
		rows = append(rows, row)
	}
	return rows
}

// together adds a wall to names: "front, back", "facets 1, 2".
func together(names, wall string) string {
	number, facet := strings.CutPrefix(wall, "facet ")
	if first, one := strings.CutPrefix(names, "facet "); facet && one {
		names = "facets " + first
	}
	if facet && strings.HasPrefix(names, "facets ") {
		wall = number
	}
	return names + ", " + wall
}

// sameBow finds a row that says the same of other walls, else −1.
func sameBow(rows []wallBow, row wallBow) int {
	for i, r := range rows {
		if r.Bows == row.Bows && r.Verdict == row.Verdict {
			return i
		}
	}
	return -1
}

// shapes names the shapes of box as a maker does.
var shapes = map[string]string{"rectangle": "rectangle", "tube": "round tube", "faceted": "board bent round the part"}

// Shape names the shape of an option.
func (v *page) Shape(key string) string {
	if name := shapes[key]; name != "" {
		return name
	}
	return key
}

// Lift is what lifts the part at most.
func (v *page) Lift() string { return v.Say.Force(v.Hold.NetLiftN) + " on a string" }
