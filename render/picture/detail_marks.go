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
func (s *detailScene) addMark(b [4]float64, toScene mesh.Pose, keep bool) {
	centre, radius := toScene.Point(r3.Vec{X: b[0], Y: b[1], Z: b[2]}), b[3]
	m := ballMark{keep: keep}
	for f := range s.scan.Faces {
		p, q, r := s.scan.Corners(f)
		var ends []r3.Vec
		for _, e := range [3][2]r3.Vec{{p, q}, {q, r}, {r, p}} {
			ends = append(ends, throughBall(e[0], e[1], centre, radius)...)
		}
		if len(ends) == 2 {
			m.lines = append(m.lines, ends)
		}
	}
	s.marks = append(s.marks, m)
}

// throughBall returns where an edge passes through the surface of a ball.
func throughBall(a, b, centre r3.Vec, radius float64) []r3.Vec {
	d, o := r3.Sub(b, a), r3.Sub(a, centre)
	dd, od, oo := r3.Norm2(d), r3.Dot(o, d), r3.Norm2(o)-radius*radius
	root := od*od - dd*oo
	if !(root > 0) || dd == 0 {
		return nil
	}
	root = math.Sqrt(root)
	var at []r3.Vec
	for _, t := range [2]float64{(-od - root) / dd, (-od + root) / dd} {
		if t >= 0 && t < 1 {
			at = append(at, along(a, b, t))
		}
	}
	return at
}

// The rim of a spout on this side of the pattern, and on the far side.
var (
	spoutSeen   = line(lamp, 4)
	spoutHidden = dashed(lamp, 3, 8, 6)
)

// drawDetailMarks draws the lines of the maker's balls, and the spout where there
// is no stem to show it.
func (c *canvas) drawDetailMarks(s *detailScene, v *worthView) {
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

// drawMarkLine draws where a ball cuts the surface: white within dark for what is
// kept clear, dark within white for what is plain.
func (c *canvas) drawMarkLine(keep bool, lines [][]point) {
	inner, outer := chalk, ink
	if !keep {
		inner, outer = ink, chalk
	}
	c.draw(line(outer, 6.4), lines...)
	c.draw(line(inner, 3), lines...)
}
