package analysis

import "pourwright/analysis/detail"

func (j *job) scoreDetail() error {
	r, err := detail.Score(j.solid.Mesh, detail.Input{})
	if err != nil {
		return err
	}
	j.detail = r.Vertex
	j.plan.Scan.DetailRadiusMM = r.RadiusMM
	return nil
}
