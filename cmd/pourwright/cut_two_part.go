package main

import (
	"fmt"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// reportTwoPart says how a mold in two parts is made.
func reportTwoPart(r *report, s *solved) {
	c, t := s.Cut, s.TwoPart
	first := partName(c, t.Parts[0])
	r.answer(twoPartWords(r.style, s), s.Findings)
	r.WriteByte('\n')
	r.rows([][2]string{
		{"Bed", bedWords(r.style, s)},
		{"Parting line", fmt.Sprintf("%s along the part, which crosses %.0f of 100 in detail", r.style.Length(c.OutlineMM), 100*c.DetailCrossed)},
		{"Outermost line", fmt.Sprintf("passed within %s, %s on average", r.style.Length(t.MostOffMM), r.style.Length(t.OffMM))},
		{"Meets the part", fmt.Sprintf("at %.0f° on average; press the clay square to it", c.SquareDeg)},
		{"Keys", bedKeyWords(r.style, t)},
		{"Between parts", strings.TrimSpace(t.ReleaseName + ". " + t.ReleaseNote)},
		{"Box on its side", fmt.Sprintf("inside %s by %s, walls %s high", r.style.LengthUp(t.InsideMM[0]), r.style.LengthUp(t.InsideMM[1]), r.style.LengthUp(s.Box.WallHeightMM))},
		{"First", fmt.Sprintf("the %s, since %s", first, t.Why)},
		{"Why", c.Why},
	})
	r.heading("The two parts, in the order they are poured")
	r.table(partRows(r.style, s))
	r.wrap(indent+"- ", fmt.Sprintf("Full at %s over the board, which is then below; pourwright mix gives batches and marks.", r.style.Length(t.InsideMM[2])), "")
	for i, p := range t.Parts {
		r.wrap(indent+"- ", fmt.Sprintf("Pour %d: %s where rubber gets under it.", i+1, r.liftWords(p.NetLiftN)), "")
	}
	if len(t.Locks) > 0 {
		r.heading("Where rubber hooks behind the part when it is drawn off")
		r.table(lockRows(r.style, c, t))
		r.frame()
	}
	if len(t.Line) > 0 {
		r.heading("How high the clay stands along the part, seen from the spout's end")
		r.table(heightRows(r.style, t))
	}
	if len(t.Keys) > 0 {
		r.heading("Dimples for the keys, seen from the spout's end along the box")
		r.table(bedKeyRows(r.style, t))
		r.wrap(indent+"- ", "Turned from straight ahead to the left; each two thirds as wide as it is long, and four ninths as deep.", "")
	}
	r.findings(about(s.Findings, "scan", "cut", "hold", "mix"))
	r.cautions(s.ofRubber)
}

// twoPartWords says in one sentence how the mold is made.
func twoPartWords(style say.Style, s *solved) string {
	high := "about " + style.Length(s.TwoPart.BedMM)
	if t := s.TwoPart; t.HighMM-t.LowMM >= 1 {
		high = style.Length(t.LowMM) + " to " + style.Length(t.HighMM)
	}
	return fmt.Sprintf("Pour the mold of %s in two parts: the %s first, over a bed of clay %s high.", s.Name, partName(s.Cut, s.TwoPart.Parts[0]), high)
}

// partName is what one part of the mold is called: by the side of the finished block
// it is on.
func partName(c analysis.Cut, p analysis.MoldPart) string {
	return strings.TrimPrefix(towards(c.Normal, float64(p.Side)), "to the ") + " part"
}

// bedWords says how the bed lies.
func bedWords(style say.Style, s *solved) string {
	t, c := s.TwoPart, s.Cut
	if t.LowMM == t.HighMM {
		return fmt.Sprintf("level, %s over the board; %s of clay", style.Length(t.BedMM), style.Liquid(t.ClayMM3))
	}
	how := "shaped along the part's outermost line"
	if c.Surface == "stepped" {
		how = "stepped"
	}
	return fmt.Sprintf("%s, %s to %s over the board; %s of clay", how, style.Length(t.LowMM), style.Length(t.HighMM), style.Liquid(t.ClayMM3))
}

func bedKeyWords(style say.Style, t *analysis.TwoPart) string {
	if len(t.Keys) == 0 {
		return "no rubber for them"
	}
	least, most := t.Keys[0], t.Keys[0]
	for _, k := range t.Keys {
		if k.LengthMM < least.LengthMM {
			least = k
		}
		if k.LengthMM > most.LengthMM {
			most = k
		}
	}
	size := func(k analysis.BedKey) string {
		return fmt.Sprintf("%s by %s, %s deep", style.Length(k.LengthMM), style.Length(k.WidthMM), style.Length(k.DepthMM))
	}
	words := fmt.Sprintf("%s in the clay, %s", say.Count(len(t.Keys), "oval dimple", "oval dimples"), size(most))
	if most.LengthMM-least.LengthMM > 0.5 {
		words += "; the least " + size(least)
	}
	return words
}

// partRows lists what each part takes.
func partRows(style say.Style, s *solved) [][]string {
	rows := [][]string{{"", "over the bed", "weigh", "A", "B"}}
	for i, p := range s.TwoPart.Parts {
		a, b := 0.0, 0.0
		for _, one := range p.Batches {
			a, b = a+one.AG, b+one.BG
		}
		rows = append(rows, []string{fmt.Sprintf("%d. %s", i+1, partName(s.Cut, p)), style.Length(p.DepthMM), style.Mass(p.MassG), say.Grams(a), say.Grams(b)})
	}
	return rows
}

// lockRows lists where rubber hooks, the largest first.
func lockRows(style say.Style, c analysis.Cut, t *analysis.TwoPart) [][]string {
	const most = 8
	rows := [][]string{{"in the", "deep", "in from free", "", "at x, y, z"}}
	for i, l := range t.Locks {
		if i == most {
			rows = append(rows, []string{"", "", "", "", fmt.Sprintf("and %d smaller", len(t.Locks)-most)})
			break
		}
		reach, gives := "never free", "locks"
		switch {
		case l.Linked:
			reach = "round the part"
		case l.ReachMM != nil:
			reach = style.Length(*l.ReachMM)
		}
		if l.Gives {
			gives = "gives way"
		}
		rows = append(rows, []string{partName(c, analysis.MoldPart{Side: l.Side}), style.Length(l.DepthMM), reach, gives, placeWords(l.AtMM)})
	}
	return rows
}

// heightRows lists the heights of the parting line.
func heightRows(style say.Style, t *analysis.TwoPart) [][]string {
	rows := [][]string{{"", "from the spout's end", "from the right", "over the board"}}
	for i, p := range t.Line {
		rows = append(rows, []string{fmt.Sprintf("%d.", i+1), style.Length(p.FromSpoutMM), style.Length(p.FromRightMM), style.Length(p.HeightMM)})
	}
	return rows
}

// bedKeyRows lists the keys; all have the same proportions.
func bedKeyRows(style say.Style, t *analysis.TwoPart) [][]string {
	rows := [][]string{{"", "from the spout's end", "from the right", "turned left", "long"}}
	for i, k := range t.Keys {
		rows = append(rows, []string{fmt.Sprintf("%d.", i+1), style.Length(k.FromSpoutMM), style.Length(k.FromRightMM), fmt.Sprintf("%.0f°", k.TurnDeg), style.Length(k.LengthMM)})
	}
	return rows
}

// lyingSide names a side of the finished block by where it is while the first part is
// poured, looking from the spout's end.
func lyingSide(t *analysis.TwoPart, side string) string {
	way := map[string][3]float64{"−x": {-1, 0, 0}, "+x": {1, 0, 0}, "−y": {0, -1, 0}, "+y": {0, 1, 0}, "top": {0, 0, 1}}[side]
	switch name := t.SideOf(t.Turned(way)); name {
	case analysis.FirstSide:
		return "the top of the first part"
	case analysis.SecondSide:
		return "the top of the second part"
	case analysis.FarEnd:
		return "the far end"
	default:
		return "the " + name + " wall"
	}
}

// wallName names a wall of the box: of one on its side, as seen from the spout's end.
func (r *report) wallName(name string) string {
	if r.two == nil {
		return name
	}
	way, known := map[string][3]float64{"front": {0, -1, 0}, "back": {0, 1, 0}, "left end": {-1, 0, 0}, "right end": {1, 0, 0}}[name]
	if !known {
		return name
	}
	return r.two.SideOf(way)
}
