package sheet

import (
	"math"
	"strconv"

	"pourwright/analysis"
	"pourwright/render/say"
)

// bedMap is the box on its side from above at the first pour: the part in the clay, the
// keys by number, the spout end and the posts.
type bedMap struct {
	Wide, High       px
	X, Y, BoxW, BoxH px
	MidX, MidY       px
	Part             string
	Spout            line
	Stem             string
	Posts            []string
	Steps            []line
	Heights          []string // contours, as paths
	Keys             []keyOval
	Names            [4]string // of the walls: left, right, above and below the map
	Labels           []mapText
	loops            [][][2]float64 // of the part, y up
	lain             []rect         // the posts
	lined            bool           // steps or contours cross the map
	Bar              scaleBar
	BarX, BarY       px
	BarEnd, BarText  px
}

// keyOval is a key, as an ellipse turned about its middle.
type keyOval struct {
	X, Y, RX, RY px
	Turn         px // degrees clockwise, as SVG turns
	Number       int
}

// mapText is a word in the map, in the middle of its room.
type mapText struct {
	Text       string
	X, Y       px
	wide, high px
	Over       bool // lines may pass below it
}

const (
	bedLong    = 600 // longest inside side
	bedTall    = 300
	shapedTall = 350 // with contours
	bedRoom    = 34
	bedLetter  = 7.2 // mean width of a figure in the map's type
	bedLine    = 12
	leastOval  = 13 // narrowest oval that holds its number
)

// drawBed draws the map, or gives nil of a block.
func drawBed(p *analysis.Plan, s units) *bedMap {
	t := p.TwoPart
	if t == nil || !drawable(t.InsideMM[0], t.InsideMM[1]) {
		return nil
	}
	long, short := t.InsideMM[0], t.InsideMM[1]
	tall := float64(bedTall)
	if len(t.Contours) > 0 {
		tall = shapedTall
	}
	perMM := math.Min(bedLong/long, tall/short)
	m := &bedMap{Wide: px(long*perMM + 2*bedRoom), High: px(short*perMM + 2*bedRoom + 26), X: bedRoom, Y: bedRoom, BoxW: px(long * perMM), BoxH: px(short * perMM)}
	m.MidX, m.MidY = m.X+m.BoxW/2, m.Y+m.BoxH/2
	flat := func(x, y float64) (px, px) {
		return px(bedRoom + (x+long/2)*perMM), px(bedRoom + (short/2-y)*perMM)
	}
	at := func(q [3]float64) (px, px) { l := t.Lying(q); return flat(l[0], l[1]) }
	for i, out := range [4][3]float64{{-1, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, -1, 0}} {
		m.Names[i] = wallWords[t.SideOf(out)]
	}
	m.lined = len(p.Cut.Steps) > 0 || len(t.Contours) > 0
	m.addPart(p, at)
	m.addSpout(p, at, perMM)
	m.addHeights(t, at)
	m.addKeys(t, at, perMM)
	m.addPosts(p, at, perMM)
	m.addSteps(p, s, flat)
	m.nameHeights(t, s, at)
	m.Bar = barFor(long, perMM, s.style)
	m.BarX, m.BarY = m.X, m.High-8
	m.BarEnd, m.BarText = m.BarX+m.Bar.Wide, m.BarX+m.Bar.Wide+10
	m.Wide = max(m.Wide, m.BarText+label{Text: m.Bar.Label}.wide())
	return m
}

type toMap func(q [3]float64) (px, px)

func (m *bedMap) addPart(p *analysis.Plan, at toMap) {
	var loops [][][2]float64
	for _, loop := range p.Cut.Outline {
		var flat [][2]float64
		for _, q := range loop {
			x, y := at(q)
			flat = append(flat, [2]float64{float64(x), -float64(y)})
		}
		if len(flat) > 2 {
			loops = append(loops, flat)
		}
	}
	m.loops, m.Part = loops, path(loops, window{perMM: 1})
}

// addSpout draws the spout on its wall, and the stem to it.
func (m *bedMap) addSpout(p *analysis.Plan, at toMap, perMM float64) {
	foot := spoutInBox(p)
	foot[2] = p.Stand.StemMM
	topX, topY := at(foot)
	foot[2] = 0
	x, y := at(foot)
	ahead, r := p.TwoPart.Turned([3]float64{0, 0, 1}), p.Stand.SpoutDiameterMM/2*perMM
	dx, dy := px(ahead[1]*r), px(ahead[0]*r)
	m.Spout = line{x - dx, y - dy, x + dx, y + dy}
	if p.Stand.StemMM > 0 {
		m.Stem = quad(x-dx, y-dy, x+dx, y+dy, topX+dx, topY+dy, topX-dx, topY-dy)
	}
}

