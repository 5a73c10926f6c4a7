package sheet

import (
	"math"
	"strconv"

	"pourwright/analysis"
)

// boardMap is the box seen from above: spout, posts, fillers and cut on the
// board.
type boardMap struct {
	Wide, High       px     // of the whole drawing
	X, Y, BoxW, BoxH px     // the rectangle round the inside of the box
	Outline          string // of a box of facets
	Round            *dot   // of a tube
	MidX, MidY       px
	Spout            dot
	Posts            []dot
	Tight            bool // posts stand close together and are drawn smaller
	Facets           []mapLabel
	Fillers          []mapFiller
	Cut              *line
}

type dot struct {
	X, Y, R, TextY px
	Number         int
}

type mapLabel struct {
	Text string
	X, Y px
}

type mapFiller struct {
	Path string
	mapLabel
}

const (
	mapRoom    = 30  // around the box, for the names of the walls
	mapInside  = 270 // longest inside side
	mapTall    = 180 // largest inside height
	facetRoom  = 12  // more of it, where facets are numbered
	facetApart = 11  // of its number from a facet
	tightPost  = 6   // radius of a post among close ones
)

// drawBoard draws the map, or gives nil when there is no box.
func drawBoard(p *analysis.Plan) *boardMap {
	long, short := p.Box.InsideMM[0], p.Box.InsideMM[1]
	if !drawable(long, short) {
		return nil
	}
	faceted := p.Box.Shape == "faceted" && len(p.Box.OutlineMM) > 2
	perMM, room := math.Min(mapInside/long, mapTall/short), float64(mapRoom)
	if faceted {
		room += facetRoom
	}
	at := func(x, y float64) (px, px) {
		return px(room + (x+long/2)*perMM), px(room + (short/2-y)*perMM)
	}
	m := &boardMap{
		Wide: px(long*perMM + 2*room), High: px(short*perMM + 2*room),
		X: px(room), Y: px(room), BoxW: px(long * perMM), BoxH: px(short * perMM),
	}
	m.MidX, m.MidY = m.Wide/2, m.High/2
	switch {
	case faceted:
		m.Outline = polygon(p.Box.OutlineMM, at)
		m.numberFacets(p.Box.OutlineMM, at)
	case p.Box.RadiusMM != nil:
		m.Round = &dot{X: m.MidX, Y: m.MidY, R: px(*p.Box.RadiusMM * perMM)}
	}
	for _, f := range fillers(p) {
		var mid [2]float64
		for _, corner := range f.FootMM {
			mid[0] += corner[0] / float64(len(f.FootMM))
			mid[1] += corner[1] / float64(len(f.FootMM))
		}
		x, y := at(mid[0], mid[1])
		m.Fillers = append(m.Fillers, mapFiller{polygon(f.FootMM, at), mapLabel{f.Name, x, y + 5}})
	}
	m.addSpoutAndPosts(p, at, perMM)
	if ends, ok := cutEnds(p); ok && math.Abs(p.Cut.Normal[2]) < 0.1 {
		var l line
		l.X1, l.Y1 = at(ends[0].X, ends[0].Y)
		l.X2, l.Y2 = at(ends[1].X, ends[1].Y)
		m.Cut = &l
	}
	return m
}

func (m *boardMap) addSpoutAndPosts(p *analysis.Plan, at func(x, y float64) (px, px), perMM float64) {
	spout := spoutInBox(p)
	m.Spout.X, m.Spout.Y = at(spout[0], spout[1])
	m.Spout.R = px(math.Max(p.Stand.SpoutDiameterMM/2*perMM, 4))
	for _, one := range posts(p) {
		d := dot{R: 9, Number: one.Number}
		d.X, d.Y = at(one.BoardMM[0], one.BoardMM[1])
		d.TextY = d.Y + 4.5
		m.Posts = append(m.Posts, d)
	}
	m.shrinkPosts()
}

// shrinkPosts draws all posts smaller where two would overlap.
func (m *boardMap) shrinkPosts() {
	for i, a := range m.Posts {
		for _, b := range m.Posts[:i] {
			m.Tight = m.Tight || math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)) < float64(a.R+b.R)
		}
	}
	if !m.Tight {
		return
	}
	for i := range m.Posts {
		m.Posts[i].R, m.Posts[i].TextY = tightPost, m.Posts[i].Y+3
	}
}

// numberFacets puts the number of each facet outside the middle of it. Facets
// run counter-clockwise from the first score's end of the strip.
func (m *boardMap) numberFacets(outline [][2]float64, at func(x, y float64) (px, px)) {
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		x, y := at((a[0]+b[0])/2, (a[1]+b[1])/2)
		size := math.Hypot(b[0]-a[0], b[1]-a[1])
		if !(size > 0) {
			continue
		}
		x += px(facetApart * (b[1] - a[1]) / size)
		y += px(facetApart * (b[0] - a[0]) / size)
		m.Facets = append(m.Facets, mapLabel{strconv.Itoa(i + 1), x, y + 5})
	}
}
