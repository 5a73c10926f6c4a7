package drawing

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"pourwright/analysis"
)

// crossMM is how far the cross of a centre reaches past its circle.
const crossMM = 3

func (b *basePlan) spoutAt() [3]float64 { return spoutOf(b.plan) }

// spoutOf is the middle of the spout in the stand frame.
func spoutOf(p *analysis.Plan) [3]float64 {
	s := p.Stand
	at := s.TranslationMM
	for row := range at {
		for k, x := range s.SpoutMM {
			at[row] += s.Rotation[row][k] * x
		}
	}
	return at
}

func (b *basePlan) vents() []*analysis.Vent { return ventsOf(b.plan) }

// ventsOf are the posts, each once, by number.
func ventsOf(p *analysis.Plan) []*analysis.Vent {
	var all []*analysis.Vent
	for _, trap := range p.CastTrap {
		if v := trap.Vent; v != nil && !slices.ContainsFunc(all, func(w *analysis.Vent) bool { return w.Post == v.Post }) {
			all = append(all, v)
		}
	}
	slices.SortStableFunc(all, func(v, w *analysis.Vent) int { return v.Post - w.Post })
	return all
}

// hole draws a circle with a cross through its centre.
func (b *basePlan) hole(x, y, diameter float64, class string) {
	r := diameter / 2
	at := b.at(x, y)
	if r > 0 {
		b.add(Circle{at, r, holePen, class})
	}
	reach := r + crossMM
	b.add(Line{at.plus(-reach, 0), at.plus(reach, 0), Pen{amber, 0.2, nil}, class + "-cross"},
		Line{at.plus(0, -reach), at.plus(0, reach), Pen{amber, 0.2, nil}, class + "-cross"})
}

// spout draws the spout with measures to the two nearer walls of a rectangle, or edges
// of the board.
func (b *basePlan) spout() {
	s := b.spoutAt()
	b.hole(s[0], s[1], b.plan.Stand.SpoutDiameterMM, "spout")
	if b.plan.Box.Shape != "rectangle" {
		return
	}
	r := b.plan.Stand.SpoutDiameterMM/2 + crossMM
	wx, dx := nearWall(s[0], b.half[0], "x0", "x1")
	wy, dy := nearWall(s[1], b.half[1], "y0", "y1")
	if side := sign(wx); dx > r {
		b.arrow(b.at(s[0]+side*r, s[1]), b.at(side*b.half[0], s[1]), thinPen, 2, "from-wall")
	}
	if side := sign(wy); dy > r {
		b.arrow(b.at(s[0], s[1]+side*r), b.at(s[0], side*b.half[1]), thinPen, 2, "from-wall")
	}
}

// sign is the side of the origin that a wall is on.
func sign(wall string) float64 {
	if wall[1] == '0' {
		return -1
	}
	return 1
}

// leanMM is how long the arrow is that shows which way a post leans.
const leanMM = 14

func (b *basePlan) posts() {
	for _, v := range b.vents() {
		b.hole(v.BoardMM[0], v.BoardMM[1], v.DiameterMM, "post")
		if len(v.LeanToward) > 0 {
			sin, cos := math.Sincos(v.LeanDeg * math.Pi / 180)
			r := v.DiameterMM / 2
			b.arrow(b.at(v.BoardMM[0]+r*cos, v.BoardMM[1]+r*sin), b.at(v.BoardMM[0]+(r+leanMM)*cos, v.BoardMM[1]+(r+leanMM)*sin), holePen, 3, "lean")
		}
	}
}