// quad is a figure of four corners as an SVG path.
func quad(c ...px) string {
	d := "M" + c[0].String() + " " + c[1].String()
	for i := 2; i < len(c); i += 2 {
		d += "L" + c[i].String() + " " + c[i+1].String()
	}
	return d + "Z"
}

func (m *bedMap) addPosts(p *analysis.Plan, at toMap, perMM float64) {
	for _, one := range posts(p) {
		x, y := at([3]float64{one.BoardMM[0], one.BoardMM[1], 0})
		u, v := at(one.FromMM)
		d := math.Hypot(float64(u-x), float64(v-y))
		if !(d > 0) {
			continue
		}
		half := math.Max(one.DiameterMM*perMM/2, 1.5)
		dx, dy := px(float64(y-v)/d*half), px(float64(u-x)/d*half)
		m.lain = append(m.lain, rect{min(x, u) - px(half), min(y, v) - px(half), max(x, u) - min(x, u) + 2*px(half), max(y, v) - min(y, v) + 2*px(half)})
		m.Posts = append(m.Posts, quad(x+dx, y+dy, x-dx, y-dy, u-dx, v-dy, u+dx, v+dy))
		m.label("post "+strconv.Itoa(one.Number), (x+u)/2, (y+v)/2, px(math.Max(half, math.Abs(float64(x-u))/2)), px(math.Max(half, math.Abs(float64(y-v))/2)))
	}
}

// addSteps draws the corners of a stepped bed across the box.
func (m *bedMap) addSteps(p *analysis.Plan, s units, flat func(x, y float64) (px, px)) {
	t := p.TwoPart
	if p.Cut.StepsAlong == nil {
		return
	}
	along := t.Turned(*p.Cut.StepsAlong)
	for _, step := range p.Cut.Steps {
		at := p.Cut.PointMM
		for k := range at {
			at[k] += step.AtMM*p.Cut.StepsAlong[k] + step.OffsetMM*p.Cut.Normal[k]
		}
		l := t.Lying(at)
		ends, ok := cutRectangle([2]float64{t.InsideMM[0] / 2, t.InsideMM[1] / 2}, [2]float64{l[0], l[1]}, [2]float64{-along[1], along[0]})
		if !ok {
			continue
		}
		var one line
		one.X1, one.Y1 = flat(ends[0].X, ends[0].Y)
		one.X2, one.Y2 = flat(ends[1].X, ends[1].Y)
		m.Steps = append(m.Steps, one)
		words := s.Length(l[2])
		if s.Both() { // there is room for one
			words = keep(say.Metric.Length(l[2]))
		}
		m.nameStep(one, words)
	}
}

// nameStep writes a height over the line of a step where there is room; all of them stand
// beside the map.
func (m *bedMap) nameStep(l line, words string) {
	const along = 24
	one := mapText{Text: words, wide: bedLetter * px(len([]rune(words))), high: bedLine, Over: true}
	for k := 1; k < along; k++ {
		share := px(k) / along
		one.X, one.Y = l.X1+share*(l.X2-l.X1), l.Y1+share*(l.Y2-l.Y1)+4
		if m.free(one) && m.beside(one.box()) {
			m.Labels = append(m.Labels, one)
			return
		}
	}
}

// mapHeightMM is from one contour of the map to the next.
const mapHeightMM = 10

// onMap tells whether a contour is drawn.
func onMap(c analysis.BedContour) bool {
	return math.Abs(math.Remainder(c.HeightMM, mapHeightMM)) < 0.01
}

// addHeights draws contours of a shaped bed, which the part then covers.
func (m *bedMap) addHeights(t *analysis.TwoPart, at toMap) {
	for _, c := range t.Contours {
		for _, l := range c.Lines {
			if !onMap(c) || len(l.Points) < 2 {
				continue
			}
			d := ""
			for i, q := range l.Points {
				x, y := at(q)
				d += string("ML"[min(i, 1)]) + x.String() + " " + y.String()
			}
			if l.Closed {
				d += "Z"
			}
			m.Heights = append(m.Heights, d)
		}
	}
}

// nameHeights writes the height on each contour once, where there is room.
func (m *bedMap) nameHeights(t *analysis.TwoPart, s units, at toMap) {
	for _, c := range t.Contours {
		if onMap(c) {
			words := s.Length(c.HeightMM)
			if s.Both() { // there is room for one
				words = keep(say.Metric.Length(c.HeightMM))
			}
			m.nameHeight(c, words, at)
		}
	}
}

