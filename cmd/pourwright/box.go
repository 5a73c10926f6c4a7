package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/analysis/moldbox"
	"pourwright/render/say"
)

func newBoxCmd(con *console, g *globals) *cobra.Command {
	q := &questioner{con: con, globals: g, ask: analysis.AskBox, part: boxPart, report: reportBox}
	return newQuestionCmd(q, "box SCAN", "Say how big a box to build, from which boards",
		"Stands the part the best way up, turns it so that the box around it is small, and\nsays how big the box is, which boards to cut for it, how thick the rubber truly is,\nwhether the walls hold and what keeps the part where it is glued.",
		"  pourwright box lantern.stl\n  pourwright box lantern.stl --clearance 3/4in --cover 1in\n  pourwright box lantern.stl --shape faceted --board foam-5\n  pourwright box lantern.stl --inside 300x150x300mm\n  pourwright box lantern.stl --have 3kg --weight 900g")
}

func boxPart(s *solved) any {
	return struct {
		Pourwright string            `json:"pourwright"`
		Box        analysis.Box      `json:"box"`
		TwoPart    *analysis.TwoPart `json:"two_part"`
		Wall       analysis.Wall     `json:"wall"`
		Bow        analysis.Bow      `json:"bow"`
		Hold       analysis.Hold     `json:"hold"`
		Rubber     analysis.Rubber   `json:"rubber"`
		Findings   []finding.Finding `json:"findings"`
		Cautions   []string          `json:"cautions"`
	}{s.Pourwright, s.Box, s.TwoPart, s.Wall, s.Bow, s.Hold, s.Rubber, s.Findings, s.Cautions}
}

func reportBox(r *report, s *solved) {
	b := s.Box
	r.answer(boxWords(r.style, s), s.Findings)
	r.WriteByte('\n')
	inside, level := insideWords(r.style, b), b.RubberLevelMM
	if t := s.TwoPart; t != nil {
		inside, level = r.style.SizeUp(t.InsideMM[:2])+", length and width, for a block that stands "+r.style.SizeUp(b.InsideMM[:])+" in the end", t.InsideMM[2]
	}
	r.rows([][2]string{
		{"Inside", inside},
		{"Rubber level", r.style.Length(level) + " above the board"},
		{"Walls", r.style.LengthUp(b.WallHeightMM) + " high, of which " + r.style.Length(b.FreeboardMM) + " stay free"},
		{"Rubber", rubberWords(r.style, s.Rubber)},
	})
	r.heading("Rubber between the pattern and")
	r.table(gapRows(r.style, b, s.TwoPart))
	for _, why := range clearanceWords(r.style, s) {
		r.wrap(indent+"- ", why, "")
	}
	if len(b.Panels) > 0 {
		r.heading("Cut list")
		r.table(panelRows(r.style, b.Panels))
		for _, p := range b.Panels {
			r.wrap(indent+"- ", p.Name+": "+p.Note, "")
			if len(p.ScoresMM) > 0 {
				r.wrap(indent+"- ", "Score the "+p.Name+" at "+scorePlaces(r.style, p.ScoresMM)+" from one end.", "")
			}
		}
		for i, sheet := range b.Sheets {
			n := 0
			for _, other := range b.Sheets {
				if other.Board == sheet.Board {
					n++
				}
			}
			if i == 0 || b.Sheets[i-1].Board != sheet.Board {
				r.wrap(indent+"- ", fmt.Sprintf("%s: %s of %s.", sheet.Board, say.Count(n, "sheet", "sheets"), r.style.SizeUp(sheet.SizeMM[:])), "")
			}
		}
		r.heading("Put it together in this order")
		for i, step := range b.Assembly {
			r.wrap(fmt.Sprintf("%s%d. ", indent, i+1), step, "")
		}
	}
	r.fillers(b)
	r.boxOptions(s)
	r.thickness(s.Wall)
	r.walls(s.Bow)
	if s.TwoPart != nil {
		r.holdsInBed(s)
	} else {
		r.holds(s.Hold)
	}
	r.findings(about(s.Findings, "scan", "shelf", "moldbox", "wall", "bow", "hold"))
	r.cautions(s.Cautions[:1])
}

