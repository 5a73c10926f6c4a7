package drawing

import (
	"fmt"
	"math"

	"pourwright/analysis"
	"pourwright/render/say"
)

// bedPlan is the bed of clay of a mold in two parts on paper: the box on its side, seen
// from above at the first pour.
type bedPlan struct {
	*basePlan
	bed *analysis.TwoPart
}

// drawBed draws the bed of a mold in two parts.
func drawBed(p *analysis.Plan, show say.Style) []Drawing {
	if d, ok := Bed(p, show); ok {
		return []Drawing{d}
	}
	return nil
}

// Bed draws the bed of a mold in two parts true to size. It tells whether the plan has one.
func Bed(p *analysis.Plan, show say.Style) (Drawing, bool) {
	t := p.TwoPart
	if t == nil || !drawable(t.InsideMM[:]...) {
		return Drawing{}, false
	}
	b := &bedPlan{&basePlan{sketch: newSketch(p, show, "bed", "Bed of clay from above"), plan: p,
		half: [2]float64{t.InsideMM[0] / 2, t.InsideMM[1] / 2}, thick: wallThickness(p)}, t}
	top := b.head(Point{borderMM, borderMM}, headMM, b.notes()...)
	top = b.paragraphs(Point{borderMM, top}, bodyMM, headMM, b.facts())
	top = b.bedLegend(Point{borderMM, top + 1})
	around := [2]float64{b.half[0] + b.thick + marginAroundMM, b.half[1] + b.thick + marginAroundMM}
	b.origin = Point{borderMM + max(around[0], headMM/2), top + around[1]}
	b.part()
	b.steps()
	b.spoutEnd()
	b.ventPosts()
	b.keys()
	b.walls()
	b.heightDots()
	b.labels()
	b.contours()
	return b.done()[0], true
}

// wallThickness is that of the boards the walls are cut from; 0: not known.
func wallThickness(p *analysis.Plan) float64 {
	for _, panel := range p.Box.Panels {
		if panel.Name != baseBoard {
			return panel.ThicknessMM
		}
	}
	return 0
}

// lay is a point of the stand frame on paper.
func (b *bedPlan) lay(p [3]float64) Point {
	at := b.bed.Lying(p)
	return b.at(at[0], at[1])
}

func (b *bedPlan) lays(points [][3]float64) []Point {
	var all []Point
	for _, p := range points {
		all = append(all, b.lay(p))
	}
	return all
}

func (b *bedPlan) notes() []string {
	notes := []string{
		"The inside of the box on its side, as you look down on the clay at the first pour: this side is up. Right and left are as seen from the spout end.",
	}
	if uneven(b.bed) {
		notes = append(notes, b.unevenNotes()...)
	} else {
		notes = append(notes, "Cut the part's outline out. Lay the sheet on the clay round the part: the clay meets the part along this line, all round. Then prick the ovals through.")
	}
	if len(b.bed.Keys) > 0 {
		notes = append(notes, "Ovals: dimples to press into the clay, numbered as on the job sheet. Beside each: how deep.")
	}
	return notes
}

// facts are the figures of bed, spout end and posts in words.
func (b *bedPlan) facts() []string {
	t, s := b.bed, b.plan.Stand
	facts := []string{b.clayFact()}
	foot := spoutOf(b.plan)
	foot[2] = 0
	_, right, up := t.Measured(foot, 1)
	what := "Spout end of the part"
	if s.StemMM > 0 {
		what = "Stem, " + b.show.Length(s.StemMM) + " long"
	}
	facts = append(facts, fmt.Sprintf("%s: %s across, against the wall of the spout end; its centre %s from the right, %s over the board.", what, b.show.Length(s.SpoutDiameterMM), b.show.Length(right), b.show.Length(up)))
	for _, v := range b.vents() {
		_, right, up := t.Measured([3]float64{v.BoardMM[0], v.BoardMM[1], 0}, 1)
		facts = append(facts, fmt.Sprintf("Post %d: %s across, %s long, from the part to the wall of the spout end, where it ends %s from the right, %s over the board.",
			v.Post, b.show.Length(v.DiameterMM), b.show.Length(v.LengthMM), b.show.Length(right), b.show.Length(up)))
	}
	return facts
}

// bedLegend shows what each kind of line is.
func (b *bedPlan) bedLegend(at Point) float64 {
	items := []legendItem{{boldPen, "inside of the box"}, {partPen, "parting line on the part"}, {keyPen, "keys"}, {holePen, "spout end"}}
	if len(b.vents()) > 0 {
		items = append(items, legendItem{ventPen, "posts"})
	}
	if len(b.plan.Cut.Steps) > 0 {
		items = append(items, legendItem{cutPen, "the clay steps"})
	}
	if len(b.bed.Contours) > 0 {
		items = append(items, legendItem{tensPen, "the clay is so high"})
	}
	return b.legendRows(at, headMM, append(items, legendItem{thinPen, "walls, measures"}))
}

// part draws where the clay meets the part, holes of the part left clear.
func (b *bedPlan) part() {
	loops := b.partLoops()
	for i, loop := range loops {
		depth := 0
		for k, other := range loops {
			if k != i && within(other, loop[0]) {
				depth++
			}
		}
		fill := tint
		if depth%2 == 1 {
			fill = paper
		}
		b.add(Poly{loop, partPen, fill, "pattern"})
	}
}

// step is a line across the bed where its profile has a corner.
type step struct {
	a, b     Point
	heightMM float64 // of the clay over the board there
}

// bedSteps are the corners of a stepped bed, clipped to the inside of the box.
func (b *bedPlan) bedSteps() []step {
	c := &b.plan.Cut
	if c.StepsAlong == nil {
		return nil
	}
	along := b.bed.Turned(*c.StepsAlong)
	across := [2]float64{-along[1], along[0]}
	var all []step
	for _, s := range c.Steps {
		at := c.PointMM
		for k := range at {
			at[k] += s.AtMM*c.StepsAlong[k] + s.OffsetMM*c.Normal[k]
		}
		lying := b.bed.Lying(at)
		if from, to, ok := b.inBox(lying[0], lying[1], across); ok {
			all = append(all, step{b.at(lying[0]+from*across[0], lying[1]+from*across[1]), b.at(lying[0]+to*across[0], lying[1]+to*across[1]), lying[2]})
		}
	}
	return all
}

// inBox is the part of a line through a point that lies inside the box.
func (b *bedPlan) inBox(x, y float64, d [2]float64) (from, to float64, ok bool) {
	from, to = math.Inf(-1), math.Inf(1)
	for k, at := range [2]float64{x, y} {
		if math.Abs(d[k]) < 1e-9 {
			if math.Abs(at) > b.half[k] {
				return 0, 0, false
			}
			continue
		}
		s, e := (-b.half[k]-at)/d[k], (b.half[k]-at)/d[k]
		from, to = max(from, min(s, e)), min(to, max(s, e))
	}
	return from, to, to > from && !math.IsInf(to-from, 0)
}

func (b *bedPlan) steps() {
	for _, s := range b.bedSteps() {
		b.add(Line{s.a, s.b, cutPen, "bed-step"})
	}
}
