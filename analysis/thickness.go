package analysis

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/moldbox"
	"pourwright/analysis/shelf"
	"pourwright/analysis/wall"
)

// Thinnest that casting materials fill, mm (common practice, no source).
const (
	leastResinMM = 1.5
	leastFoamMM  = 6
)

// measureRubber finds how thick the rubber is everywhere.
func (j *job) measureRubber() error {
	b, s := j.plan.Box, j.plan.Stand
	c := b.ClearanceMM
	in := wall.Input{
		Tree: j.search(), Side: j.besideFillers(j.wallDistance()), LevelMM: b.RubberLevelMM,
		ClearanceMM: min(c.X0, c.X1, c.Y0, c.Y1), ShoreA: j.rubber.ShoreA, CastLeastMM: leastFoamMM,
		Progress: func(done, total int64) { j.tell.Tell("measuring the rubber", done, total) },
	}
	if j.casting.Kind == shelf.Resin {
		in.CastLeastMM = leastResinMM
	}
	if s.StemMM > 0 {
		spout := j.pose.Point(j.way.Spout)
		in.Stem = &wall.Stem{X: spout.X, Y: spout.Y, DiameterMM: s.SpoutDiameterMM, LengthMM: s.StemMM}
	}
	r, err := wall.Thickness(j.ctx, j.posed.Mesh, in)
	if err != nil {
		return err
	}
	j.plan.Thickness = r.Vertex
	j.plan.Wall = describeWall(r)
	j.plan.Findings = append(j.plan.Findings, r.Findings...)
	return nil
}

// wallDistance is the distance from a point in the box to the nearest wall.
func (j *job) wallDistance() func(p r3.Vec) float64 {
	b := j.plan.Box
	switch b.Shape {
	case moldbox.Tube:
		return wall.Tube(2 * j.floor.RadiusMM)
	case moldbox.Faceted:
		return wall.Outline(append([]r2.Vec{}, j.floor.Outline...))
	}
	return wall.Rectangle(b.InsideMM[0], b.InsideMM[1])
}

// besideFillers lets a distance end at fillers as well.
func (j *job) besideFillers(side func(r3.Vec) float64) func(r3.Vec) float64 {
	if len(j.fillers) == 0 {
		return side
	}
	return func(p r3.Vec) float64 {
		least := side(p)
		for _, f := range j.fillers {
			least = min(least, f.DistanceMM(p))
		}
		return least
	}
}

func describeWall(r wall.Result) Wall {
	w := Wall{
		MinMM: r.Wall.MM, MinAtMM: array(r.Wall.At), AreaMM2: r.AreaMM2, ThinMM: r.ThinMM, ThinMM2: r.ThinMM2,
		FloppyMM: r.FloppyMM, FloppyMM2: r.FloppyMM2, WastedMM: r.WastedMM, WastedMM2: r.WastedMM2,
		Histogram: []WallBin{}, Webs: []Web{}, CastThin: []CastThin{}, Samples: r.Samples, SpacingMM: r.SpacingMM,
	}
	if r.Web != nil {
		w.WebMM = &r.Web.MM
	}
	if r.Floor != nil {
		w.FloorMM = &r.Floor.MM
	}
	for _, b := range r.Histogram {
		w.Histogram = append(w.Histogram, WallBin{b.FromMM, b.ToMM, b.AreaMM2})
	}
	for _, x := range r.Webs {
		w.Webs = append(w.Webs, Web{AtMM: array(x.At), ThicknessMM: x.MM, AreaMM2: x.SheetMM2, DepthMM: x.DepthMM, Strain: x.Strain})
	}
	for _, p := range r.Cast.Places {
		w.CastThin = append(w.CastThin, CastThin{AtMM: array(p.At), ThicknessMM: p.MM, AreaMM2: p.SheetMM2})
	}
	w.CastLeastMM, w.CastThinMM2 = r.Cast.LeastMM, r.Cast.ThinMM2
	return w
}
