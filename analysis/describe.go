package analysis

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// outlineStepMM is the least distance between points of the outline in the
// plan; the scan's own are often much closer.
const outlineStepMM = 0.3

func rows(p mesh.Pose) [3][3]float64 {
	return [3][3]float64{array(p.Rows[0]), array(p.Rows[1]), array(p.Rows[2])}
}

// describeCut moves the parting plane by turn into the stand frame.
func (j *job) describeCut(turn mesh.Pose) Cut {
	p := j.parting
	c := Cut{
		PointMM: array(turn.Point(p.Point)), Normal: array(turn.Dir(p.Normal)),
		OutlineMM: p.OutlineMM, Outline: [][][3]float64{},
		DetailCrossed: p.DetailCrossed, UndercutMM3: p.UndercutMM3, Searched: p.Searched, Why: p.Why,
	}
	for _, l := range p.Outline {
		c.Outline = append(c.Outline, thinned(l.Points, turn))
	}
	c.AreaMM2 = j.cutArea(turn.Point(p.Point), turn.Dir(p.Normal))
	return c
}

// thinned moves a loop by turn and leaves out points that are too close.
func thinned(points []r3.Vec, turn mesh.Pose) [][3]float64 {
	var out [][3]float64
	var last r3.Vec
	for i, p := range points {
		if i == 0 || r3.Norm(r3.Sub(p, last)) >= outlineStepMM {
			out = append(out, array(turn.Point(p)))
			last = p
		}
	}
	return out
}
