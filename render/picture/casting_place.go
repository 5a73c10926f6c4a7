package picture

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/render/say"
)

// tag is a label beside the block, tied to what it names.
type tag struct {
	name, value string
	letter      string // of an end of the cavity, before the value; empty for none
	before      bool   // it lies in front of the cut
	on          []point
	tint        tint // of the value
	spot
	placed bool
}

// castLayout is the view of the block with its labels.
type castLayout struct {
	cam   camera
	cased rect // block, boards, straps and lid
	tags  []tag
	rise  riseMark
	taken taken
}

// riseMark says beside the block how high the foam's liquid stands.
type riseMark struct {
	x             float64
	low, top, rim float64 // px
	label, then   rect
	lines, after  []string
}

// Thickness of boards and straps, in walls as they are drawn.
const (
	capThick   = 1.0
	strapThick = 0.35
	overLid    = 36.0 // px for arrows or the stream
)

// casedOutline is block, boards and straps.
func (k *casting) casedOutline() []r3.Vec {
	w, c := k.cut.wallThick(), k.cut
	side, ends := (1+strapThick)*w, (capThick+strapThick)*w
	return c.rectangle(stretch{c.behind.lo - side, c.behind.hi + side}, stretch{-ends, c.s.block.Max.Z + ends})
}

// largest makes the view as large as its labels allow in a room.
func (k *casting) largest(room rect) *castLayout {
	cam := k.cut.upright()
	bare := boundsOf(cam.all(k.casedOutline()))
	cam.scale = math.Min(room.wide()/bare.wide(), (room.high()-overLid)/bare.high())
	for {
		cam.origin = point{}
		l, ok := k.laidOut(cam)
		all := l.bounds()
		if ok && all.wide() <= room.wide() && all.high() <= room.high() || cam.scale*bare.wide() < 30 {
			l.move(room.middle().minus(all.middle()))
			return l
		}
		cam.scale *= 0.95
	}
}

// move shifts all of it. To lay it out anew elsewhere could put a label into another
// place that is as good, where it has no room.
func (l *castLayout) move(by point) {
	l.cam.origin = l.cam.origin.plus(by)
	l.cased = l.cased.moved(by)
	for i := range l.tags {
		g := &l.tags[i]
		g.box, g.leader = g.box.moved(by), [2]point{g.leader[0].plus(by), g.leader[1].plus(by)}
		for k := range g.on {
			g.on[k] = g.on[k].plus(by)
		}
	}
	r := &l.rise
	r.x, r.low, r.top, r.rim = r.x+by.X, r.low+by.Y, r.top+by.Y, r.rim+by.Y
	r.label, r.then = r.label.moved(by), r.then.moved(by)
	for _, shape := range l.taken.shapes {
		for k := range shape {
			shape[k] = shape[k].plus(by)
		}
	}
	for i := range l.taken.rects {
		l.taken.rects[i] = l.taken.rects[i].moved(by)
	}
	for i, line := range l.taken.lines {
		l.taken.lines[i] = [2]point{line[0].plus(by), line[1].plus(by)}
	}
}

func (l *castLayout) bounds() rect {
	all := l.cased
	all.Y0 -= overLid
	for _, r := range l.taken.rects {
		all = all.with(r)
	}
	return all.with(rect{l.rise.x, all.Y0, l.rise.x, all.Y0})
}

// laidOut places all labels for one view; false when one has no place.
func (k *casting) laidOut(cam camera) (*castLayout, bool) {
	l := &castLayout{cam: cam, cased: boundsOf(cam.all(k.casedOutline()))}
	block := l.cased
	block.Y0 -= overLid
	l.taken.shapes = [][]point{block.corners()}
	l.rise.x = l.cased.X0
	if k.cut.risen {
		k.placeRise(l)
	}
	for _, r := range k.s.stiff {
		l.taken.lines = append(l.taken.lines, [2]point{cam.at(r.foot), cam.at(r.top)})
	}
	l.tags = k.tags(cam)
	fits := true
	for i := range l.tags {
		g := &l.tags[i]
		wide, high := k.tagSize(*g)
		g.spot, g.placed = l.taken.put(spotsBeside(block, g.on, wide, high))
		fits = fits && g.placed
	}
	return l, fits
}