func (m *bedMap) nameHeight(c analysis.BedContour, words string, at toMap) {
	one := mapText{Text: words, wide: bedLetter * px(len([]rune(words))), high: bedLine, Over: true}
	for _, l := range c.Lines {
		// From the middle of the line outwards.
		for k := range l.Points {
			i := len(l.Points)/2 + (k+1)/2*(1-2*(k%2))
			if i < 0 || i >= len(l.Points) {
				continue
			}
			one.X, one.Y = at(l.Points[i])
			one.Y += 4
			if m.free(one) && m.beside(one.box()) {
				m.Labels = append(m.Labels, one)
				return
			}
		}
	}
}

// beside tells whether a rectangle lies beside the part all over, and beside the posts.
func (m *bedMap) beside(r rect) bool {
	const across = 8
	for i := range across + 1 {
		for _, y := range [3]px{0, r.H / 2, r.H} {
			q, in := [2]float64{float64(r.X + r.W*px(i)/across), -float64(r.Y + y)}, false
			for _, loop := range m.loops {
				in = in != inside(loop, q)
			}
			if in {
				return false
			}
		}
	}
	for _, o := range m.lain {
		if r.overlaps(o) {
			return false
		}
	}
	return true
}

func (m *bedMap) addKeys(t *analysis.TwoPart, at toMap, perMM float64) {
	for i, k := range t.Keys {
		d := t.Turned(k.Along)
		one := keyOval{RX: px(k.LengthMM / 2 * perMM), RY: px(k.WidthMM / 2 * perMM), Turn: px(math.Atan2(-d[1], d[0]) * 180 / math.Pi), Number: i + 1}
		one.X, one.Y = at(k.AtMM)
		m.Keys = append(m.Keys, one)
	}
	for _, k := range m.Keys {
		number := strconv.Itoa(k.Number)
		if 2*min(k.RX, k.RY) >= leastOval {
			m.Labels = append(m.Labels, mapText{Text: number, X: k.X, Y: k.Y + 4, wide: bedLetter * px(len(number)), high: bedLine})
			continue
		}
		sin, cos := math.Sincos(float64(k.Turn) * math.Pi / 180)
		x, y := math.Hypot(float64(k.RX)*cos, float64(k.RY)*sin), math.Hypot(float64(k.RX)*sin, float64(k.RY)*cos)
		m.label(number, k.X, k.Y, px(x), px(y))
	}
}

// label writes a word beside something that reaches rx and ry from its middle, where it
// covers no other word and no key.
func (m *bedMap) label(text string, x, y, rx, ry px) {
	t := mapText{Text: text, wide: bedLetter * px(len([]rune(text))), high: bedLine, Over: m.lined}
	var first *mapText
	for _, away := range []px{2, 5, 9, 14, 20} {
		for _, side := range [][2]px{{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {1, -1}, {-1, -1}, {1, 1}, {-1, 1}} {
			t.X, t.Y = x+side[0]*(rx+away+t.wide/2), y+side[1]*(ry+away+t.high/2)+4
			if first == nil {
				one := t
				first = &one
			}
			if m.free(t) {
				m.Labels = append(m.Labels, t)
				return
			}
		}
	}
	m.Labels = append(m.Labels, *first)
}

// box is the room that a word takes.
func (t mapText) box() rect { return rect{t.X - t.wide/2, t.Y - 10, t.wide, t.high} }

func (a rect) overlaps(b rect) bool {
	return a.X < b.X+b.W && b.X < a.X+a.W && a.Y < b.Y+b.H && b.Y < a.Y+a.H
}

// onPart tells whether the line round the part passes through a rectangle, or its
// middle lies in the part.
func (m *bedMap) onPart(r rect) bool {
	in := false
	for _, loop := range m.loops {
		for _, q := range loop {
			if r.overlaps(rect{px(q[0]), px(-q[1]), 0.01, 0.01}) {
				return true
			}
		}
		in = in != inside(loop, [2]float64{float64(r.X + r.W/2), float64(-r.Y - r.H/2)})
	}
	return in
}

func (m *bedMap) free(t mapText) bool {
	r := t.box()
	if r.X < m.X || r.Y < m.Y || r.X+r.W > m.X+m.BoxW || r.Y+r.H > m.Y+m.BoxH {
		return false
	}
	for _, o := range m.Labels {
		if r.overlaps(o.box()) {
			return false
		}
	}
	if m.onPart(r) {
		return false
	}
	for _, k := range m.Keys {
		reach := max(k.RX, k.RY) * 0.8
		if r.overlaps(rect{k.X - reach, k.Y - reach, 2 * reach, 2 * reach}) {
			return false
		}
	}
	return true
}
