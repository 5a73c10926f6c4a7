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

// spoutHidden is the line of a spout on the far side.
var spoutHidden = dashed(amber, 2.4, 8, 6)

// drawDetailMarks draws the spout and the lines of the maker's balls.
func (c *canvas) drawDetailMarks(s *detailScene, v *worthView) {
	bias := 0.004*s.size + 1/v.cam.scale
	for _, m := range s.marks {
		var lines [][]point
		for _, l := range m.lines {
			seen, _ := v.solid.seen(v.cam, l, bias)
			lines = append(lines, seen...)
		}
		c.drawMarkLine(m.keep, lines)
	}
	if s.spout.rim == nil {
		return
	}
	seen, hidden := v.solid.seen(v.cam, s.spout.rim, bias)
	if v.cam.toward.Z < 0 && s.spout.stem == 0 && len(hidden) == 0 {
		c.fill(lamp, 0.9, v.cam.all(s.spout.rim))
	}
	c.draw(stroke{chalk, 6, 0.8, nil}, seen...)
	c.draw(line(lamp, 3.6), seen...)
	for _, path := range hidden {
		c.draw(stroke{chalk, 4.4, 0.6, nil}, path)
		c.draw(spoutHidden, path)
	}
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
