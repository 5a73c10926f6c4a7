package analysis

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/analysis/moldbox"
	"pourwright/mesh"
)

// search returns the search tree of the pattern in the stand frame, made once.
func (j *job) search() *mesh.Tree {
	switch {
	case j.tree != nil:
	case j.scanTree != nil:
		j.tree = j.scanTree.Posed(j.pose)
	default:
		j.tree = mesh.NewTree(j.posed.Mesh)
	}
	return j.tree
}

// fillBox puts fillers where rubber would only be waste, if that is wanted.
func (j *job) fillBox() error {
	j.plan.Box.Fillers = []Filler{}
	if !j.choices.Fillers {
		return nil
	}
	b := j.plan.Box
	if b.Shape != moldbox.Rectangle {
		return &Refusal{"fillers are for a rectangular box", "Leave --fillers out: a tube or a faceted box hugs the part already."}
	}
	tree := j.search()
	all, err := moldbox.Fillers(j.ctx, j.floor, b.WallHeightMM, b.RubberLevelMM, moldbox.Void{
		ClearanceMM: min(b.ClearanceMM.X0, b.ClearanceMM.X1, b.ClearanceMM.Y0, b.ClearanceMM.Y1),
		Distance: func(p r3.Vec) float64 {
			hit, _ := tree.Closest(p, math.Inf(1))
			return hit.Distance
		},
		Keep: j.pillars(), CutPoint: vec(j.plan.Cut.PointMM), CutNormal: vec(j.plan.Cut.Normal),
	})
	if err != nil {
		return err
	}
	saved := 0.0
	for _, f := range all {
		v := f.VolumeMM3(b.RubberLevelMM)
		saved += v
		out := Filler{Kind: f.Kind, HeightMM: f.HeightMM, FootMM: [][2]float64{}, VolumeMM3: v}
		for _, p := range f.Foot {
			out.FootMM = append(out.FootMM, [2]float64{p.X, p.Y})
		}
		j.plan.Box.Fillers = append(j.plan.Box.Fillers, out)
	}
	j.fillers = all
	switch {
	case len(all) == 0:
		j.find(finding.Finding{Question: "moldbox", Level: finding.Note,
			Text: "There is no corner or void in this box that is worth a filler.", Action: "Leave --fillers out, or compare the other shapes of box."})
	default:
		j.find(finding.Finding{Question: "moldbox", Level: finding.Note,
			Text:   fmt.Sprintf("%d fillers take the place of %.0f mL of rubber.", len(all), saved/1000),
			Action: "Make them of sealed wood or old rubber of the same cure, and glue them to board and wall: they float like anything else."})
	}
	return nil
}

// pillars are the stem and the posts as round upright places, slanted ones with
// all that they pass over.
func (j *job) pillars() []moldbox.Pillar {
	var all []moldbox.Pillar
	spout := j.pose.Point(j.way.Spout)
	if s := j.plan.Stand; s.StemMM > 0 {
		all = append(all, moldbox.Pillar{At: r2.Vec{X: spout.X, Y: spout.Y}, RadiusMM: s.SpoutDiameterMM / 2})
	}
	for _, v := range j.vents {
		if v == nil {
			continue
		}
		a, b := r2.Vec{X: v.From.X, Y: v.From.Y}, r2.Vec{X: v.To.X, Y: v.To.Y}
		all = append(all, moldbox.Pillar{At: r2.Scale(0.5, r2.Add(a, b)), RadiusMM: r2.Norm(r2.Sub(a, b))/2 + v.DiameterMM/2})
	}
	return all
}
