package drawing

import (
	"fmt"
	"math"

	"pourwright/analysis"
	"pourwright/render/say"
)

// drawSheets draws how the boards lie on the sheets they are cut from, to scale.
func drawSheets(p *analysis.Plan, show say.Style) []Drawing {
	longest, tallest := 0.0, 0.0
	for _, sheet := range p.Box.Sheets {
		if !drawable(sheet.SizeMM[:]...) {
			return nil
		}
		longest, tallest = max(longest, sheet.SizeMM[0]), max(tallest, sheet.SizeMM[1])
	}
	if longest == 0 {
		return nil
	}
	s := newSketch(p, show, "sheets", "Boards on their sheets")
	scale := math.Ceil(max(longest/(headMM-4), tallest/180))
	letters := letter(p.Box.Panels)
	y := s.sheetsHead(p, scale, longest, letters)
	for i, sheet := range p.Box.Sheets {
		title := "Sheet of " + show.Size(sheet.SizeMM[:])
		if len(p.Box.Sheets) > 1 {
			title = fmt.Sprintf("%d. %s", i+1, title)
		}
		s.add(Text{Point{borderMM, y}, bodyMM, title, Start, false, ink, ""})
		s.sheet(Point{borderMM, y + 3}, sheet, scale, letters)
		y += 3 + sheet.SizeMM[1]/scale + 9
	}
	return s.done()
}

// letter gives each kind of panel a letter, by its name.
func letter(panels []analysis.Panel) map[string]string {
	letters := map[string]string{}
	for i, panel := range panels {
		letters[panel.Name] = string(rune('A' + i%26))
	}
	return letters
}

// sheetsHead writes title, list of the pieces and a bar of known length at the scale.
func (s *sketch) sheetsHead(p *analysis.Plan, scale, longest float64, letters map[string]string) float64 {
	s.add(Text{Point{borderMM, borderMM + 5}, titleMM, s.Title, Start, false, ink, "title"},
		Text{Point{borderMM, borderMM + 10.5}, nameMM, fit(s.Job, nameMM, headMM), Start, false, shade, "job"})
	notes := []string{fmt.Sprintf("Not true size: 1 to %.0f. The saw's kerf is left between the pieces.", scale)}
	for _, panel := range p.Box.Panels {
		notes = append(notes, fmt.Sprintf("%s: %s, %s, %s thick, %s", letters[panel.Name], panel.Name,
			s.show.SizeUp([]float64{panel.LengthMM, panel.WidthMM}), s.show.Length(panel.ThicknessMM), say.Count(panel.Count, "piece", "pieces")))
	}
	y := s.paragraphs(Point{borderMM, borderMM + 17}, bodyMM, headMM, notes)
	bar, words := 500.0, say.Metric
	if s.show == say.Inch {
		bar, words = 24*mmPerInch, say.Inch
	}
	if bar > longest {
		bar /= 5
	}
	s.add(measure(Point{borderMM, y + 3}, bar/scale, bar/scale/4, "scale-sheet")...)
	s.add(Text{Point{borderMM + bar/scale + 2, y + 3}, smallMM, words.Length(bar), Start, false, ink, ""})
	return y + 13
}

// sheet draws one sheet and the pieces on it, from its upper left corner.
func (s *sketch) sheet(at Point, sheet analysis.Sheet, scale float64, letters map[string]string) {
	on := func(x, y, w, h float64) Rect {
		a := at.plus(x/scale, y/scale)
		return Rect{a, a.plus(w/scale, h/scale)}
	}
	outline := corners(on(0, 0, sheet.SizeMM[0], sheet.SizeMM[1]))
	outline.Pen, outline.Class = edgePen, "sheet"
	s.add(outline)
	for _, piece := range sheet.Pieces {
		w, h := piece.LengthMM, piece.WidthMM
		if piece.Turned {
			w, h = h, w
		}
		r := on(piece.XMM, piece.YMM, w, h)
		shape := corners(r)
		shape.Pen, shape.Fill, shape.Class = thinPen, tint, "piece"
		s.add(shape)
		s.pieceName(r, letters[piece.Name], letters[piece.Name]+" "+piece.Name)
	}
}

// pieceName writes the longest name that fits into a piece.
func (s *sketch) pieceName(r Rect, short, long string) {
	mid := Point{(r.Min.X + r.Max.X) / 2, (r.Min.Y + r.Max.Y) / 2}
	for _, words := range []string{long, short} {
		for _, size := range []float64{smallMM, 2, 1.5} {
			for _, t := range []Text{
				{mid.plus(0, 0.36*size), size, words, Middle, false, ink, "piece-name"},
				{mid.plus(0.36*size, 0), size, words, Middle, true, ink, "piece-name"},
			} {
				if r.holds(t.box()) && (size > 1.5 || words == short) {
					s.add(t)
					return
				}
			}
		}
	}
}
