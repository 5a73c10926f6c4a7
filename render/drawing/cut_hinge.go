package drawing

import (
	"math"
	"slices"
)

// cutWay is what is cut of the face when a hinge is left: the polygon from the
// spout along the slit to its end, out to the edge, and back to the spout along the
// edge. Nil when all of it is cut, or when the knife's stop is not known.
func (f *cutFace) cutWay() []Point {
	var way []Point
	for _, p := range f.cutRim() {
		way = append(way, f.rimAt(p))
	}
	if way == nil {
		return nil
	}
	return append(slices.Clone(f.slit), way...)
}

// cutRim is the part of the edge that is cut when a hinge is left, from the knife's
// stop to the spout. Nil when all of it is, or when the stop is not known.
func (f *cutFace) cutRim() []rimPlace {
	if f.stop == nil || len(f.slit) < 2 || len(f.hinge) < 2 {
		return nil
	}
	// Both ways along the edge; the right one leaves hinge and part out.
	start, end := f.mouthOnRim(), f.onRim(f.stop[1])
	middle, part := f.hinge[len(f.hinge)/2], f.partMiddle()
	for _, back := range [2]bool{false, true} {
		places := f.alongRim(end, start, back)
		way := slices.Clone(f.slit)
		for _, p := range places {
			way = append(way, f.rimAt(p))
		}
		if !within(way, middle) && !within(way, part) {
			return places
		}
	}
	return nil
}

// partMiddle is a place in the part.
func (f *cutFace) partMiddle() Point {
	a, b := f.slit[len(f.slit)/2], f.hinge[len(f.hinge)/2]
	for k := 1; k < 20; k++ {
		t := float64(k) / 20
		if p := (Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)}); f.inPart(p) {
			return p
		}
	}
	return b
}

// rimPlace is a place on the edge: on which side of the polygon, and how far along.
type rimPlace struct {
	side int
	t    float64
}

// onRim is the place on the edge next to a point.
func (f *cutFace) onRim(p Point) rimPlace {
	best, at := math.Inf(1), rimPlace{}
	for i, a := range f.rim {
		b := f.rim[(i+1)%len(f.rim)]
		dx, dy := b.X-a.X, b.Y-a.Y
		t := 0.0
		if n := dx*dx + dy*dy; n > 0 {
			t = max(0, min(1, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/n))
		}
		if d := math.Hypot(a.X+t*dx-p.X, a.Y+t*dy-p.Y); d < best {
			best, at = d, rimPlace{i, t}
		}
	}
	return at
}

// mouthOnRim is the place on the edge below the spout.
func (f *cutFace) mouthOnRim() rimPlace {
	foot := spoutOf(f.plan)
	foot[2] = 0
	return f.onRim(f.flat(foot))
}

func (f *cutFace) rimAt(p rimPlace) Point {
	a, b := f.rim[p.side], f.rim[(p.side+1)%len(f.rim)]
	return Point{a.X + p.t*(b.X-a.X), a.Y + p.t*(b.Y-a.Y)}
}

// alongRim goes along the edge from one place to another, in the order of its
// corners or against it.
func (f *cutFace) alongRim(from, to rimPlace, back bool) []rimPlace {
	if back {
		way := f.alongRim(to, from, false)
		slices.Reverse(way)
		return way
	}
	way, n := []rimPlace{from}, len(f.rim)
	side := from.side
	if side != to.side || from.t > to.t {
		for {
			side = (side + 1) % n
			way = append(way, rimPlace{side, 0})
			if side == to.side {
				break
			}
		}
	}
	return append(way, to)
}

const hatchMM = 3 // from line to line

// hatch hatches the rubber of the cut that is left whole.
func (f *cutFace) hatch() {
	cut := f.cutWay()
	if cut == nil {
		return
	}
	stem := f.stem()
	areas := append([][]Point{f.rim, cut, stem}, f.pattern...)
	whole := func(p Point) bool {
		return within(f.rim, p) && !within(cut, p) && !within(stem, p) && !f.inPart(p)
	}
	// Lines across the paper, rising to the right: y = x + c.
	step := hatchMM * math.Sqrt2
	low, high := f.bounds.Min.Y-f.bounds.Max.X, f.bounds.Max.Y-f.bounds.Min.X
	for c := math.Ceil(low/step) * step; c < high; c += step {
		at := func(x float64) Point { return Point{x, x + c} }
		xs := crossingsOf(areas, c)
		for i := 1; i < len(xs); i++ {
			if a, b := xs[i-1], xs[i]; b-a > 0.7 && whole(at((a+b)/2)) {
				f.add(Line{f.paper(at(a)), f.paper(at(b)), hatchPen, "hinge-hatch"})
			}
		}
	}
}

// crossingsOf are the x at which the line y = x + c crosses polygons, in order.
func crossingsOf(polygons [][]Point, c float64) []float64 {
	var xs []float64
	for _, polygon := range polygons {
		for i, a := range polygon {
			b := polygon[(i+1)%len(polygon)]
			da, db := a.Y-a.X-c, b.Y-b.X-c
			if (da < 0) != (db < 0) {
				xs = append(xs, a.X+da/(da-db)*(b.X-a.X))
			}
		}
	}
	slices.Sort(xs)
	return xs
}

// stopMark draws where the knife stops.
func (f *cutFace) stopMark() {
	if len(f.slit) < 2 || len(f.hinge) < 2 {
		return
	}
	end := f.paper(f.slit[len(f.slit)-1])
	if f.stop != nil {
		a, b := f.paper(f.stop[0]), f.paper(f.stop[1])
		f.add(Line{a, b, stopPen, "stop"})
	}
	f.add(Line{end.plus(-3, -3), end.plus(3, 3), stopPen, "stop-end"}, Line{end.plus(-3, 3), end.plus(3, -3), stopPen, "stop-end"})
}

// stopNames writes beside the stop what it is, and how high up the block.
func (f *cutFace) stopNames() {
	if len(f.slit) < 2 || len(f.hinge) < 2 {
		return
	}
	end := f.paper(f.slit[len(f.slit)-1])
	to := end
	if f.stop != nil {
		to = f.paper(f.stop[1])
	}
	for _, size := range []float64{nameMM, bodyMM, smallMM} {
		if f.nameLine(end, to, 3.5, size, "STOP HERE", ink, "stop-label") {
			break
		}
	}
	for _, size := range []float64{nameMM, smallMM} {
		for _, k := range []int{5, 6, 4, 7, 3, 8, 2} {
			at := f.paper(f.hinge[len(f.hinge)*k/10])
			if f.nameLine(at, at, 6, size, "hinge: do not cut", ink, "hinge-label") {
				return
			}
		}
	}
}

// stopHeight writes outside the block where on it the knife stops: how far up, or
// how far from the left on an edge that is level.
func (f *cutFace) stopHeight() {
	if f.stop == nil || f.toward.Z*f.toward.Z > 0.5 {
		return
	}
	at, in, ok := f.edgeAt(f.stop[1])
	if !ok {
		return
	}
	words := append([]string{"stop, up"}, f.lengths(f.plan.Cut.Hinge.Stop[1][2])...)
	if math.Abs(in.Y) > 0.7 {
		words = append(append([]string{"stop"}, f.lengths(at.X-f.bounds.Min.X)...), "from left")
	}
	f.lines(f.paper(at.plus(-3*in.X, -3*in.Y)), Point{-in.X, in.Y}, words, "stop-height")
}
