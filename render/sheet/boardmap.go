package sheet

import (
	"math"

	"pourwright/analysis"
)

// boardMap is the box seen from above: spout, posts and cut on the board.
type boardMap struct {
	Wide, High       px // of the whole drawing
	X, Y, BoxW, BoxH px // inside of the box
	MidX, MidY       px
	Spout            dot
	Posts            []dot
	Cut              *line
}

type dot struct {
	X, Y, R, TextY px
	Number         int
}

const (
	mapRoom   = 30  // around the box, for the names of the walls
	mapInside = 290 // longest inside side
	mapTall   = 230 // largest inside height
)

// drawBoard draws the map, or gives nil when there is no box.
func drawBoard(p *analysis.Plan) *boardMap {
	long, short := p.Box.InsideMM[0], p.Box.InsideMM[1]
	if !drawable(long, short) {
		return nil
	}
	perMM := math.Min(mapInside/long, mapTall/short)
	at := func(x, y float64) (px, px) {
		return px(mapRoom + (x+long/2)*perMM), px(mapRoom + (short/2-y)*perMM)
	}
	m := &boardMap{
		Wide: px(long*perMM + 2*mapRoom), High: px(short*perMM + 2*mapRoom),
		X: mapRoom, Y: mapRoom, BoxW: px(long * perMM), BoxH: px(short * perMM),
	}
	m.MidX, m.MidY = m.Wide/2, m.High/2
	spout := spoutInBox(p)
	m.Spout.X, m.Spout.Y = at(spout[0], spout[1])
	m.Spout.R = px(math.Max(p.Stand.SpoutDiameterMM/2*perMM, 4))
	for _, one := range posts(p) {
		d := dot{R: 9, Number: one.Number}
		d.X, d.Y = at(one.FootAt[0], one.FootAt[1])
		d.TextY = d.Y + 4.5
		m.Posts = append(m.Posts, d)
	}
	if ends, ok := cutEnds(p); ok && math.Abs(p.Cut.Normal[2]) < 0.1 {
		var l line
		l.X1, l.Y1 = at(ends[0].X, ends[0].Y)
		l.X2, l.Y2 = at(ends[1].X, ends[1].Y)
		m.Cut = &l
	}
	return m
}
