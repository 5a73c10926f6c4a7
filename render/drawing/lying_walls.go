package drawing

import (
	"math"

	"pourwright/analysis"
	"pourwright/render/say"
)

// lyingNames are the walls of the box on its side, as the titles of their drawings.
var lyingNames = map[string]string{analysis.SpoutEnd: "spout end", analysis.FarEnd: "far end", analysis.RightWall: "right", analysis.LeftWall: "left"}

// lyingWalls are the two walls cut from a panel of the box on its side: ends stand
// across its length, sides along it.
func lyingWalls(p *analysis.Plan, panel analysis.Panel) []wall {
	var all []wall
	for _, out := range lyingOut(panel) {
		side := p.TwoPart.SideOf([3]float64{out.X, out.Y, 0})
		one := wall{Panel: panel, title: panel.Name + ", " + lyingNames[side], side: side}
		one.Count = 1
		all = append(all, one)
	}
	return all
}

// lyingOut are the ways out through the two walls cut from a panel.
func lyingOut(panel analysis.Panel) [2]Point {
	if panel.Name == "end" {
		return [2]Point{{X: -1}, {X: 1}}
	}
	return [2]Point{{Y: -1}, {Y: 1}}
}

func lyingNotes(p *analysis.Plan, w wall, show say.Style) []string {
	t := p.TwoPart
	notes := []string{"Write its name on it, outside, and the arrow. Right and left are as seen from the spout end at the first pour."}
	if uneven(t) {
		notes = append(notes, "Prick the clay line through, and draw it on the inside: the clay meets this wall along it. Its height over the board is written at each mark.")
	}
	notes = append(notes, "First pour: clay to the line named so, rubber to the upper dashed line, "+show.Length(t.Parts[0].LevelMM)+" over the board.")
	notes = append(notes, "Second pour: the box is turned over and stands on its other edge: rubber to the other dashed line, "+show.Length(t.Parts[1].LevelMM)+" over that edge.")
	if w.side == analysis.SpoutEnd {
		notes = append(notes, "Circle: where the spout end of the part is fixed, inside; dashed, at the second pour, once the first part has been let down onto the board.")
	}
	return notes
}

// onWall is how points of the stand frame lie on a wall seen from outside: x from its
// left end, y up from its lower edge at the first pour.
type onWall struct {
	plan *analysis.Plan
	out  Point // through the wall, in the lying frame
	half float64
}

func wallOf(p *analysis.Plan, w wall) onWall {
	for _, out := range lyingOut(w.Panel) {
		if p.TwoPart.SideOf([3]float64{out.X, out.Y, 0}) == w.side {
			return onWall{p, out, w.LengthMM / 2}
		}
	}
	return onWall{p, Point{}, 0}
}

// at also tells whether the point lies on the wall.
func (o onWall) at(q [3]float64) (Point, bool) {
	in, l := o.plan.TwoPart.InsideMM, o.plan.TwoPart.Lying(q)
	reach := math.Abs(o.out.X)*in[0]/2 + math.Abs(o.out.Y)*in[1]/2
	on := math.Abs(o.out.X*l[0]+o.out.Y*l[1]-reach) < 0.05
	// To the right of someone who looks in is out turned left.
	return Point{o.half - o.out.Y*l[0] + o.out.X*l[1], l[2]}, on
}

// lyingWall draws what is on a wall of the box on its side.
func (s *sketch) lyingWall(p *analysis.Plan, w wall, r Rect) {
	o, t := wallOf(p, w), p.TwoPart
	paper := func(q Point) Point { return Point{r.Min.X + q.X, r.Max.Y - q.Y} }
	first, second := t.Parts[0].LevelMM, w.WidthMM-t.Parts[1].LevelMM
	for _, line := range []struct {
		upMM  float64
		pen   Pen
		class string
	}{{first, fillPen, "fill-line"}, {second, fillPen, "fill-line-2"}} {
		if line.upMM > 0 && line.upMM <= w.WidthMM {
			s.add(Line{paper(Point{0, line.upMM}), paper(Point{w.LengthMM, line.upMM}), line.pen, line.class})
		}
	}
	clay := o.clayLine()
	for _, line := range clay {
		s.clayLine(line, paper)
	}
	if w.side == analysis.SpoutEnd {
		s.spoutOnWall(p, w, o, paper)
	}
	mid, long := s.freeOfClay(p, clay, w, s.freeShare(r)*w.LengthMM)
	s.upAt(r.Min.X+s.freeShare(r)*w.LengthMM, r.Max.Y-mid, long)
	s.lyingWords(p, w, r, clay)
}

// freeShare is where along a wall an arrow is clear of all circles.
func (s *sketch) freeShare(r Rect) float64 {
	const room = 9
	shares := []float64{0.86, 0.93, 0.72, 0.1, 0.2, 0.6}
	for _, share := range shares {
		x, clear := r.Min.X+share*(r.Max.X-r.Min.X), true
		for _, shape := range s.Shapes {
			if c, isCircle := shape.(Circle); isCircle {
				clear = clear && math.Abs(c.At.X-x) > c.RadiusMM+room
			}
		}
		if clear {
			return share
		}
	}
	return shares[0]
}

