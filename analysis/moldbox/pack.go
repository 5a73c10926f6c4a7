package moldbox

import (
	"cmp"
	"math"
	"slices"
)

// Piece is one rectangle to cut.
type Piece struct {
	Name              string
	LengthMM, WidthMM float64
}

// Placed is a piece on a sheet, its corner nearest to the origin at X, Y.
type Placed struct {
	Piece
	XMM, YMM float64
	Turned   bool // its length runs along the sheet's width
}

// size along the sheet's length and width.
func (p Placed) size() (x, y float64) {
	if p.Turned {
		return p.WidthMM, p.LengthMM
	}
	return p.LengthMM, p.WidthMM
}

// Sheets lays pieces on sheets of one size with a kerf between them, on as few
// sheets as it finds, and returns those that are too large for any sheet. Pieces
// may be turned when turn is true, which the grain of plywood forbids.
//
// It is the method of maximal free rectangles with the best fit of the shorter
// side, tried for three orders of the pieces. Source: Jylänki, "A thousand ways to
// pack the bin", 2010 (from memory).
func Sheets(pieces []Piece, sheetMM [2]float64, kerfMM float64, turn bool) (sheets [][]Placed, tooLarge []Piece) {
	orders := []func(p Piece) float64{
		func(p Piece) float64 { return p.LengthMM * p.WidthMM },
		func(p Piece) float64 { return max(p.LengthMM, p.WidthMM) },
		func(p Piece) float64 { return min(p.LengthMM, p.WidthMM) },
	}
	for _, size := range orders {
		sorted := slices.Clone(pieces)
		slices.SortStableFunc(sorted, func(a, b Piece) int { return cmp.Compare(size(b), size(a)) })
		tried, over := layOut(sorted, sheetMM, kerfMM, turn)
		if sheets == nil || len(tried) < len(sheets) {
			sheets, tooLarge = tried, over
		}
	}
	return sheets, tooLarge
}

// free is a free rectangle of a sheet.
type free struct{ x0, y0, x1, y1 float64 }

func layOut(pieces []Piece, sheetMM [2]float64, kerf float64, turn bool) (sheets [][]Placed, tooLarge []Piece) {
	var room [][]free
	for _, p := range pieces {
		at, placed := -1, Placed{}
		for i := range room {
			if q, fits := place(grown(p, kerf), room[i], turn); fits {
				at, placed = i, Placed{p, q.XMM, q.YMM, q.Turned}
				break
			}
		}
		if at < 0 {
			// A cut is also made past the last piece, but not past the sheet.
			whole := []free{{0, 0, sheetMM[0] + kerf, sheetMM[1] + kerf}}
			q, fits := place(grown(p, kerf), whole, turn)
			if !fits {
				tooLarge = append(tooLarge, p)
				continue
			}
			at, placed = len(room), Placed{p, q.XMM, q.YMM, q.Turned}
			room, sheets = append(room, whole), append(sheets, nil)
		}
		sheets[at] = append(sheets[at], placed)
		x, y := placed.size()
		room[at] = cutOut(room[at], free{placed.XMM, placed.YMM, placed.XMM + x + kerf, placed.YMM + y + kerf})
	}
	return sheets, tooLarge
}

func grown(p Piece, kerf float64) Piece {
	p.LengthMM += kerf
	p.WidthMM += kerf
	return p
}

// place finds the free rectangle in which the shorter side that is left over is
// least, then the longer one.
func place(p Piece, room []free, turn bool) (best Placed, fits bool) {
	short, long := math.Inf(1), math.Inf(1)
	for _, f := range room {
		for _, turned := range []bool{false, true} {
			if turned && !turn {
				continue
			}
			q := Placed{p, f.x0, f.y0, turned}
			x, y := q.size()
			dx, dy := f.x1-f.x0-x, f.y1-f.y0-y
			if dx < -1e-9 || dy < -1e-9 {
				continue
			}
			if s, l := min(dx, dy), max(dx, dy); s < short || s == short && l < long {
				short, long, best, fits = s, l, q, true
			}
		}
	}
	return best, fits
}

// cutOut cuts a used rectangle out of free ones, and drops those that lie in
// others.
func cutOut(room []free, used free) []free {
	var left []free
	for _, f := range room {
		if used.x0 >= f.x1 || used.x1 <= f.x0 || used.y0 >= f.y1 || used.y1 <= f.y0 {
			left = append(left, f)
			continue
		}
		for _, part := range []free{{f.x0, f.y0, used.x0, f.y1}, {used.x1, f.y0, f.x1, f.y1}, {f.x0, f.y0, f.x1, used.y0}, {f.x0, used.y1, f.x1, f.y1}} {
			if part.x1 > part.x0 && part.y1 > part.y0 {
				left = append(left, part)
			}
		}
	}
	var kept []free
	for i, f := range left {
		if !slices.ContainsFunc(left[:i], func(g free) bool { return g.holds(f) }) &&
			!slices.ContainsFunc(left[i+1:], func(g free) bool { return g.holds(f) && g != f }) {
			kept = append(kept, f)
		}
	}
	return kept
}

func (f free) holds(g free) bool { return f.x0 <= g.x0 && f.y0 <= g.y0 && f.x1 >= g.x1 && f.y1 >= g.y1 }