// placeLabels names what is on the board, each where it covers no other name.
func (b *basePlan) placeLabels() {
	for _, v := range b.vents() {
		b.beside(v.BoardMM[0], v.BoardMM[1], v.DiameterMM/2, strconv.Itoa(v.Post), 4)
	}
	s := b.spoutAt()
	what := "spout "
	if b.plan.Stand.StemMM > 0 {
		what = "stem "
	}
	b.beside(s[0], s[1], b.plan.Stand.SpoutDiameterMM/2, what+b.show.Length(b.plan.Stand.SpoutDiameterMM), bodyMM)
	if b.plan.Box.Shape == "rectangle" {
		b.spoutMeasures(s)
	}
	for i, f := range b.plan.Box.Fillers {
		if len(f.FootMM) < 3 {
			continue
		}
		x, y := 0.0, 0.0
		for _, p := range f.FootMM {
			x, y = x+p[0]/float64(len(f.FootMM)), y+p[1]/float64(len(f.FootMM))
		}
		mid := b.at(x, y)
		b.place(false, Text{mid.plus(0, 1), smallMM, fmt.Sprintf("filler %d", i+1), Middle, false, ink, "filler-label"},
			Text{mid.plus(0, 1), smallMM, strconv.Itoa(i + 1), Middle, false, ink, "filler-label"})
	}
	if ends, ok := b.cutEnds(); ok {
		b.cutName(ends)
	}
}

// beside writes a name next to a circle: inside when it is large, else at one of the
// four corners around it, closer or further.
func (b *basePlan) beside(x, y, r float64, words string, size float64) {
	var tries []Text
	if r > 2*size {
		for _, side := range [][2]float64{{-1, 1}, {1, 1}, {-1, -1}, {1, -1}} {
			tries = append(tries, Text{b.at(x+side[0]*0.43*r, y+side[1]*0.35*r).plus(0, size*0.36), size, words, Middle, false, ink, "name"})
		}
	}
	for _, away := range []float64{0, 3, 6, 10, 15} {
		d := r*0.75 + 1.5 + away
		for _, side := range [][2]float64{{1, 1}, {-1, 1}, {1, -1}, {-1, -1}} {
			anchor := Start
			if side[0] < 0 {
				anchor = End
			}
			at := b.at(x+side[0]*d, y+side[1]*d)
			if side[1] < 0 {
				at.Y += size * ascent
			}
			tries = append(tries, Text{at, size, words, anchor, false, ink, "name"})
		}
	}
	if !b.place(true, tries...) {
		b.place(false, tries...)
	}
}

// spoutMeasures writes the lengths of the two lines from the spout to walls.
func (b *basePlan) spoutMeasures(s [3]float64) {
	wx, dx := nearWall(s[0], b.half[0], "x0", "x1")
	wy, dy := nearWall(s[1], b.half[1], "y0", "y1")
	r := b.plan.Stand.SpoutDiameterMM / 2
	var along, up []Text
	for _, share := range []float64{0.5, 0.4, 0.6, 0.3, 0.7} {
		x := s[0] + sign(wx)*(r+share*(dx-r))
		at := b.at(x, s[1])
		along = append(along, Text{at.plus(0, -1), smallMM, b.show.Length(dx), Middle, false, ink, "from-wall-label"},
			Text{at.plus(0, 2.9), smallMM, b.show.Length(dx), Middle, false, ink, "from-wall-label"})
		y := s[1] + sign(wy)*(r+share*(dy-r))
		at = b.at(s[0], y)
		up = append(up, Text{at.plus(-1, 0), smallMM, b.show.Length(dy), Middle, true, ink, "from-wall-label"},
			Text{at.plus(2.9, 0), smallMM, b.show.Length(dy), Middle, true, ink, "from-wall-label"},
			Text{at.plus(1.5, 0.9), smallMM, b.show.Length(dy), Start, false, ink, "from-wall-label"},
			Text{at.plus(-1.5, 0.9), smallMM, b.show.Length(dy), End, false, ink, "from-wall-label"})
	}
	b.place(true, along...)
	b.place(true, up...)
}

// cutName names the cut near one of its ends.
func (b *basePlan) cutName(ends [2][2]float64) {
	var tries []Text
	for _, share := range []float64{0.06, 0.94, 0.12, 0.88, 0.2, 0.8, 0.3, 0.7} {
		at := b.at(ends[0][0]+share*(ends[1][0]-ends[0][0]), ends[0][1]+share*(ends[1][1]-ends[0][1]))
		for _, side := range [][2]float64{{2, -1.5}, {2, 4}, {-2, -1.5}, {-2, 4}} {
			anchor := Start
			if side[0] < 0 {
				anchor = End
			}
			tries = append(tries, Text{at.plus(side[0], side[1]), bodyMM, "cut", anchor, false, blue, "cut-label"})
		}
	}
	if !b.place(true, tries...) {
		b.place(false, tries...)
	}
}