// spoutOnWall draws where the spout end is fixed at both pours, and where posts end.
// At the second pour the part has been let down by what the walls stand higher than
// the rubber.
func (s *sketch) spoutOnWall(p *analysis.Plan, w wall, o onWall, paper func(Point) Point) {
	foot := spoutOf(p)
	foot[2] = 0
	at, _ := o.at(foot)
	mid, d := paper(at), p.Stand.SpoutDiameterMM
	if !(d > 0) {
		return
	}
	const cross = 3
	s.add(Circle{mid, d / 2, holePen, "spout"},
		Line{mid.plus(-d/2-cross, 0), mid.plus(d/2+cross, 0), Pen{amber, 0.2, nil}, "spout-cross"},
		Line{mid.plus(0, -d/2-cross), mid.plus(0, d/2+cross), Pen{amber, 0.2, nil}, "spout-cross"})
	if down := w.WidthMM - p.TwoPart.InsideMM[2]; down > 0.5 {
		s.add(Circle{mid.plus(0, -down), d / 2, ventPen, "spout-2"})
	}
	for _, v := range ventsOf(p) {
		end, _ := o.at([3]float64{v.BoardMM[0], v.BoardMM[1], 0})
		s.add(Circle{paper(end), v.DiameterMM / 2, holePen, "post"})
	}
}

// lyingWords names a wall of the box on its side and what is on it, where there is room.
func (s *sketch) lyingWords(p *analysis.Plan, w wall, r Rect, clay [][]Point) {
	t := p.TwoPart
	tries := func(class string, size, upMM float64, sides []float64, words ...string) {
		var all []Text
		for _, one := range words {
			for _, share := range []float64{0.3, 0.16, 0.6, 0.72, 0.45, 0.5} {
				for _, side := range sides {
					y := r.Max.Y - upMM - 1.2
					if side < 0 {
						y = r.Max.Y - upMM + size + 0.8
					}
					all = append(all, Text{Point{r.Min.X + share*w.LengthMM, y}, size, one, Middle, false, ink, class})
				}
			}
		}
		s.placeIn(r, all...)
	}
	switch {
	case uneven(t):
		s.clayHeights(r, clay)
	case len(clay) > 0:
		tries("clay-label", smallMM, clay[0][0].Y, []float64{1, -1}, "clay "+s.show.Length(clay[0][0].Y), "clay")
	}
	tries("fill-label", smallMM, t.Parts[0].LevelMM, []float64{1, -1}, "first pour: rubber to "+s.show.Length(t.Parts[0].LevelMM), "first pour")
	tries("fill-label-2", smallMM, w.WidthMM-t.Parts[1].LevelMM, []float64{1, -1}, "second pour, turned over: "+s.show.Length(t.Parts[1].LevelMM)+" from the other edge", "second pour, turned over", "second pour")
	if w.side == analysis.SpoutEnd {
		s.spoutWords(p, w, r)
	}
	tries("foot-label", smallMM, 0, []float64{1}, "this edge on the board at the first pour", "board, first pour", "foot")
	for _, size := range []float64{7, 5, 3.5, 2.5} {
		for _, share := range []float64{0.34, 0.66, 0.28, 0.72, 0.2, 0.8} {
			if at := (Point{r.Min.X + share*w.LengthMM, r.Min.Y + 0.5*w.WidthMM}); s.nameOn(r, at, size, w) {
				return
			}
		}
	}
}

// nameOn writes the name of a wall with its face below, if both fit. It tells whether
// they did.
func (s *sketch) nameOn(r Rect, at Point, size float64, w wall) bool {
	for _, dy := range []float64{0, -0.2, 0.2, -0.3, 0.3} {
		name := Text{at.plus(0, dy*w.WidthMM), size, w.title, Middle, false, ink, "panel-name"}
		face := Text{name.At.plus(0, 4.5), smallMM, "outside", Middle, false, ink, "face"}
		if r.holds(name.box().grown(0.5)) && r.holds(face.box().grown(0.5)) && s.clear(name.box().grown(0.4), true) && s.clear(face.box().grown(0.2), true) {
			s.add(name, face)
			return true
		}
	}
	return false
}

// spoutWords says where the middle of the spout is, and names posts.
func (s *sketch) spoutWords(p *analysis.Plan, w wall, r Rect) {
	o := wallOf(p, w)
	foot := spoutOf(p)
	foot[2] = 0
	at, _ := o.at(foot)
	mid, d := Point{r.Min.X + at.X, r.Max.Y - at.Y}, p.Stand.SpoutDiameterMM
	_, right, up := p.TwoPart.Measured(foot, 1)
	long := "spout: " + s.show.Length(up) + " up, " + s.show.Length(right) + " from the right inside"
	var all []Text
	for _, words := range []string{long, "spout " + s.show.Length(up) + " up", "spout"} {
		for _, dy := range []float64{d/2 + 7, d/2 + 4, -d/2 - 6, 0.9, 12 + d/2} {
			all = append(all, Text{mid.plus(0, dy), smallMM, words, Middle, false, ink, "spout-label"},
				Text{mid.plus(d/2+4, dy/2), smallMM, words, Start, false, ink, "spout-label"},
				Text{mid.plus(-d/2-4, dy/2), smallMM, words, End, false, ink, "spout-label"})
		}
	}
	s.placeIn(r, all...)
	for _, v := range ventsOf(p) {
		end, _ := o.at([3]float64{v.BoardMM[0], v.BoardMM[1], 0})
		q := Point{r.Min.X + end.X, r.Max.Y - end.Y}
		s.placeIn(r, Text{q.plus(v.DiameterMM/2+1, 0.9), smallMM, "post " + s.show.Length(v.DiameterMM), Start, false, ink, "post-label"},
			Text{q.plus(-v.DiameterMM/2-1, 0.9), smallMM, "post", End, false, ink, "post-label"},
			Text{q.plus(0, v.DiameterMM/2+3.2), smallMM, "post", Middle, false, ink, "post-label"})
	}
}
