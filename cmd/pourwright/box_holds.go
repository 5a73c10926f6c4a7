package main

import (
	"fmt"
	"strings"

	"pourwright/analysis"
	"pourwright/analysis/bow"
	"pourwright/render/say"
)

// walls says how the walls bow and what keeps them.
func (r *report) walls(b analysis.Bow) {
	r.heading("Will the walls hold?")
	switch {
	case len(b.Walls) == 0 && b.Verdict == bow.Holds:
		r.wrap(indent, "Yes: "+b.Why+".", "")
		return
	case len(b.Walls) == 0:
		r.wrap(indent, "Not known, since "+b.Why+": look for yourself before you pour.", "")
		return
	}
	rows := [][]string{{"", "pushed with", "bows by", "without bracing"}}
	for _, w := range b.Walls {
		bows := "not known"
		switch {
		case w.DeflectionMM != nil:
			bows = bowWords(r.style, *w.DeflectionMM)
		case w.Verdict == bow.Brace:
			bows = "more than " + r.style.Length(w.LinearMM)
		}
		rows = append(rows, []string{r.wallName(w.Name), fmt.Sprintf("%.0f N", w.ForceN), bows, map[string]string{bow.Holds: "holds", bow.Brace: "brace it", bow.Unknown: "not known"}[w.Verdict]})
	}
	r.table(rows)
	if t := b.Bracing; t != nil {
		words := "Holds with: " + t.Name
		if len(t.HeightsMM) > 0 {
			words += ", at " + scorePlaces(r.style, t.HeightsMM) + " above the board"
		}
		if t.DeflectionMM != nil {
			words += "; then the walls bow by " + bowWords(r.style, *t.DeflectionMM)
		}
		r.wrap(indent+"- ", words+".", "")
	}
	var weak []string
	for _, t := range b.Trials {
		if !t.Passes && t.Name != "no bracing" {
			weak = append(weak, t.Name)
		}
	}
	if len(weak) > 0 {
		r.wrap(indent+"- ", "Tried and too weak: "+strings.Join(weak, "; ")+".", "")
	}
	if d := b.LevelDropMM; d != nil && d.High >= 0.5 {
		r.wrap(indent+"- ", fmt.Sprintf("The level of the rubber sinks by %s as they give.", bowWords(r.style, *d)), "")
	}
}

// bowWords is a small length with its spread.
func bowWords(style say.Style, s analysis.Spread) string {
	if s.High < 0.1 {
		return "under 0.1 mm"
	}
	return fmt.Sprintf("%.1f to %.1f mm", s.Low, s.High)
}

// holds says what lifts the part and what keeps it down.
func (r *report) holds(h analysis.Hold) {
	r.heading("Will the part stay where it is glued?")
	r.rows([][2]string{
		{"Part", fmt.Sprintf("%s; %s", r.style.MassRange(h.PatternLowG, h.PatternHighG), h.PatternFrom)},
		{"Lift", r.liftWords(h.NetLiftN) + ", with rubber under it and the level at " + r.style.Length(h.WorstLevelMM)},
		{"Sideways", fmt.Sprintf("%.1f N at most: %s", h.ShoveN, h.ShoveRule)},
		{"Foot", r.style.Area(h.PatchMM2) + " that takes glue"},
		{"Filled box", r.style.MassRange(h.FilledBoxG.Low, h.FilledBoxG.High)},
		{"Spill tray", r.style.Liquid(h.SpillMM3) + ": " + h.SpillRule},
	})
	rows := [][]string{{"joint", "needs", ""}}
	for _, k := range h.Kinds {
		needs := "not known"
		switch {
		case k.Pieces > 0:
			needs = say.Count(k.Pieces, "piece", "pieces")
		case k.AreaMM2 != nil:
			needs = r.style.Area(*k.AreaMM2)
		}
		verdict := "too weak on this foot"
		switch {
		case k.Chosen:
			verdict = "take this one"
		case k.Holds:
			verdict = "holds"
		}
		rows = append(rows, []string{k.Name, needs, verdict})
	}
	r.table(rows)
	if len(h.Pins) > 0 {
		rows = [][]string{{"pin through", "from its left end", "from its lower edge", "reaches in"}}
		for _, p := range h.Pins {
			rows = append(rows, []string{panelWords(p.Panel), r.style.Length(p.XMM), r.style.Length(p.ZMM), r.style.Length(p.GapMM)})
		}
		r.table(rows)
		r.wrap(indent+"- ", "Ends of a board as seen from outside the box.", "")
	}
	if h.Bar != nil {
		r.wrap(indent+"- ", fmt.Sprintf("Or a prop under a bar across the top that pushes down with %.0f N.", h.Bar.PushN), "")
	}
}

