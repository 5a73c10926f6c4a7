package drawing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// baseBoard is the name of the panel that all stands on.
const baseBoard = "base board"

// drawPanels draws each wall to cut, as seen from outside. Walls of one size are drawn
// once, but for those that have pins.
func drawPanels(p *analysis.Plan, show say.Style) []Drawing {
	var all []Drawing
	used := map[string]bool{}
	for i, panel := range p.Box.Panels {
		if panel.Name == baseBoard || !drawable(panel.LengthMM, panel.WidthMM) {
			continue
		}
		for _, w := range walls(p, panel) {
			name := "panel-" + fileName(w.title)
			if used[name] {
				name += "-" + strconv.Itoa(i+1)
			}
			used[name] = true
			s := newSketch(p, show, name, "Wall: "+w.title)
			at := Point{borderMM, s.head(Point{borderMM, borderMM}, headMM, panelNotes(p, w, show)...)}
			s.panel(p, w, at)
			all = append(all, s.done()...)
		}
	}
	return all
}

// wall is a panel with the pins that go through it.
type wall struct {
	analysis.Panel
	title string
	pins  []analysis.Pin
	side  string // of the box on its side; empty of a box that stands
}

// walls parts a panel into the walls cut from it that have pins, and the rest.
func walls(p *analysis.Plan, panel analysis.Panel) []wall {
	if p.TwoPart != nil {
		return lyingWalls(p, panel)
	}
	var all []wall
	for _, pin := range p.Hold.Pins {
		side, ours := strings.CutPrefix(pin.Panel, panel.Name)
		if !ours {
			continue
		}
		title := panel.Name
		if word := wallWords[strings.TrimSpace(side)]; word != "" {
			title += ", " + word
		}
		i := slices.IndexFunc(all, func(w wall) bool { return w.title == title })
		if i < 0 {
			i = len(all)
			all = append(all, wall{Panel: panel, title: title})
			all[i].Count = 1
		}
		all[i].pins = append(all[i].pins, pin)
	}
	if rest := panel.Count - len(all); rest > 0 {
		plain := wall{Panel: panel, title: panel.Name}
		plain.Count = rest
		all = append(all, plain)
	}
	return all
}

func panelNotes(p *analysis.Plan, panel wall, show say.Style) []string {
	notes := []string{fmt.Sprintf("Cut %d: %s, of board %s thick.", panel.Count,
		show.SizeUp([]float64{panel.LengthMM, panel.WidthMM}), show.Length(panel.ThicknessMM))}
	if panel.Note != "" {
		notes = append(notes, show.Prose(panel.Note))
	}
	if panel.side != "" {
		return append(notes, lyingNotes(p, panel, show)...)
	}
	if len(panel.pins) > 0 {
		notes = append(notes, "Drill for the pins from outside, square to the board, where the crosses are.")
	}
	if fillLine(p, panel.Panel) {
		notes = append(notes, "Fill line, on the inside: "+show.Length(p.Box.RubberLevelMM)+" above the board.")
	}
	return notes
}

func fillLine(p *analysis.Plan, panel analysis.Panel) bool {
	return p.Box.RubberLevelMM > 0 && p.Box.RubberLevelMM <= panel.WidthMM
}

// panel draws one wall with its upper left corner at a place.
func (s *sketch) panel(p *analysis.Plan, w wall, at Point) {
	panel := w.Panel
	r := Rect{at, at.plus(panel.LengthMM, panel.WidthMM)}
	outline := corners(r)
	outline.Pen, outline.Class = edgePen, "panel"
	s.add(outline)
	if w.side != "" {
		s.lyingWall(p, w, r)
		return
	}
	if fillLine(p, panel) {
		y := r.Max.Y - p.Box.RubberLevelMM
		s.add(Line{Point{r.Min.X, y}, Point{r.Max.X, y}, fillPen, "fill-line"})
	}
	s.scores(panel, r)
	s.pins(w, r)
	s.upArrow(r, panel)
	s.panelWords(p, panel, r)
}

// pins draws where to drill for pins.
func (s *sketch) pins(w wall, r Rect) {
	for _, pin := range w.pins {
		at := Point{r.Min.X + pin.XMM, r.Max.Y - pin.ZMM}
		s.add(Circle{at, 1.5, holePen, "pin"},
			Line{at.plus(-5, 0), at.plus(5, 0), Pen{amber, 0.2, nil}, "pin-cross"},
			Line{at.plus(0, -5), at.plus(0, 5), Pen{amber, 0.2, nil}, "pin-cross"})
	}
	for _, pin := range w.pins {
		at := Point{r.Min.X + pin.XMM, r.Max.Y - pin.ZMM}
		var tries []Text
		for _, words := range []string{"pin, " + s.show.Length(pin.ZMM) + " up, " + s.show.Length(pin.XMM) + " from the left", "pin, " + s.show.Length(pin.ZMM) + " up", "pin"} {
			for _, dy := range []float64{-2, 4.2, -5.5, 7.5} {
				tries = append(tries, Text{at.plus(2, dy), smallMM, words, Start, false, ink, "pin-label"},
					Text{at.plus(-2, dy), smallMM, words, End, false, ink, "pin-label"})
			}
		}
		s.placeIn(r, tries...)
	}
}

