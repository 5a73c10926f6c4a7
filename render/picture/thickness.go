package picture

import (
	"context"
	"errors"
	"fmt"
	"image"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
)

// Thickness draws how thick the rubber is at each place of the pattern m, in mm in
// the stand frame: mm has the thickness at each vertex, NaN where the pattern touches
// board or stem. The part is shown from two opposite corners. The same input gives
// the same pixels.
func Thickness(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, mm []float32, o Options) (*image.NRGBA, error) {
	d, err := drawThickness(ctx, m, p, mm, o)
	if err != nil {
		return nil, err
	}
	return d.canvas.picture(), nil
}

// The page of a thickness: the views, then a column with the histogram, the bar and
// what is marked.
var (
	thicknessViews = rect{pageLeft, 140, 1056, pageFoot}
	thicknessBars  = rect{1092, 226, 1186, 676} // of the histogram, from its right side
	thicknessBar   = rect{1194, 226, 1238, 676}
)

// thickness is what the picture of a thickness shows.
type thickness struct {
	*heatScene
	wall   analysis.Wall
	top    float64 // at the upper end of the bar, mm
	places []thickPlace
	more   int // webs that have no number
}

// thickPlace is a place with a number.
type thickPlace struct {
	at   r3.Vec // in the scene
	text string
}

func drawThickness(ctx context.Context, m *mesh.Mesh, p *analysis.Plan, mm []float32, o Options) (*drawnHeat, error) {
	switch {
	case m == nil || len(m.Faces) == 0:
		return nil, errors.New("there is no pattern to draw: the mesh has no faces")
	case p == nil:
		return nil, errors.New("there is no plan to draw")
	case len(mm) != len(m.Vertices):
		return nil, fmt.Errorf("there are %d thicknesses for %d vertices", len(mm), len(m.Vertices))
	}
	s := newThickness(m, p, mm, o)
	c := newCanvas()
	d := &drawnHeat{canvas: c, page: s.page(c.letters)}
	s.list(c.letters, &d.page)
	c.drawVerdict(d.page)
	if err := s.drawViews(ctx, d); err != nil {
		return nil, err
	}
	c.drawScale(d.page)
	c.drawThickPlaces(s, d)
	c.drawKey(d.page)
	c.drawProblems(d.page)
	c.drawThicknessBar(s)
	return d, ctx.Err()
}

func newThickness(m *mesh.Mesh, p *analysis.Plan, mm []float32, o Options) *thickness {
	s := &thickness{wall: p.Wall, top: thickest(p.Wall, mm)}
	score := make([]float32, len(mm))
	for v, x := range mm {
		score[v] = float32(min(float64(x)/s.top, 1)) // NaN stays
		if math.IsNaN(float64(x)) {
			score[v] = x
		}
	}
	s.heatScene = newHeatScene(m, p, score, o.Show)
	s.caption = "How thick the rubber is: to walls, level and board, and across webs"
	s.heatScene.views, s.sizeRight, s.border = thicknessViews, thicknessViews.X1, markRoom
	s.lookAt(func(score float64) float64 { return 1.05 - score })
	s.setPlaces()
	s.rows = s.keyRows()
	s.keyAt = point{thicknessBars.X0, pageFoot - keyRow*float64(len(s.rows)) - 6*float64(len(s.rows)-1)}
	return s
}

// thickest is the thickness at the upper end of the bar: a round number of
// millimetres past what is wasted, or past all there is.
func thickest(w analysis.Wall, mm []float32) float64 {
	most := 0.0
	for _, x := range mm {
		if v := float64(x); v > most && !math.IsInf(v, 1) { // not NaN
			most = v
		}
	}
	const past = 1.3
	if limit := past * max(w.WastedMM, w.FloppyMM, w.ThinMM); limit > 0 {
		most = limit
	}
	for _, step := range []float64{0.1, 1, 5} {
		if most <= 40*step || step == 5 {
			return math.Max(math.Ceil(most/step-1e-9)*step, step)
		}
	}
	return most
}

// setPlaces lists the thinnest place, then the webs as the plan lists them.
func (s *thickness) setPlaces() {
	const mostWebs = 6
	add := func(at [3]float64, text string) {
		s.places = append(s.places, thickPlace{r3.Sub(vec(at), s.middle), text})
	}
	if s.wall.MinMM > 0 {
		add(s.wall.MinAtMM, "thinnest wall "+s.words.length(s.wall.MinMM))
	}
	for i, w := range s.wall.Webs {
		if i == mostWebs {
			s.more = len(s.wall.Webs) - mostWebs
			break
		}
		add(w.AtMM, "web "+s.words.length(w.ThicknessMM)+" thin")
	}
}

// list puts what is marked under the bar, as many rows as there is room for.
func (s *thickness) list(t *typefaces, p *page) {
	const gap = 34.0
	room := s.keyAt.Y - thicknessBar.Y1 - 2*gap
	var rows []found
	row := func(number int, text string) found {
		return found{number: number, lines: t.wrapped(normal, text, pageRight-thicknessBars.X0-entryIndent, 2)}
	}
	for i, place := range s.places {
		rows = append(rows, row(i+1, place.text))
	}
	for left := s.more; ; left++ {
		all := rows
		if left > 0 {
			all = append(rows[:len(rows):len(rows)], row(0, "and "+strconv.Itoa(left)+" more"))
		}
		if highOf(all) <= room || len(rows) < 2 {
			p.entries = placed(all, thicknessBars.X0, thicknessBar.Y1+gap)
			s.places = s.places[:len(rows)]
			return
		}
		rows = rows[:len(rows)-1]
	}
}

// keyRows name what has no number.
func (s *thickness) keyRows() []entry {
	all := []entry{{"touches board or stem: no rubber", func(c *canvas, p point) { c.swatch(noHeat, 1, faint, p) }}}
	return append(all, s.keyEntries()...)
}

// drawThickPlaces draws the numbers at their places, as those of a scan's problems.
func (c *canvas) drawThickPlaces(s *thickness, d *drawnHeat) {
	drop := 0.006*s.size + 2/d.page.scale
	marks := make([]worthMark, len(s.places))
	for i, place := range s.places {
		marks[i] = worthMark{number: i + 1, at: place.at}
		for k := range d.views {
			v := &d.views[k]
			marks[i].shown[k] = v.shows(place.at, drop)
			if on := v.cam.at(place.at); v.holds(on) { // no number covers the place of another
				v.taken = append(v.taken, around(on, hiddenRing, hiddenRing))
			}
		}
	}
	for k := range d.views {
		for _, m := range marks {
			c.drawMark(&d.views[k], m, m.shown[k], !m.shown[1-k] && k == 0)
		}
	}
}