// holdsInBed says what lifts the part out of a bed of clay, and out of the first part.
func (r *report) holdsInBed(s *solved) {
	r.heading("Will the part stay in its bed?")
	h := s.Hold
	rows := [][2]string{{"Part", fmt.Sprintf("%s; %s", r.style.MassRange(h.PatternLowG, h.PatternHighG), h.PatternFrom)}}
	for i, p := range s.TwoPart.Parts {
		rows = append(rows, [2]string{fmt.Sprintf("Pour %d", i+1), "over the " + strings.TrimSuffix(partName(s.Cut, p), " part") + " side; " + r.liftWords(p.NetLiftN) + " where rubber gets under it"})
	}
	rows = append(rows,
		[2]string{"Hold it by", heldInBed},
		[2]string{"Filled box", r.style.MassRange(h.FilledBoxG.Low, h.FilledBoxG.High) + " when both parts are in it"},
		[2]string{"Spill tray", r.style.Liquid(h.SpillMM3) + ": " + h.SpillRule})
	r.rows(rows)
}

// heldInBed is what keeps a part where it is in a mold of two parts.
const heldInBed = "its spout end, screwed or glued to the wall, and the clay pressed up to it all round"

// liftWords says what lifts a part.
func (r *report) liftWords(n float64) string {
	if n <= 0 {
		return "it stays down by its own weight"
	}
	return fmt.Sprintf("it is lifted with up to %.1f N, like %s on a string", n, r.style.Mass(n/9.80665*1000))
}

// panelWords names the board that a pin goes through as the cut list and the
// sheet do.
func panelWords(panel string) string {
	name, wall, found := strings.Cut(panel, " ")
	if !found {
		return panel
	}
	return name + ", " + map[string]string{"x0": "left", "x1": "right", "y0": "front", "y1": "back"}[wall]
}

// thickness says how thick the rubber is.
func (r *report) thickness(w analysis.Wall) {
	r.heading("How thick is the rubber?")
	share := func(mm2 float64) string { return say.Percent(mm2 / w.AreaMM2) }
	rows := [][2]string{
		{"Least", r.style.Length(w.MinMM) + " to a wall or the top"},
		{"Floppy", fmt.Sprintf("%s of the part has under %s", share(w.FloppyMM2), r.style.Length(w.FloppyMM))},
		{"Wasted", fmt.Sprintf("%s of it has over %s", share(w.WastedMM2), r.style.Length(w.WastedMM))},
	}
	if w.WebMM != nil {
		rows = append(rows, [2]string{"Webs", fmt.Sprintf("%s, the thinnest %s: they tear", say.Count(len(w.Webs), "web between faces of the part", "webs between faces of the part"), r.style.Length(*w.WebMM))})
	}
	if w.CastThinMM2 > 0 {
		rows = append(rows, [2]string{"The cast", fmt.Sprintf("%s of the part is under %s thick, which the casting material may not fill", share(w.CastThinMM2), r.style.Length(w.CastLeastMM))})
	}
	r.rows(rows)
}

// wallsInShort says in a few words whether the walls hold.
func wallsInShort(b analysis.Bow) string {
	switch {
	case b.Bracing != nil:
		return "hold with: " + b.Bracing.Name
	case b.Verdict == bow.Holds:
		return "hold as they are"
	case b.Verdict == bow.Brace:
		return "too weak, and no bracing that was tried holds them"
	}
	return "not known"
}

// holdInShort says in a few words what keeps the part down.
func holdInShort(s *solved) string {
	h := s.Hold
	if s.TwoPart != nil {
		return heldInBed
	}
	for _, k := range h.Kinds {
		if k.Chosen {
			return k.Name
		}
	}
	switch {
	case h.Bar != nil:
		return "a prop under a bar across the top, besides the glue"
	case len(h.Pins) > 0:
		return say.Count(len(h.Pins), "pin", "pins") + " through the walls, besides the glue"
	case h.NetLiftN <= 0:
		return "its own weight; seal it all round"
	}
	return "nothing that was tried holds it"
}
