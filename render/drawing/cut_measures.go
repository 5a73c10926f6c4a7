package drawing

import "math"

// measureEnd draws how far an end of the line is along its edge, from the edge's left
// or lower end, or, of a facet, from the corner where the facet begins.
func (f *facePlan) measureEnd(end Point) {
	outline := f.outline()
	best, side := math.Inf(1), 0
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		d := Point{b.X - a.X, b.Y - a.Y}
		if long := math.Hypot(d.X, d.Y); long > 0 {
			if off := math.Abs(d.X*(end.Y-a.Y)-d.Y*(end.X-a.X)) / long; off < best-1e-6 {
				best, side = off, i
			}
		}
	}
	a, b := outline[side], outline[(side+1)%len(outline)]
	long := math.Hypot(b.X-a.X, b.Y-a.Y)
	out := Point{(b.Y - a.Y) / long, -(b.X - a.X) / long}
	from := f.measuredFrom(a, b)
	on := (end.X-a.X)*(b.X-a.X)/long + (end.Y-a.Y)*(b.Y-a.Y)/long
	end = a.plus(on*(b.X-a.X)/long, on*(b.Y-a.Y)/long)
	if math.Hypot(end.X-from.X, end.Y-from.Y) < 0.05 {
		f.beside(f.at(end.plus(4*out.X, 4*out.Y)), "at the corner")
		return
	}
	const away = 5
	p, q := from.plus(away*out.X, away*out.Y), end.plus(away*out.X, away*out.Y)
	f.add(Line{f.at(p), f.at(q), thinPen, "end-measure"},
		Line{f.at(from.plus(1*out.X, 1*out.Y)), f.at(from.plus((away+1.5)*out.X, (away+1.5)*out.Y)), thinPen, "end-tick"},
		Line{f.at(end.plus(1*out.X, 1*out.Y)), f.at(end.plus((away+1.5)*out.X, (away+1.5)*out.Y)), thinPen, "end-tick"})
	f.measureWords(p, q, out)
}

// measuredFrom is the end of an edge that a maker measures from.
func (f *facePlan) measuredFrom(a, b Point) Point {
	switch {
	case f.kind == roundWall && math.Abs(b.X-a.X) > math.Abs(b.Y-a.Y):
		return Point{0, a.Y}
	case f.plan.Box.Shape == "faceted" && f.kind == upperFace:
		return a
	case f.plan.Box.Shape == "faceted" && f.kind == lowerFace:
		return b
	case math.Abs(b.X-a.X) > math.Abs(b.Y-a.Y) == (a.X < b.X) && math.Abs(b.X-a.X) > math.Abs(b.Y-a.Y):
		return a
	case math.Abs(b.X-a.X) <= math.Abs(b.Y-a.Y) && a.Y < b.Y:
		return a
	}
	return b
}

// measureWords writes the length of a measure beside it.
func (f *facePlan) measureWords(p, q, out Point) {
	words := f.show.Length(math.Hypot(q.X-p.X, q.Y-p.Y))
	a, b := f.at(p), f.at(q)
	mid := Point{(a.X + b.X) / 2, (a.Y + b.Y) / 2}
	var tries []Text
	for _, size := range []float64{smallMM, 2.1} {
		for _, m := range []Point{mid, {mid.X + 6, mid.Y}, {mid.X - 6, mid.Y}, {b.X, b.Y}, {a.X, a.Y}} {
			if math.Abs(out.Y) > 0.7 { // out of the paper's upper or lower edge
				for _, y := range []float64{0, 3.2} {
					if out.Y < 0 {
						tries = append(tries, Text{m.plus(0, size+0.8+y), size, words, Middle, false, ink, "end-label"})
					} else {
						tries = append(tries, Text{m.plus(0, -1-y), size, words, Middle, false, ink, "end-label"})
					}
				}
				continue
			}
			for _, x := range []float64{0, 3.2} {
				if out.X > 0 {
					tries = append(tries, Text{m.plus(size+0.6+x, 0), size, words, Middle, true, ink, "end-label"})
				} else {
					tries = append(tries, Text{m.plus(-1-x, 0), size, words, Middle, true, ink, "end-label"})
				}
			}
		}
	}
	if !f.place(true, tries...) {
		f.place(false, tries...)
	}
}

// beside writes a word beside a place.
func (f *facePlan) beside(at Point, words string) {
	f.place(false, Text{at, smallMM, words, Middle, false, ink, "end-label"}, Text{at.plus(0, 3), smallMM, words, Middle, false, ink, "end-label"},
		Text{at.plus(0, -3), smallMM, words, Middle, false, ink, "end-label"})
}
