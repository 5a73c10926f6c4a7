package drawing

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"pourwright/analysis"
	"pourwright/render/say"
)

// uneven tells whether the clay stands higher in some places than in others.
func uneven(t *analysis.TwoPart) bool { return t.HighMM-t.LowMM > 0.5 }

// clayHeights is how high the clay stands, in words.
func clayHeights(t *analysis.TwoPart, show say.Style) string {
	if !uneven(t) {
		return show.Length(t.BedMM) + " over the board"
	}
	return "from " + show.Length(t.LowMM) + " to " + show.Length(t.HighMM) + " over the board"
}

// clayFact is the bed in figures.
func (b *bedPlan) clayFact() string {
	t := b.bed
	if !uneven(t) {
		return fmt.Sprintf("Clay: %s, %s of it.", clayHeights(t, b.show), b.show.Liquid(t.ClayMM3))
	}
	return fmt.Sprintf("Clay: %s; %s at the spout; %s of it.", clayHeights(t, b.show), b.show.Length(t.BedMM), b.show.Liquid(t.ClayMM3))
}

// unevenNotes say how to lay clay that is not level.
func (b *bedPlan) unevenNotes() []string {
	between := "Between the dots follow the part's outermost line. Away from the part let the clay rise and fall gently, as high as the thin lines say,"
	if len(b.bed.Contours) == 0 {
		between = "Between the dots follow the part's outermost line, and away from the part the steps,"
	}
	return []string{
		"Cut the part's outline out. While the clay is still low, lay the sheet on it round the part. At each dot push a stick upright down to the board, marked or cut to the height beside the dot: the clay meets the part so high. Take the sheet off, and build the clay up to the marks.",
		between + " and square to the part for its last " + b.show.Length(squareMM) + ". Then hold the sheet level over it, and prick the ovals straight down.",
	}
}

const (
	reachMM  = 12  // from a dot to words on the clay
	squareMM = 5   // of the bed next to the part that is pressed square to it
	dotMM    = 1.4 // across, of a dot on the parting line
)

// heightDots marks where the height of the parting line is told.
func (b *bedPlan) heightDots() {
	for _, p := range b.bed.Line {
		b.add(Circle{b.lay(p.AtMM), dotMM / 4, Pen{ink, dotMM / 2, nil}, "line-dot"})
	}
}

// heightLabels writes number and height beside each dot: on the clay where there is
// room, since what is inside the part is cut out.
func (b *bedPlan) heightLabels() {
	anywhere := func(Rect) bool { return true }
	for i, p := range b.bed.Line {
		words := b.lengths(p.HeightMM)
		words[0] = strconv.Itoa(i+1) + ": " + words[0]
		at := b.lay(p.AtMM)
		write := func(may func(Rect) bool) bool {
			return b.nearWhere(at, dotMM/2, dotMM/2, words, smallMM-0.2, "line-height", may)
		}
		onClay := func(r Rect) bool { return r.grown(reachMM).holds(Rect{at, at}) && b.onClay(r) }
		if !write(onClay) && !write(anywhere) {
			b.near(at, dotMM/2, dotMM/2, words, smallMM-0.2, "line-height")
		}
	}
}

// onClay tells whether words lie in the box and beside the part.
func (b *bedPlan) onClay(words Rect) bool {
	mid := Point{(words.Min.X + words.Max.X) / 2, (words.Min.Y + words.Max.Y) / 2}
	return b.insideBox().holds(words) && !b.inPart(mid)
}

func (b *bedPlan) insideBox() Rect {
	return bounds([]Point{b.at(-b.half[0], -b.half[1]), b.at(b.half[0], b.half[1])})
}

// partLoops is the parting line on paper.
func (b *bedPlan) partLoops() (loops [][]Point) {
	for _, loop := range b.plan.Cut.Outline {
		if len(loop) > 2 {
			loops = append(loops, b.lays(loop))
		}
	}
	return loops
}

func (b *bedPlan) inPart(p Point) bool {
	in := false
	for _, loop := range b.partLoops() {
		in = in != within(loop, p)
	}
	return in
}

// Contours are thin and light, and every other one a little less so.
var (
	contourPen = Pen{Colour: shade, WidthMM: 0.1}
	tensPen    = Pen{Colour: shade, WidthMM: 0.2}
)

const (
	tensMM       = 10  // heights that are drawn and labelled first
	contourGapMM = 0.4 // between a contour and what it breaks off at
	labelEveryMM = 150 // along a contour
	labelsApart  = 45  // mm, of one height
)

// isoline is a piece of a contour on paper.
type isoline struct {
	points   []Point
	heightMM float64
}

func (l isoline) tens() bool { return math.Abs(math.Remainder(l.heightMM, tensMM)) < 0.01 }

// contours draws the heights of a shaped bed into what the rest of the drawing leaves
// free, and labels them.
func (b *bedPlan) contours() {
	var lines []isoline
	free := b.freeOfContours()
	for _, c := range b.bed.Contours {
		for _, l := range c.Lines {
			points := b.lays(l.Points)
			if l.Closed && len(points) > 0 {
				points = append(points, points[0])
			}
			for _, run := range keptRuns(points, free) {
				lines = append(lines, isoline{run, c.HeightMM})
			}
		}
	}
	labels := len(b.Shapes)
	for _, tens := range []bool{true, false} {
		for i := range lines {
			if lines[i].tens() == tens {
				b.labelContour(lines, i)
			}
		}
	}
	free = clearOfTexts(b.Shapes[labels:])
	for _, l := range lines {
		pen := contourPen
		if l.tens() {
			pen = tensPen
		}
		for _, run := range keptRuns(l.points, free) {
			b.add(Path{run, pen, "contour"})
		}
	}
}

