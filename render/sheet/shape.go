package sheet

import (
	"math"
	"strconv"
	"strings"

	"pourwright/analysis"
)

// Round tells whether the box is a tube, Bent whether its wall is bent round
// the part.
func (v *page) Round() bool { return v.Box.Shape == "tube" && v.Box.RadiusMM != nil }
func (v *page) Bent() bool  { return v.Box.Shape == "faceted" }

// AcrossMM is the width of a tube, inside.
func (v *page) AcrossMM() float64 { return 2 * *v.Box.RadiusMM }

// filler is a piece that takes the place of rubber.
type filler struct {
	analysis.Filler
	Name     string
	From, To place // corners of the rectangle round its foot
}

func fillers(p *analysis.Plan) []filler {
	var all []filler
	for i, f := range p.Box.Fillers {
		low, high := around(f.FootMM)
		all = append(all, filler{f, "F" + strconv.Itoa(i+1), placeOf(p, [3]float64{low[0], low[1], 0}), placeOf(p, [3]float64{high[0], high[1], 0})})
	}
	return all
}

// around is the rectangle round points.
func around(points [][2]float64) (low, high [2]float64) {
	for i, p := range points {
		for k := range 2 {
			if i == 0 || p[k] < low[k] {
				low[k] = p[k]
			}
			if i == 0 || p[k] > high[k] {
				high[k] = p[k]
			}
		}
	}
	return low, high
}

// letter names the piece on row i of the cut list: A, B, … Z, 27 …
func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return strconv.Itoa(i + 1)
}

// sheetMap is one sheet of board with the pieces on it.
type sheetMap struct {
	Wide, High px
	Sheet      rect
	Pieces     []sheetPiece
	SizeMM     [2]float64
}

type sheetPiece struct {
	rect
	Letter   string
	MidX, By px // of the letter
	Tiny     bool
}

const (
	tinyPiece = 15 // a side below which a letter is written small
	tinyDrop  = 2  // of its line against one of full size
)

const (
	sheetWide = 270 // of a drawing of a sheet
	sheetTall = 140
	sheetRoom = 2
)

// drawSheets draws the sheets with the pieces lettered as on the cut list.
func drawSheets(p *analysis.Plan) []sheetMap {
	letters := map[string]string{}
	for i, panel := range p.Box.Panels {
		letters[panel.Name] = letter(i)
	}
	var all []sheetMap
	for _, one := range p.Box.Sheets {
		if !drawable(one.SizeMM[0], one.SizeMM[1]) {
			continue
		}
		perMM := math.Min(sheetWide/one.SizeMM[0], sheetTall/one.SizeMM[1])
		m := sheetMap{Wide: px(one.SizeMM[0]*perMM + 2*sheetRoom), High: px(one.SizeMM[1]*perMM + 2*sheetRoom), SizeMM: one.SizeMM}
		m.Sheet = rect{sheetRoom, sheetRoom, px(one.SizeMM[0] * perMM), px(one.SizeMM[1] * perMM)}
		for _, piece := range one.Pieces {
			wide, tall := piece.LengthMM, piece.WidthMM
			if piece.Turned {
				wide, tall = tall, wide
			}
			r := rect{px(sheetRoom + piece.XMM*perMM), px(sheetRoom + piece.YMM*perMM), px(wide * perMM), px(tall * perMM)}
			one := sheetPiece{r, letters[piece.Name], r.X + r.W/2, r.Y + r.H/2 + 5, min(r.W, r.H) < tinyPiece}
			if one.Tiny {
				one.By -= tinyDrop
			}
			m.Pieces = append(m.Pieces, one)
		}
		all = append(all, m)
	}
	return all
}

// stock is sheets of one size to buy.
type stock struct {
	Count  int
	SizeMM [2]float64
}

func stocks(p *analysis.Plan) []stock {
	var all []stock
next:
	for _, one := range p.Box.Sheets {
		for i := range all {
			if all[i].SizeMM == one.SizeMM {
				all[i].Count++
				continue next
			}
		}
		all = append(all, stock{1, one.SizeMM})
	}
	return all
}

// polygon is points as an SVG path.
func polygon(points [][2]float64, at func(x, y float64) (px, px)) string {
	var d strings.Builder
	for i, p := range points {
		x, y := at(p[0], p[1])
		d.WriteString(string("ML"[min(i, 1)]) + x.String() + " " + y.String())
	}
	d.WriteString("Z")
	return d.String()
}
