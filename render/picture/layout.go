package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// The picture's parts, in px: title on top, the view at the left, a column at
// the right.
var (
	viewRoom   = rect{40, 184, 1130, 1126}
	columnRoom = rect{1168, 184, 1560, 1164}
)

// layout is the view with every label in its place.
type layout struct {
	cam        camera
	dimensions []dimension
	hasSpout   bool
	spout      spot // leader[0] is on the spout's rim
	spoutName  string
	spoutValue string
	braces     []spot // labels of straps or battens
	stiff      []spot // labels of the stiffener's rods
	taken      taken
	measured   int // lines in taken that belong to the dimensions
}

// layout makes the view as large as its labels allow. Heights are labelled
// beside their lines, along them or past their ends, whichever leaves the
// larger view.
func (s *scene) layout(t *typefaces, cam camera) *layout {
	var best *layout
	for _, how := range []labelling{beside, alongside, pastEnds} {
		l := s.largest(t, cam, how)
		if best == nil || l.cam.scale > 1.04*best.cam.scale {
			best = l
		}
	}
	return best
}

// largest shrinks the view until everything fits.
func (s *scene) largest(t *typefaces, cam camera, how labelling) *layout {
	cam.origin = point{}
	bare := boundsOf(joined(s.outlines(cam)))
	cam.scale = math.Min(viewRoom.wide()/bare.wide(), viewRoom.high()/bare.high())
	for range 120 {
		l, ok := s.arranged(t, cam, how)
		all := l.bounds()
		if ok && all.wide() <= viewRoom.wide() && all.high() <= viewRoom.high() {
			return l.moved(viewRoom.middle().minus(all.middle()))
		}
		cam.scale *= 0.97
	}
	l, _ := s.arranged(t, cam, how)
	return l.moved(viewRoom.middle().minus(l.bounds().middle()))
}

// outlines are convex shapes that together cover block, walls and board, and what
// reaches out of them.
func (s *scene) outlines(cam camera) [][]point {
	board := append(rim(s.block, 0, s.boardEdge), rim(s.block, -s.boardThick(), s.boardEdge)...)
	return append([][]point{hulled(cam.all(board)), s.walls.shape(cam, s.wallTop)}, s.holderShapes(cam)...)
}

func joined(shapes [][]point) []point {
	var all []point
	for _, s := range shapes {
		all = append(all, s...)
	}
	return all
}

// arranged places all labels for one size of the view; false when one has no
// place.
func (s *scene) arranged(t *typefaces, cam camera, how labelling) (*layout, bool) {
	l := &layout{cam: cam, dimensions: s.dimensions(cam)}
	l.taken.shapes = s.outlines(cam)
	for _, d := range l.dimensions {
		l.taken.lines = append(l.taken.lines, d.lines()...)
	}
	l.measured = len(l.taken.lines)
	if !s.walls.round() {
		near := s.walls.nearest(cam) // edge of the block
		l.taken.lines = append(l.taken.lines, [2]point{cam.at(near), cam.at(r3.Add(near, r3.Vec{Z: s.block.Max.Z}))})
	}
	fits := true
	for i := range l.dimensions {
		d := &l.dimensions[i]
		wide, high := t.labelSize(d.name, d.value)
		var ok bool
		d.spot, ok = l.taken.put(d.spots(wide, high, how))
		fits = fits && ok
	}
	if s.spoutR > 0 {
		l.hasSpout = true
		l.spoutName, l.spoutValue = "spout diameter", s.words.length(s.plan.Stand.SpoutDiameterMM)
		wide, high := t.labelSize(l.spoutName, l.spoutValue)
		var ok bool
		l.spout, ok = l.taken.put(s.spoutSpots(cam, wide, high))
		fits = fits && ok
	}
	for _, b := range s.braces {
		wide, high := t.labelSize(b.name, s.words.length(b.height))
		at, ok := l.taken.put(s.braceSpots(cam, b.height, wide, high))
		l.braces = append(l.braces, at)
		fits = fits && ok
	}
	for i, r := range s.stiff {
		wide, high := t.labelSize(s.stiffenerLabel(i))
		at, ok := l.taken.put(s.stiffenerSpots(cam, r, wide, high))
		l.stiff = append(l.stiff, at)
		fits = fits && ok
	}
	return l, fits
}

// spoutSpots lists places for the spout's label around it, the nearest first,
// below before above.
func (s *scene) spoutSpots(cam camera, wide, high float64) []spot {
	rim := cam.all(circle(s.spout, s.spoutR))
	mid := cam.at(s.spout)
	var all []spot
	for far := 40.0; far < 1500; far += 16 {
		for _, degrees := range []float64{90, 75, 105, 60, 120, 45, 135, 30, 150, 15, 165} {
			sin, cos := math.Sincos(degrees * math.Pi / 180)
			box := around(mid.plus(point{far * cos, far * sin}), wide, high)
			end := point{box.middle().X, box.Y0 - 4}
			all = append(all, spot{box: box, leader: [2]point{nearestOf(rim, end), end}, cost: far + 0.8*math.Abs(degrees-90)})
		}
	}
	return all
}

func nearestOf(points []point, to point) point {
	best := points[0]
	for _, p := range points {
		if p.minus(to).length() < best.minus(to).length() {
			best = p
		}
	}
	return best
}

// bounds is the room that the view takes with all its labels.
func (l *layout) bounds() rect {
	all := joined(l.taken.shapes)
	for _, line := range l.taken.lines {
		all = append(all, line[:]...)
	}
	for _, r := range l.taken.rects {
		all = append(all, r.corners()...)
	}
	return boundsOf(all)
}

// moved shifts everything on the picture.
func (l *layout) moved(by point) *layout {
	l.cam.origin = l.cam.origin.plus(by)
	for i := range l.dimensions {
		d := &l.dimensions[i]
		d.from, d.to = d.from.plus(by), d.to.plus(by)
		for k := range d.carry {
			d.carry[k] = [2]point{d.carry[k][0].plus(by), d.carry[k][1].plus(by)}
		}
		d.spot = d.spot.moved(by)
	}
	l.spout = l.spout.moved(by)
	for i := range l.braces {
		l.braces[i] = l.braces[i].moved(by)
	}
	for i := range l.stiff {
		l.stiff[i] = l.stiff[i].moved(by)
	}
	for i, shape := range l.taken.shapes {
		for k, p := range shape {
			l.taken.shapes[i][k] = p.plus(by)
		}
	}
	for i, r := range l.taken.rects {
		l.taken.rects[i] = r.moved(by)
	}
	for i, line := range l.taken.lines {
		l.taken.lines[i] = [2]point{line[0].plus(by), line[1].plus(by)}
	}
	return l
}

func (s spot) moved(by point) spot {
	return spot{s.box.moved(by), [2]point{s.leader[0].plus(by), s.leader[1].plus(by)}, s.cost}
}
