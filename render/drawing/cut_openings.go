package drawing

import (
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
)

// spout draws the stem that leaves the spout, or the mouth where the part itself
// stood on the board.
func (f *cutFace) spout() {
	if stem := f.stem(); len(stem) > 0 {
		f.add(Poly{f.papers(stem), holePen, glow, "spout"})
	} else if a, b, ok := f.mouth(); ok && f.plan.Stand.StemMM <= 0 {
		f.add(Line{f.paper(a), f.paper(b), Pen{amber, 1.2, nil}, "spout"})
	}
}

// meetsSpout tells whether there is a spout to draw.
func (f *cutFace) meetsSpout() bool {
	_, _, ok := f.mouth()
	return ok || len(f.stem()) > 0
}

// mouth is where the cut passes through the spout's mouth, on the board.
func (f *cutFace) mouth() (a, b Point, ok bool) {
	s := spoutOf(f.plan)
	return f.across(r3.Vec{X: s[0], Y: s[1]}, f.plan.Stand.SpoutDiameterMM/2)
}

// stem is where the cut passes through the stem; empty where it does not, and where
// there is none.
func (f *cutFace) stem() []Point {
	s, middle := f.plan.Stand, vec(spoutOf(f.plan))
	if s.StemMM <= 0 {
		return nil
	}
	const levels = 8
	var left, right []Point
	for k := range levels + 1 {
		at := r3.Vec{X: middle.X, Y: middle.Y, Z: middle.Z * float64(k) / levels}
		if a, b, ok := f.across(at, s.SpoutDiameterMM/2); ok {
			left, right = append([]Point{a}, left...), append(right, b)
		}
	}
	if len(right) < 2 {
		return nil
	}
	return append(left, right...)
}

// across is where the cut passes through a level circle; false where it does not.
func (f *cutFace) across(middle r3.Vec, radius float64) (a, b Point, ok bool) {
	level := r3.Vec{X: f.toward.X, Y: f.toward.Y}
	lean := r3.Norm(level)
	if lean < 1e-6 {
		return a, b, false
	}
	off := r3.Dot(f.toward, r3.Sub(middle, f.point)) / lean
	if !(math.Abs(off) < radius) {
		return a, b, false
	}
	half := math.Sqrt(radius*radius - off*off)
	on := f.flat(array(r3.Sub(middle, r3.Scale(off/lean, level))))
	return on.plus(-half, 0), on.plus(half, 0), true
}

func array(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// nearVentMM is how near to the cut a vent is drawn.
const nearVentMM = 10

// nearVent is the part of a vent that is near the cut.
type nearVent struct {
	vent   *analysis.Vent
	ends   [2][3]float64
	lessMM float64 // how near its axis comes to the cut, toward whoever looks; 0: it passes through
}

// nearVents are the parts of vents in the cut or near it.
func (f *cutFace) nearVents() []nearVent {
	var all []nearVent
	for _, v := range ventsOf(f.plan) {
		reach := v.DiameterMM/2 + nearVentMM
		a, b := vec(v.FromMM), vec(v.ToMM)
		offA, offB := f.off(v.FromMM), f.off(v.ToMM)
		from, to, ok := clipped(offA, offB, reach)
		if !ok {
			continue
		}
		at := func(t float64) [3]float64 { return array(r3.Add(a, r3.Scale(t, r3.Sub(b, a)))) }
		less := offA
		if math.Abs(offB) < math.Abs(offA) {
			less = offB
		}
		if (offA < 0) != (offB < 0) {
			less = 0
		}
		all = append(all, nearVent{v, [2][3]float64{at(from), at(to)}, less})
	}
	return all
}

// clipped is the part of the way from a to b on which what goes straight from one
// to the other stays within ±reach.
func clipped(a, b, reach float64) (from, to float64, ok bool) {
	to = 1
	if d := b - a; math.Abs(d) > 1e-12 {
		s, e := (-reach-a)/d, (reach-a)/d
		from, to = max(0, min(s, e)), min(1, max(s, e))
	} else if math.Abs(a) > reach {
		return 0, 0, false
	}
	return from, to, to > from
}

// vents draws the vents that pass through the cut or near it, as wide as they are.
func (f *cutFace) vents() {
	for _, near := range f.nearVents() {
		a, b := f.flat(near.ends[0]), f.flat(near.ends[1])
		long := math.Hypot(b.X-a.X, b.Y-a.Y)
		if long == 0 {
			continue
		}
		r := near.vent.DiameterMM / 2
		dx, dy := -(b.Y-a.Y)/long*r, (b.X-a.X)/long*r
		f.add(Poly{f.papers([]Point{a.plus(dx, dy), b.plus(dx, dy), b.plus(-dx, -dy), a.plus(-dx, -dy)}), ventPen, none, "vent"})
	}
}

// ventNames numbers the vents, as on the base board.
func (f *cutFace) ventNames() {
	for _, near := range f.nearVents() {
		words := "vent " + strconv.Itoa(near.vent.Post)
		r := near.vent.DiameterMM / 2
		switch {
		case math.Abs(near.lessMM) <= r:
			words += ", in the cut"
		case near.lessMM > 0:
			words += ", " + f.show.Length(near.lessMM-r) + " in front"
		default:
			words += ", " + f.show.Length(-near.lessMM-r) + " behind"
		}
		a, b := f.paper(f.flat(near.ends[0])), f.paper(f.flat(near.ends[1]))
		f.nameLine(a, b, r, smallMM, words, amber, "vent-label")
	}
}

// nameLine writes a name into the rubber beside a line that is as wide as twice r, on
// white where it covers hatching. It tells whether there was room.
func (f *cutFace) nameLine(a, b Point, r, size float64, words string, colour Colour, class string) bool {
	var tries []Text
	for _, share := range []float64{0.5, 0.35, 0.65, 0.2, 0.8} {
		at := Point{a.X + share*(b.X-a.X), a.Y + share*(b.Y-a.Y)}
		for _, away := range []float64{1.5, 5, 9, 14} {
			tries = append(tries,
				Text{at.plus(r+away, 0.36*size), size, words, Start, false, colour, class},
				Text{at.plus(-r-away, 0.36*size), size, words, End, false, colour, class},
				Text{at.plus(0, -r-away), size, words, Middle, false, colour, class},
				Text{at.plus(0, r+away+ascent*size), size, words, Middle, false, colour, class},
				Text{at.plus(r+away+ascent*size, 0), size, words, Middle, true, colour, class},
				Text{at.plus(-r-away, 0), size, words, Middle, true, colour, class})
		}
	}
	outside := corners(Rect{f.paper(Point{f.bounds.Min.X, f.bounds.Max.Y}), f.paper(Point{f.bounds.Max.X, f.bounds.Min.Y})})
	for _, t := range tries {
		r := t.box().grown(0.6)
		if bounds(outside.Points).holds(r) && !f.inPart(f.unpaper(r.Min)) && f.clearOfAllBut(r, "hinge-hatch", "knife-depth") {
			if !f.clear(r, true) {
				white := corners(r)
				white.Fill = paper
				f.add(white)
			}
			f.add(t)
			return true
		}
	}
	return false
}

// clearOfAllBut is clear, but some lines do not count.
func (f *cutFace) clearOfAllBut(r Rect, classes ...string) bool {
	for _, shape := range f.Shapes {
		switch s := shape.(type) {
		case Text:
			if r.overlaps(s.box()) {
				return false
			}
			continue
		case Line:
			if slices.Contains(classes, s.Class) {
				continue
			}
		}
		if slices.ContainsFunc(shape.edges(), r.crosses) {
			return false
		}
	}
	return true
}
