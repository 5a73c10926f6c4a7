package drawing

import (
	"math"
)

// edgeNames names the faces of the block along the edges of the cut, outside the
// figures.
func (f *cutFace) edgeNames() {
	faces := facesOf(f.plan)
	for _, e := range entries(faces, f.plan.Cut.Rim, true) {
		points := f.flats(e.points)
		a, b := points[0], points[len(points)-1]
		if len(points) > 2 && math.Hypot(b.X-a.X, b.Y-a.Y) < 1 {
			continue
		}
		f.edgeName(Point{(a.X + b.X) / 2, (a.Y + b.Y) / 2}, b.X-a.X, b.Y-a.Y, faces[e.face].title())
	}
	// Where the spout end is, whatever the names are.
	x := f.origin.X + f.bounds.Max.X + aroundMM - 4
	y := f.origin.Y - f.bounds.Min.Y
	if f.toward.Z*f.toward.Z < 0.5 {
		f.arrow(Point{x, y - 14}, Point{x, y}, Pen{amber, 0.6, nil}, 4, "spout-end")
		f.place(false, Text{Point{x, y + 4}, smallMM, "spout end", End, false, ink, "spout-end-label"}, Text{Point{x, y + 8}, smallMM, "spout end", End, false, ink, "spout-end-label"})
	}
}

// edgeName writes a name along an edge, outside the block.
func (f *cutFace) edgeName(middle Point, dx, dy float64, words string) {
	const away, size = 19.0, 3.6
	at := f.paper(middle)
	center := f.paper(Point{(f.bounds.Min.X + f.bounds.Max.X) / 2, (f.bounds.Min.Y + f.bounds.Max.Y) / 2})
	var tries []Text
	for _, more := range []float64{0, -3, 2} {
		for _, along := range []float64{0, 20, -20, 45, -45} {
			if math.Abs(dx) > math.Abs(dy) {
				up := math.Copysign(1, at.Y-center.Y)
				tries = append(tries, Text{at.plus(along, up*(away+more-4)+1.3), size, words, Middle, false, shade, "edge-name"})
				continue
			}
			out := math.Copysign(1, at.X-center.X)
			tries = append(tries, Text{at.plus(out*(away+more)+1.3, along), size, words, Middle, true, shade, "edge-name"})
		}
	}
	f.place(true, tries...)
}

// names names what is on the face.
func (f *cutFace) names() {
	f.stopNames()
	f.ventNames()
	seen, _ := f.halves()
	words := seen + " half"
	for _, size := range []float64{6, 4.5, 3.5} {
		if f.inPattern(size, words) {
			return
		}
	}
}

// inPattern writes words where there is the most room around them in the part,
// otherwise leaves them out: the head says the same.
func (f *cutFace) inPattern(size float64, words string) bool {
	r := f.bounds
	const steps = 40
	for k := range steps {
		// From the middle outward, up and down in turn.
		t := 0.5 + float64((k+1)/2)*math.Copysign(1, float64(k%2)-0.5)/steps
		y := r.Min.Y + t*(r.Max.Y-r.Min.Y)
		for _, up := range [2]bool{false, true} {
			for i := range 9 {
				x := r.Min.X + (r.Max.X-r.Min.X)*(0.1+0.1*float64(i))
				if !f.inPart(Point{x, y}) {
					continue
				}
				if text := (Text{f.paper(Point{x, y}), size, words, Middle, up, shade, "half"}); f.place(true, text) {
					return true
				}
			}
		}
	}
	return false
}