// placeRise measures the liquid at the left of the block.
func (k *casting) placeRise(l *castLayout) {
	t, m := k.canvas.letters, &l.rise
	m.x = l.cased.X0 - 30
	y := func(z float64) float64 { return l.cam.at(r3.Vec{Z: z}).Y }
	m.low, m.top, m.rim = y(k.s.partBox.Max.Z), y(k.level), y(0)
	metric, inches := splitUnits(k.s.words.length(k.s.plan.Cast.Foam.LevelMM))
	m.lines = []string{"liquid", metric}
	if inches != "" {
		m.lines = append(m.lines, inches)
	}
	m.after = []string{"then it", "rises"}
	place := func(lines []string, middle float64) rect {
		wide, high := 0.0, levelLine*float64(len(lines))
		for _, line := range lines {
			wide = math.Max(wide, t.width(figure, line))
		}
		return rect{m.x - 22 - wide, middle - high/2, m.x - 22, middle + high/2}
	}
	m.label = place(m.lines, (m.low+m.top)/2)
	m.then = place(m.after, (m.top+m.rim)/2)
	if m.then.Y1+8 > m.label.Y0 || m.top-m.rim < 60 {
		m.after, m.then = nil, m.label
	}
	l.taken.rects = append(l.taken.rects, m.label.grown(2))
	if m.after != nil {
		l.taken.rects = append(l.taken.rects, m.then.grown(2))
	}
	l.taken.lines = append(l.taken.lines, [2]point{{m.x, m.low + arrowTail}, {m.x, m.rim}})
}

// tags are the labels, those first that matter most.
func (k *casting) tags(cam camera) (all []tag) {
	w, plan := k.s.words, k.s.plan
	if k.s.spoutR > 0 {
		at := cam.at(k.cut.at(k.cut.spoutAlong(), 0))
		half := point{k.s.spoutR * cam.scale, 0}
		all = append(all, tag{name: "spout diameter", value: w.length(plan.Stand.SpoutDiameterMM), on: []point{at.minus(half), at.plus(half)}, tint: ink})
	}
	for i, r := range k.s.stiff {
		name, value := k.s.stiffenerLabel(i)
		all = append(all, tag{name: name, value: value, tint: ink,
			on: []point{cam.at(along(r.foot, r.top, 0.5)), cam.at(along(r.foot, r.top, 0.25)), cam.at(along(r.foot, r.top, 0.75))}})
	}
	for _, i := range k.shownNecks() {
		n := plan.Cast.Necks[i]
		g := tag{name: "neck", value: w.length(n.DiameterMM), on: k.neck(i, cam).ends(), tint: ink}
		if !k.cut.inSection(vec(n.AtMM)) {
			g.name = "neck beside the cut"
		}
		if n.Passes != nil && !*n.Passes && !k.hollow() {
			g.name, g.tint = g.name+", too slow", signal
		}
		all = append(all, g)
	}
	if h := plan.Cast.Slush; k.hollow() {
		all = append(all, tag{name: say.Count(h.Coats, "coat", "coats") + ", skin", value: w.length(h.SkinMM), on: k.skinPlaces(cam), tint: ink})
	}
	if n := len(plan.Cast.Tips); n > 0 && !k.hollow() {
		last := plan.Cast.Tips[n-1]
		name, before, fills := "", k.beforeCut(last), "last end to fill"
		if k.inLiquid(last) {
			fills = "end in the liquid"
		}
		if before {
			name = "in front of the cut"
		}
		all = append(all, tag{letter: say.Letter(n - 1), before: before, name: name, value: fills, on: []point{cam.at(vec(last.AtMM))}, tint: tipTint(last)})
	}
	return all
}

// inLiquid tells whether the liquid of a foam covers an end before it rises: what foam
// fills last is then under the lid.
func (k *casting) inLiquid(t analysis.CastTip) bool {
	c := k.s.plan.Cast
	return c.Foam != nil && t.Share*c.CavityMM3 < c.Foam.LiquidMM3
}

// mostNecks is how many necks are labelled.
const mostNecks = 4

// shownNecks are the narrowest necks, in the plan's order.
func (k *casting) shownNecks() (all []int) {
	necks := k.s.plan.Cast.Necks
	for i, n := range necks {
		narrower := 0
		for j, other := range necks {
			if other.DiameterMM < n.DiameterMM || other.DiameterMM == n.DiameterMM && j < i {
				narrower++
			}
		}
		if narrower < mostNecks {
			all = append(all, i)
		}
	}
	return all
}

// tipTint is blue where air leaves, else the colour of a warning.
func tipTint(t analysis.CastTip) tint {
	if keepsAir(t) {
		return signal
	}
	return blue
}

// keepsAir tells whether air has no way out of an end: it is a closed top without a
// vent.
func keepsAir(t analysis.CastTip) bool { return t.Trap != nil && !t.Vented }