// freeOfContours tells where contours may be drawn: in the box, outside of the part and
// all that is drawn in the clay, and clear of words.
func (b *bedPlan) freeOfContours() func(Point) bool {
	loops, box := b.partLoops(), b.insideBox()
	var shapes []Poly
	for _, shape := range b.Shapes {
		if p, isPoly := shape.(Poly); isPoly && (p.Class == "key" || p.Class == "stem" || p.Class == "post") {
			shapes = append(shapes, p)
		}
	}
	words := clearOfTexts(b.Shapes)
	return func(q Point) bool {
		in := false
		for _, loop := range loops {
			in = in != within(loop, q)
		}
		if in || !box.holds(Rect{q, q}) || !words(q) {
			return false
		}
		for _, p := range shapes {
			if within(p.Points, q) {
				return false
			}
		}
		return true
	}
}

// clearOfTexts tells whether a point is clear of all texts of some shapes.
func clearOfTexts(shapes []Shape) func(Point) bool {
	var boxes []Rect
	for _, shape := range shapes {
		if t, isText := shape.(Text); isText {
			boxes = append(boxes, t.box().grown(contourGapMM))
		}
	}
	return func(q Point) bool {
		for _, r := range boxes {
			if r.holds(Rect{q, q}) {
				return false
			}
		}
		return true
	}
}

// keptRuns are the pieces of a line that may be kept, to a quarter of a millimetre.
func keptRuns(points []Point, keep func(Point) bool) (runs [][]Point) {
	const stepMM, leastMM = 0.25, 1.0
	var run []Point
	end := func() {
		if lengthOfPath(run) > leastMM {
			runs = append(runs, run)
		}
		run = nil
	}
	for i := 1; i < len(points); i++ {
		a, c := points[i-1], points[i]
		n := max(1, int(math.Ceil(math.Hypot(c.X-a.X, c.Y-a.Y)/stepMM)))
		on := func(k float64) Point { return a.plus((c.X-a.X)*k/float64(n), (c.Y-a.Y)*k/float64(n)) }
		for k := range n {
			if !keep(on(float64(k) + 0.5)) {
				end()
				continue
			}
			if run == nil {
				run = []Point{on(float64(k))}
			}
			if next := on(float64(k + 1)); k+1 == n || !keep(on(float64(k)+1.5)) {
				run = append(run, next)
			}
		}
	}
	end()
	return runs
}

func lengthOfPath(points []Point) (sum float64) {
	for i := 1; i < len(points); i++ {
		sum += math.Hypot(points[i].X-points[i-1].X, points[i].Y-points[i-1].Y)
	}
	return sum
}

// labelContour writes the height into a line where it is clear of all else and of the
// other lines, once or every so often.
func (b *bedPlan) labelContour(lines []isoline, n int) {
	const size, tryMM = 2.2, 2.0
	l := lines[n]
	words := []string{b.show.Length(l.heightMM)}
	if b.show == say.Both {
		words = append(words, say.Metric.Length(l.heightMM))
	}
	long := lengthOfPath(l.points)
	count := max(1, int(long/labelEveryMM))
	for k := range count {
		middle, reach := long*(float64(k)+0.5)/float64(count), long/float64(count)/2
		for try := 0.0; try < 2*reach/tryMM; try++ {
			at := middle + tryMM*math.Ceil(try/2)*(1-2*math.Mod(try, 2))
			if b.writeOn(lines, n, at, words, size) {
				break
			}
		}
	}
}

// writeOn writes the first of some words that fits into a line, so far along it. It
// tells whether one did.
func (b *bedPlan) writeOn(lines []isoline, n int, along float64, words []string, size float64) bool {
	at, to, ok := alongPath(lines[n].points, along)
	if !ok {
		return false
	}
	up := math.Abs(to.Y) > math.Abs(to.X)
	for _, w := range words {
		if room(w, size)+4 > lengthOfPath(lines[n].points) {
			continue
		}
		t := Text{at.plus(0, 0.36*size), size, w, Middle, up, shade, "contour-height"}
		if up {
			t.At = at.plus(0.36*size, 0)
		}
		r := t.box().grown(0.3)
		if b.insideBox().holds(r) && !b.labelledNear(t, words) && b.clear(r, true) && clearOfOthers(lines, n, r) {
			b.add(t)
			return true
		}
	}
	return false
}

// labelledNear tells whether one of some words stands on a contour close by.
func (b *bedPlan) labelledNear(t Text, words []string) bool {
	return slices.ContainsFunc(b.Shapes, func(shape Shape) bool {
		o, isText := shape.(Text)
		return isText && o.Class == t.Class && slices.Contains(words, o.Words) && math.Hypot(o.At.X-t.At.X, o.At.Y-t.At.Y) < labelsApart
	})
}

// clearOfOthers tells whether no line of another height passes through a rectangle.
func clearOfOthers(lines []isoline, n int, r Rect) bool {
	for _, l := range lines {
		if l.heightMM != lines[n].heightMM && r.touches(Path{Points: l.points}) {
			return false
		}
	}
	return true
}

// alongPath is the place so far along a path, and the way the path goes there.
func alongPath(points []Point, along float64) (at, to Point, ok bool) {
	for i := 1; i < len(points); i++ {
		a, c := points[i-1], points[i]
		d := math.Hypot(c.X-a.X, c.Y-a.Y)
		if d > 0 && along >= 0 && along <= d {
			to = Point{(c.X - a.X) / d, (c.Y - a.Y) / d}
			return a.plus(along*to.X, along*to.Y), to, true
		}
		along -= d
	}
	return at, to, false
}
