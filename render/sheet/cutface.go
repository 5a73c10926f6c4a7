package sheet

import (
	"math"
	"strings"

	"pourwright/analysis"
	"pourwright/render/say"
)

// cutFace is the block opened along the cut: the outline of the part in it,
// the spout at the bottom, as it stands while rubber is poured.
type cutFace struct {
	Wide, High px
	Block      *rect
	Part       string // path of the outline
	Stem       *rect
	Spout      *line
	Bar        scaleBar
	BarX, BarY px
	BarEnd     px
	BarText    px
	Walls      []label // at the sides of an upright cut

	// Paths; empty where there is none.
	Rim    string // outside of the block, of a cut that is not upright
	Land   string
	Keys   string
	Slit   string
	Hatch  string // of the rubber left whole, all over the block
	Opened string // the rubber cut, which covers the hatch
	Stop   string // where the knife stops
}

// label is a text that starts or ends at X and stands on Y.
type label struct {
	Text, Anchor string // Anchor is "start" or "end"
	X, Y         px
}

// wide is the room that a label takes, reckoned generously: fonts differ.
func (l label) wide() px { return letterWide * px(len([]rune(l.Text))) }

type rect struct{ X, Y, W, H px }

const (
	faceWide   = 350 // widest drawing
	faceTall   = 285
	faceRoom   = 16
	letterWide = 8.4 // of the drawings' type, more than the mean letter
	labelHigh  = 22  // room for a line of type
	labelGap   = 8
	// thinner is the least distance between drawn points, so that an outline
	// of thousands of points stays small.
	thinner = 0.6
)

// window maps the plane's own coordinates (mm right, mm up) to the drawing, in
// which the corner (left, top) lies at (atX, atY).
type window struct {
	left, top, perMM float64
	atX, atY         float64
}

func (w window) x(mm float64) float64 { return w.atX + (mm-w.left)*w.perMM }
func (w window) y(mm float64) float64 { return w.atY + (w.top-mm)*w.perMM }

// planeAxes are the directions right and up within the cut, with right towards
// larger x (then y).
func planeAxes(n [3]float64) (right, up [3]float64) {
	flat := math.Hypot(n[0], n[1])
	if flat < 1e-9 {
		return [3]float64{1, 0, 0}, [3]float64{0, 1, 0}
	}
	right = [3]float64{-n[1] / flat, n[0] / flat, 0}
	if right[0] < -1e-9 || math.Abs(right[0]) <= 1e-9 && right[1] < 0 {
		right[0], right[1] = -right[0], -right[1]
	}
	size := math.Sqrt(flat*flat + n[2]*n[2])
	tilt := -n[2] / (size * flat)
	return right, [3]float64{n[0] * tilt, n[1] * tilt, flat / size}
}