func (k *casting) tagSize(g tag) (wide, high float64) {
	if g.letter != "" {
		t := k.canvas.letters
		wide, high = 2*markHalf+10+math.Ceil(math.Max(t.width(figure, g.value), t.width(small, g.name))), 2*markHalf
		if g.name != "" {
			high += levelLine
		}
		return wide, high
	}
	return k.canvas.letters.labelSize(g.name, g.value)
}

// castMark is a number or a sign tied to a place of the view.
type castMark struct {
	on, at point
	draw   func(c *canvas, at point)
	tie    tint
	before bool // it points at what lies in front of the cut
}

// beforeCut tells whether an end lies in the half that is taken away.
func (k *casting) beforeCut(t analysis.CastTip) bool {
	return r3.Dot(k.cut.cut.n, vec(t.AtMM))-k.cut.cut.at > 0.01*k.s.size
}

// skinPlaces are in the skin of a hollow cast, where its section is widest.
func (k *casting) skinPlaces(cam camera) []point {
	var left, right r3.Vec
	first, half := true, k.s.plan.Cast.Slush.SkinMM/2
	for _, l := range k.cut.loops {
		for _, p := range l {
			t := r3.Dot(k.cut.along, p)
			if first || t < r3.Dot(k.cut.along, left) {
				left = p
			}
			if first || t > r3.Dot(k.cut.along, right) {
				right = p
			}
			first = false
		}
	}
	in := r3.Scale(half, k.cut.along)
	return []point{cam.at(r3.Add(left, in)), cam.at(r3.Sub(right, in))}
}

// placeMarks finds room for the numbers of vents and of the ends of the cavity,
// and for the signs at air that stays.
func (k *casting) placeMarks() {
	cam := k.spread.cam
	all := k.warnings(cam)
	tips := k.s.plan.Cast.Tips
	if k.hollow() { // a coat is turned about, not filled up
		tips = nil
	}
	for i, tip := range tips[:max(len(tips)-1, 0)] {
		colour, letter := tipTint(tip), say.Letter(i)
		all = append(all, castMark{on: cam.at(vec(tip.AtMM)), tie: colour, before: k.beforeCut(tip), draw: func(c *canvas, at point) { c.ring(at, letter, colour) }})
	}
	for i, v := range k.s.vents {
		on := cam.at(along(v.foot, v.top, 0.3))
		number := strconv.Itoa(k.ventNumber(i))
		all = append(all, castMark{on: on, tie: amber, draw: func(c *canvas, at point) { c.ring(at, number, amber) }})
	}
	busy := &k.spread.taken
	for i := range all {
		spots := k.view.numberSpots(all[i].on, k.room)
		for s := range spots { // none covers what another one points at
			for j := range all {
				if box := spots[s].box.grown(8); j != i && box.holds(rect{all[j].on.X, all[j].on.Y, all[j].on.X, all[j].on.Y}) {
					spots[s].cost += coverCost
				}
			}
			for _, g := range k.spread.tags {
				if box := spots[s].box.grown(12); box.holds(rect{g.leader[0].X, g.leader[0].Y, g.leader[0].X, g.leader[0].Y}) {
					spots[s].cost += coverCost
				}
			}
		}
		saved := busy.shapes
		busy.shapes = nil // numbers may lie on the block
		if at, ok := busy.put(spots); ok {
			all[i].at = at.box.middle()
			k.marks = append(k.marks, all[i])
		}
		busy.shapes = saved
	}
}

// warnings are the signs at air that no vent lets out.
func (k *casting) warnings(cam camera) (all []castMark) {
	for i, t := range k.cut.traps {
		if t.vent == nil {
			on, _ := k.view.target(i)
			all = append(all, castMark{on: on, tie: signal, draw: (*canvas).warning})
		}
	}
	return all
}

// ventNumber is the number that the plan gives to the post of a vent.
func (k *casting) ventNumber(vent int) int {
	n := 0
	for _, t := range k.s.plan.CastTrap {
		if t.Vent == nil {
			continue
		}
		if n == vent && t.Vent.Post > 0 {
			return t.Vent.Post
		}
		n++
	}
	return vent + 1
}

// ring draws a number or letter in a round mark of a colour.
func (c *canvas) ring(at point, text string, colour tint) {
	c.fill(colour, 1, disc(at, markHalf))
	c.fill(chalk, 1, disc(at, markHalf-2.6))
	c.text(small, ink, at.X-c.letters.width(small, text)/2, at.Y+0.36*sizes[small], text)
}
