package analysis

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/cut"
	"pourwright/analysis/moldbox"
	"pourwright/mesh"
)

// outlineStepMM is the least distance between points of the outline in the
// plan; the scan's own are often much closer.
const outlineStepMM = 0.3

func (j *job) chooseCut() error {
	r, err := cut.Choose(j.ctx, j.posed, cut.Input{
		Axis: j.pose.Point(j.way.Spout), Centroid: j.pose.Point(j.measures.Centroid), Detail: j.detail,
		VolumeMM3: j.measures.VolumeMM3, AreaMM2: j.measures.AreaMM2,
		SpoutMM: j.way.SpoutDiameterMM, ClearanceMM: moldbox.DefaultClearanceMM(j.plan.Scan.TightestBoxMM[0]),
		Progress: func(done, total int64) { j.tell.Tell("choosing the cut", done, total) },
	})
	if err != nil {
		return err
	}
	j.parting = r
	return nil
}

// describeCut moves the parting plane by turn into the stand frame.
func (j *job) describeCut(turn mesh.Pose) Cut {
	p := j.parting
	c := Cut{
		PointMM: array(turn.Point(p.Point)), Normal: array(turn.Dir(p.Normal)),
		OutlineMM: p.OutlineMM, Outline: [][][3]float64{},
		DetailCrossed: p.DetailCrossed, UndercutMM3: p.UndercutMM3, Searched: p.Searched, Why: p.Why(),
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