// scores draws the lines to score, each with its distance from the left edge.
func (s *sketch) scores(panel analysis.Panel, r Rect) {
	for _, x := range panel.ScoresMM {
		at := Point{r.Min.X + x, r.Max.Y}
		s.add(Line{at, Point{at.X, r.Min.Y}, scorePen, "score"},
			Text{at.plus(-1.2, -6), smallMM, "score " + s.show.Length(x), Start, true, ink, "score-label"})
	}
	from := 0.0
	for i, x := range panel.ScoresMM {
		s.placeIn(r, Text{Point{r.Min.X + (from+x)/2, r.Max.Y - 0.38*panel.WidthMM}, 5, strconv.Itoa(i + 1), Middle, false, shade, "facet"})
		from = x
	}
	if n := len(panel.ScoresMM); n > 0 {
		last := r.Min.X + panel.ScoresMM[n-1]
		s.add(Text{Point{(last+r.Max.X)/2 + 1, r.Max.Y - 6}, bodyMM, "lap, outside the first facet", Start, true, ink, "lap"})
	}
}

// upArrow draws an arrow that points up, in the middle of the widest free part.
func (s *sketch) upArrow(r Rect, panel analysis.Panel) {
	x := r.Min.X + widestPart(panel)
	long := min(30, panel.WidthMM*0.3)
	mid := (r.Min.Y + r.Max.Y) / 2
	s.upAt(x, mid, long)
}

// upAt draws an arrow that points up about a place.
func (s *sketch) upAt(x, mid, long float64) {
	s.arrow(Point{x, mid + long/2}, Point{x, mid - long/2}, edgePen, min(4, long/3), "up")
	s.place(true, Text{Point{x + 2.5, mid + 1}, bodyMM, "UP", Start, false, ink, "up-label"},
		Text{Point{x - 2.5, mid + 1}, bodyMM, "UP", End, false, ink, "up-label"})
}

// widestPart is the middle of the widest part between scores, mm from the left edge.
func widestPart(panel analysis.Panel) float64 {
	middle, widest, from := 0.0, 0.0, 0.0
	for _, to := range append(append([]float64{}, panel.ScoresMM...), panel.LengthMM) {
		if to-from > widest+1e-6 {
			middle, widest = (from+to)/2, to-from
		}
		from = to
	}
	return middle
}

// panelWords names the panel, its faces and its lines inside it, where there is room.
func (s *sketch) panelWords(p *analysis.Plan, panel analysis.Panel, r Rect) {
	x := r.Min.X + widestPart(panel)
	written := func(class string, sizes, shares []float64, words ...string) {
		var tries []Text
		for _, w := range words {
			for _, size := range sizes {
				for _, share := range shares {
					tries = append(tries, Text{Point{x, r.Min.Y + share*panel.WidthMM}, size, w, Middle, false, ink, class})
				}
			}
		}
		s.placeIn(r, tries...)
	}
	small := []float64{bodyMM, smallMM}
	if fillLine(p, panel) {
		y := r.Max.Y - p.Box.RubberLevelMM
		line := (y - r.Min.Y) / panel.WidthMM
		above, below := line-1.2/panel.WidthMM, line+3.6/panel.WidthMM
		written("fill-label", small, []float64{above, below}, "fill line "+s.show.Length(p.Box.RubberLevelMM), "fill line")
	}
	written("foot-label", []float64{smallMM}, []float64{1 - 2/panel.WidthMM}, "this edge on the board", "foot")
	written("panel-name", []float64{7, 5, 3.5, 2.5}, []float64{0.25, 0.2, 0.3, 0.7}, panel.Name)
	written("face", small, []float64{0.33, 0.36, 0.28, 0.72, 0.76, 0.85}, "outside face; inside is the other", "outside (inside behind)", "outside")
}

// placeIn is place for texts within a rectangle that cross no line.
func (s *sketch) placeIn(r Rect, tries ...Text) {
	for _, t := range tries {
		if r.holds(t.box().grown(0.5)) && s.place(true, t) {
			return
		}
	}
}
