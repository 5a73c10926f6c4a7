package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// ballMark is where a ball of the maker's cuts the surface.
type ballMark struct {
	keep  bool
	lines [][]r3.Vec
}

// addMark finds the line in which a ball x, y, z, radius of the scan frame cuts
// the pattern.
func (s *heatScene) addMark(b [4]float64, toScene mesh.Pose, keep bool) {
	centre := toScene.Point(r3.Vec{X: b[0], Y: b[1], Z: b[2]})
	m := ballMark{keep: keep}
	for f := range s.scan.Faces {
		m.lines = append(m.lines, cutByBall(s.scan, f, centre, b[3])...)
	}
	s.marks = append(s.marks, m)
}

// cutByBall returns the arcs in which a ball cuts a face. Going round the face, its
// edges pass into and out of the ball by turns; as the part inside is convex, an
// arc leads from where they pass out to where they next pass in.
func cutByBall(m *mesh.Mesh, f int, centre r3.Vec, radius float64) [][]r3.Vec {
	a, b, c := m.Corners(f)
	n := m.DoubleAreaNormal(f)
	size := r3.Norm(n)
	off := 0.0
	if size > 0 {
		n = r3.Scale(1/size, n)
		off = r3.Dot(r3.Sub(a, centre), n)
	}
	if size == 0 || math.Abs(off) >= radius {
		return nil
	}
	around := arcs{middle: r3.Add(centre, r3.Scale(off, n)), radius: math.Sqrt(radius*radius - off*off)}
	around.x, around.y = mesh.Frame(n)
	var ends []r3.Vec
	for _, e := range [3][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
		ends = append(ends, throughBall(e[0], e[1], centre, radius)...)
	}
	if len(ends) == 0 {
		if inFace(a, b, c, n, around.middle) && !within(a, centre, radius) {
			return [][]r3.Vec{around.line(0, 2*math.Pi)}
		}
		return nil
	}
	if !within(a, centre, radius) { // the first end leads in
		ends = append(ends[1:], ends[0])
	}
	var lines [][]r3.Vec
	for k := 0; k+1 < len(ends); k += 2 {
		out, in := around.angle(ends[k]), around.angle(ends[k+1])
		for in > out { // clockwise: the ball's part lies to the left of the edges
			in -= 2 * math.Pi
		}
		if other := in + 2*math.Pi; !inFace(a, b, c, n, around.at((out+in)/2)) && inFace(a, b, c, n, around.at((out+other)/2)) {
			in = other
		}
		lines = append(lines, around.line(out, in))
	}
	return lines
}

// arcs are parts of a circle in the plane of a face.
type arcs struct {
	middle, x, y r3.Vec
	radius       float64
}

func (c *arcs) at(angle float64) r3.Vec {
	sin, cos := math.Sincos(angle)
	return r3.Add(c.middle, r3.Add(r3.Scale(c.radius*cos, c.x), r3.Scale(c.radius*sin, c.y)))
}

func (c *arcs) angle(p r3.Vec) float64 {
	d := r3.Sub(p, c.middle)
	return math.Atan2(r3.Dot(d, c.y), r3.Dot(d, c.x))
}

func (c *arcs) line(from, to float64) []r3.Vec {
	const step = math.Pi / 36
	n := int(math.Abs(to-from)/step) + 1
	line := make([]r3.Vec, n+1)
	for k := range line {
		line[k] = c.at(from + (to-from)*float64(k)/float64(n))
	}
	return line
}

// inFace tells whether a point of its plane is in a face with unit normal n.
func inFace(a, b, c, n, p r3.Vec) bool {
	left := func(a, b r3.Vec) bool { return r3.Dot(r3.Cross(r3.Sub(b, a), r3.Sub(p, a)), n) >= 0 }
	return left(a, b) && left(b, c) && left(c, a)
}

// throughBall returns where an edge passes through the surface of a ball: once
// between an end inside and one outside, and twice or not at all between two outside.
func throughBall(a, b, centre r3.Vec, radius float64) []r3.Vec {
	d, o := r3.Sub(b, a), r3.Sub(a, centre)
	dd, od, oo := r3.Norm2(d), r3.Dot(o, d), r3.Norm2(o)-radius*radius
	insideA, insideB := within(a, centre, radius), within(b, centre, radius)
	root := math.Sqrt(max(0, od*od-dd*oo))
	at := func(t float64) r3.Vec { return along(a, b, min(max(t, 0), 1)) }
	first, second := (-od-root)/dd, (-od+root)/dd
	switch {
	case dd == 0 || insideA && insideB:
		return nil
	case insideA:
		return []r3.Vec{at(second)}
	case insideB:
		return []r3.Vec{at(first)}
	case root > 0 && first > 0 && second < 1:
		return []r3.Vec{at(first), at(second)}
	}
	return nil
}

func within(p, centre r3.Vec, radius float64) bool { return r3.Norm(r3.Sub(p, centre)) < radius }

// The rim of a spout on this side of the pattern, and on the far side.
var (
	spoutSeen   = line(lamp, 4)
	spoutHidden = dashed(lamp, 3, 8, 6)
)

// drawHeatMarks draws the lines of the maker's balls, and the spout where there
// is no stem to show it.
func (c *canvas) drawHeatMarks(s *heatScene, v *worthView) {
	bias := 0.004*s.size + 1/v.cam.scale
	for _, keep := range []bool{false, true} {
		var lines [][]point
		for _, m := range s.marks {
			if m.keep != keep {
				continue
			}
			for _, l := range m.lines {
				seen, _ := v.solid.seen(v.cam, l, bias)
				lines = append(lines, seen...)
			}
		}
		c.drawMarkLine(keep, lines)
	}
	if s.spout.radius > 0 && s.spout.stem == 0 {
		seen, hidden := v.solid.seen(v.cam, circle(s.spout.middle, s.spout.radius), bias)
		c.drawRim(spoutHidden, hidden...)
		c.drawRim(spoutSeen, seen...)
	}
}

// drawRim draws a line with a dark edge, which shows on every colour of the map.
func (c *canvas) drawRim(s stroke, lines ...[]point) {
	edge := s
	edge.colour, edge.width = ink, s.width+3
	c.draw(edge, lines...)
	c.draw(s, lines...)
}

// drawMarkLine draws where a ball cuts the surface: white for what is kept clear,
// sea-glass for what is plain.
func (c *canvas) drawMarkLine(keep bool, lines [][]point) {
	colour := chalk
	if !keep {
		colour = glass
	}
	c.draw(line(ink, 6.4), lines...)
	c.draw(line(colour, 3.4), lines...)
}