// boxWords says in one sentence what box it is.
func boxWords(style say.Style, s *solved) string {
	name, b := s.Name, s.Box
	high := style.LengthUp(b.WallHeightMM)
	switch {
	case s.TwoPart != nil:
		return fmt.Sprintf("Box on its side for %s: %s inside, walls %s high.", name, style.SizeUp(s.TwoPart.InsideMM[:2]), high)
	case b.Owned:
		return fmt.Sprintf("Your box of %s inside, walls %s high, takes %s.", style.SizeUp(b.InsideMM[:2]), high, name)
	case b.RadiusMM != nil:
		return fmt.Sprintf("Tube for %s: %s wide inside, %s high.", name, style.LengthUp(2**b.RadiusMM), high)
	case len(b.OutlineMM) != 4 || b.Shape == moldbox.Faceted:
		return fmt.Sprintf("Faceted box for %s: %d facets, %s inside over all, %s high.", name, len(b.OutlineMM), style.SizeUp(b.InsideMM[:2]), high)
	}
	return fmt.Sprintf("Box for %s: %s inside, walls %s high.", name, style.SizeUp(b.InsideMM[:2]), high)
}

func insideWords(style say.Style, b analysis.Box) string {
	if b.RadiusMM != nil {
		return style.LengthUp(2**b.RadiusMM) + " wide"
	}
	words := style.SizeUp(b.InsideMM[:2]) + ", length and width"
	if b.Shape == moldbox.Faceted {
		words += " over all"
	}
	return words
}

// scorePlaces lists where a board is scored.
func scorePlaces(style say.Style, at []float64) string {
	var words []string
	for _, mm := range at {
		words = append(words, style.Length(mm))
	}
	return listed(words)
}

// fillers lists what stands in the box besides the part.
func (r *report) fillers(b analysis.Box) {
	if len(b.Fillers) == 0 {
		return
	}
	r.heading("Fillers, from the left end and the front, inside")
	rows := [][]string{{"", "from", "to", "high", "saves"}}
	for _, f := range b.Fillers {
		lo, hi := f.FootMM[0], f.FootMM[0]
		for _, p := range f.FootMM {
			lo = [2]float64{min(lo[0], p[0]), min(lo[1], p[1])}
			hi = [2]float64{max(hi[0], p[0]), max(hi[1], p[1])}
		}
		at := func(p [2]float64) string {
			return r.style.Length(p[0]+b.InsideMM[0]/2) + ", " + r.style.Length(p[1]+b.InsideMM[1]/2)
		}
		rows = append(rows, []string{f.Kind, at(lo), at(hi), r.style.Length(f.HeightMM), r.style.Volume(f.VolumeMM3)})
	}
	r.table(rows)
}

// boxOptions compares the rubber of the shapes, and of a skin in a jacket.
func (r *report) boxOptions(s *solved) {
	if len(s.Box.Options) == 0 {
		return
	}
	r.heading("Rubber of each shape, same clearance")
	rows := [][]string{{"", "to weigh", "cost", ""}}
	cost := func(c *float64) string {
		if c == nil {
			return "not known"
		}
		return fmt.Sprintf("%.2f", *c)
	}
	for _, o := range s.Box.Options {
		note := ""
		if o.Chosen {
			note = "this plan"
		}
		rows = append(rows, []string{o.Shape, r.style.Mass(o.MassG), cost(o.Cost), note})
	}
	b := s.Box.Blanket
	rows = append(rows, []string{"skin", r.style.Mass(b.MassG[1]), cost(b.Cost),
		fmt.Sprintf("%s thick in a rigid jacket, an estimate; %s to %s for %s to %s", r.style.Length(b.ThicknessMM[1]), r.style.Mass(b.MassG[0]), r.style.Mass(b.MassG[2]), r.style.Length(b.ThicknessMM[0]), r.style.Length(b.ThicknessMM[2]))})
	r.table(rows)
	if s.Box.Options[0].Cost == nil {
		r.wrap(indent+"- ", "Costs need price_per_kg in a shelf file of yours.", "")
	}
}

