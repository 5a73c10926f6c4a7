package analysis

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/airtrap"
	"pourwright/mesh"
)

// airInParts looks for air under the pattern in both pours of a mold in two parts.
func (j *job) airInParts() error {
	mm3, depth, err := j.choices.leastAir()
	if err != nil {
		return err
	}
	j.plan.RubberTrap = []Trap{}
	for n, side := range [2]int{j.bed.First, 1 - j.bed.First} {
		pose := j.onBoard(side)
		s := airtrap.NewSurface(j.posed.Posed(pose).Mesh)
		found, err := airtrap.Find(s, airtrap.Input{Domain: airtrap.Outside, Up: r3.Vec{Z: 1}, PersistenceMM: depth, VolumeMM3: mm3})
		if err != nil {
			return err
		}
		var above []airtrap.Trap // what lies under the bed is in clay, or in the other part
		for _, t := range found {
			if h := j.opened.Height(back(pose, t.At)); h*float64(2*side-1) > 0 {
				above = append(above, t)
			}
		}
		traps := j.describeTraps(above, nil, 1)
		for i, r := range airtrap.Remedies(s, above, make([]bool, len(above))) {
			t := &traps[i]
			t.Part, t.Remedy = n+1, j.describeRemedy(r)
			t.AtMM = array(back(pose, above[i].At))
			for _, p := range []*[3]float64{t.Remedy.MouthMM, t.Remedy.OutMM} {
				if p != nil {
					*p = array(back(pose, vec(*p)))
				}
			}
		}
		j.plan.RubberTrap = append(j.plan.RubberTrap, traps...)
	}
	j.rubberTrapDoubts()
	return nil
}

// back moves a point against a pose.
func back(p mesh.Pose, q r3.Vec) r3.Vec {
	d := r3.Sub(q, p.T)
	return r3.Add(r3.Scale(d.X, p.Rows[0]), r3.Add(r3.Scale(d.Y, p.Rows[1]), r3.Scale(d.Z, p.Rows[2])))
}