func dot3(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// drawCut draws the cut face, or gives nil when there is no outline.
func drawCut(p *analysis.Plan, s say.Style) *cutFace {
	loops := flatten(p.Cut)
	if len(loops) == 0 {
		return nil
	}
	low, high := extent(loops)
	ends, upright := cutEnds(p)
	upright = upright && math.Abs(p.Cut.Normal[2]) < 0.02
	right, _ := planeAxes(p.Cut.Normal)
	if upright {
		for _, e := range ends {
			u := e.X*right[0] + e.Y*right[1]
			low[0], high[0] = math.Min(low[0], u), math.Max(high[0], u)
		}
		low[1], high[1] = math.Min(low[1], 0), math.Max(high[1], p.Box.RubberLevelMM)
	}
	rim := onto(p.Cut.Normal)(p.Cut.Rim)
	if len(rim) > 2 {
		low, high = extent([][][2]float64{{low, high}, rim})
	}
	wide, tall := high[0]-low[0], high[1]-low[1]
	if !drawable(wide, tall) {
		return nil
	}
	w := window{low[0], high[1], math.Min((faceWide-2*faceRoom)/wide, (faceTall-2*faceRoom)/tall), faceRoom, faceRoom}
	f := &cutFace{}
	if upright {
		f.nameWalls(ends, &w, low, high)
	}
	f.Part = path(loops, w)
	if !upright {
		f.Rim = trace(rim, w, true)
	}
	f.open(p, w)
	f.Wide = max(f.Wide, px(w.x(high[0])+faceRoom))
	f.High = px(w.y(low[1]) + faceRoom + 34)
	f.addBar(barFor(wide, w.perMM, s), w.x(low[0]), w.y(low[1])+26)
	if upright {
		f.addBlock(p, w, ends, right)
	}
	return f
}

// nameWalls puts the names of the walls over the corners of a block between
// low and high, or beside one too narrow for both, and makes room for them.
func (f *cutFace) nameWalls(ends [2]cutEnd, w *window, low, high [2]float64) {
	l := label{Text: ends[0].Name(), Anchor: "start"}
	r := label{Text: ends[1].Name(), Anchor: "end"}
	if px((high[0]-low[0])*w.perMM) >= l.wide()+r.wide()+2*labelGap {
		w.atY += labelHigh - labelGap
		l.X, r.X = px(w.x(low[0])), px(w.x(high[0]))
		l.Y = px(w.y(high[1])) - labelGap
	} else {
		w.atX += float64(l.wide()) + labelGap - faceRoom
		l.Anchor, r.Anchor = "end", "start"
		l.X, r.X = px(w.x(low[0]))-labelGap, px(w.x(high[0]))+labelGap
		l.Y = px(w.y((low[1]+high[1])/2)) + 5
		f.Wide = r.X + r.wide()
	}
	r.Y = l.Y
	f.Walls = []label{l, r}
}

// addBar adds the scale bar below the drawing, and room for what it says.
func (f *cutFace) addBar(bar scaleBar, x, y float64) {
	f.Bar, f.BarX, f.BarY = bar, px(x), px(y)
	f.BarEnd, f.BarText = f.BarX+bar.Wide, f.BarX+bar.Wide+10
	f.Wide = max(f.Wide, f.BarText+label{Text: bar.Label}.wide())
}

// addBlock adds what an upright cut shows besides the part.
func (f *cutFace) addBlock(p *analysis.Plan, w window, ends [2]cutEnd, right [3]float64) {
	from := ends[0].X*right[0] + ends[0].Y*right[1]
	to := ends[1].X*right[0] + ends[1].Y*right[1]
	level := p.Box.RubberLevelMM
	f.Block = &rect{px(w.x(from)), px(w.y(level)), px((to - from) * w.perMM), px(level * w.perMM)}
	if p.Stand.SpoutDiameterMM > 0 {
		mid, half := dot3(spoutInBox(p), right), p.Stand.SpoutDiameterMM/2
		f.Spout = &line{px(w.x(mid - half)), px(w.y(0)), px(w.x(mid + half)), px(w.y(0))}
		if stem := p.Stand.StemMM; stem > 0 {
			f.Stem = &rect{f.Spout.X1, px(w.y(stem)), f.Spout.X2 - f.Spout.X1, px(stem * w.perMM)}
		}
	}
}

// flatten gives the outline in the plane's own coordinates.
func flatten(c analysis.Cut) [][][2]float64 {
	if !(dot3(c.Normal, c.Normal) > 0) {
		return nil
	}
	right, up := planeAxes(c.Normal)
	var loops [][][2]float64
	for _, loop := range c.Outline {
		var flat [][2]float64
		for _, p := range loop {
			flat = append(flat, [2]float64{dot3(p, right), dot3(p, up)})
		}
		if len(flat) > 2 {
			loops = append(loops, flat)
		}
	}
	return loops
}

func extent(loops [][][2]float64) (low, high [2]float64) {
	low = [2]float64{math.Inf(1), math.Inf(1)}
	high = [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, loop := range loops {
		for _, p := range loop {
			for k := range 2 {
				low[k], high[k] = math.Min(low[k], p[k]), math.Max(high[k], p[k])
			}
		}
	}
	return low, high
}

// path is the outline as an SVG path, without points too close to see.
func path(loops [][][2]float64, w window) string {
	var d strings.Builder
	for _, loop := range loops {
		command := "M"
		var lastX, lastY float64
		for _, p := range loop {
			x, y := w.x(p[0]), w.y(p[1])
			if command == "L" && math.Hypot(x-lastX, y-lastY) < thinner {
				continue
			}
			d.WriteString(command + px(x).String() + " " + px(y).String())
			command, lastX, lastY = "L", x, y
		}
		d.WriteString("Z")
	}
	return d.String()
}