// wall is one side of the box.
type wall struct {
	at         string // the axis it stands on
	asked, gap float64
}

// walls lists the four walls, or the one that goes round.
func walls(b analysis.Box) []wall {
	if b.ClearanceMM.Radial != nil {
		return []wall{{"", *b.ClearanceMM.Radial, *b.GapMM.Radial}}
	}
	return []wall{
		{"−x", b.ClearanceMM.X0, b.GapMM.X0},
		{"+x", b.ClearanceMM.X1, b.GapMM.X1},
		{"−y", b.ClearanceMM.Y0, b.GapMM.Y0},
		{"+y", b.ClearanceMM.Y1, b.GapMM.Y1},
	}
}

// gapRows compares the clearances asked with the gaps that are there.
func gapRows(style say.Style, b analysis.Box, t *analysis.TwoPart) [][]string {
	rows := [][]string{{"", "asked", "smallest"}}
	for _, w := range walls(b) {
		name := strings.TrimSuffix("the wall at "+w.at, " at ")
		if t != nil {
			name = lyingSide(t, w.at)
		}
		rows = append(rows, []string{name, style.Length(w.asked), style.Length(w.gap)})
	}
	top := "the top"
	if t != nil {
		top = lyingSide(t, "top")
	}
	return append(rows, []string{top, style.Length(b.ClearanceMM.Cover), style.Length(b.GapMM.Cover)})
}

// clearanceWords says why the clearances are what they are.
func clearanceWords(style say.Style, s *solved) []string {
	usual := moldbox.DefaultClearanceMM(s.Scan.TightestBoxMM[0])
	if s.choices.ClearanceMM != nil {
		usual = *s.choices.ClearanceMM
	}
	var crossed []string
	if s.Box.ClearanceMM.Radial != nil || s.Box.Owned || s.choices.HaveG > 0 {
		usual = s.Box.ClearanceMM.X0 // nothing to tell of single walls
	}
	there := 0.0
	for _, w := range walls(s.Box) {
		if w.asked != usual && !s.Box.Owned && s.choices.HaveG == 0 {
			crossed, there = append(crossed, w.at), w.asked
		}
	}
	if s.TwoPart != nil {
		crossed = nil // the walls of the block are not those of its box
	}
	var words []string
	switch {
	case len(crossed) == 0:
	case s.choices.CutClearanceMM != nil:
		words = append(words, fmt.Sprintf("The cut crosses the walls at %s: %s there, as given by --cut-clearance.", listed(crossed), style.Length(there)))
	default:
		words = append(words, fmt.Sprintf("The cut crosses the walls at %s: %s there, to leave room for keys; --cut-clearance changes it.", listed(crossed), style.Length(there)))
	}
	for _, basis := range s.Basis {
		if basis.Key == "box.inside_mm" {
			words = append(words, "Rule: "+basis.Rule+".")
		}
	}
	return words
}

// listed joins words: a, b and c.
func listed(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

func panelRows(style say.Style, panels []analysis.Panel) [][]string {
	rows := [][]string{{"", "board", "length × width", "thick"}}
	for _, p := range panels {
		rows = append(rows, []string{
			fmt.Sprintf("%d ×", p.Count), p.Name,
			style.SizeUp([]float64{p.LengthMM, p.WidthMM}), style.Length(p.ThicknessMM),
		})
	}
	return rows
}

// rubberWords says what to weigh in one line.
func rubberWords(style say.Style, r analysis.Rubber) string {
	return fmt.Sprintf("%s of %s, likely %s", style.Mass(r.MassG), r.MaterialName, style.MassRange(r.LowG, r.HighG))
}
