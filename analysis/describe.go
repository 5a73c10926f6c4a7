package analysis

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/moldbox"
	"pourwright/mesh"
)

// outlineStepMM is the least distance between points of the outline in the
// plan; the scan's own are often much closer.
const outlineStepMM = 0.3

func rows(p mesh.Pose) [3][3]float64 {
	return [3][3]float64{array(p.Rows[0]), array(p.Rows[1]), array(p.Rows[2])}
}

func describeBox(r moldbox.Result) Box {
	b := Box{
		Shape: r.Floor.Shape, Owned: r.Owned, OutlineMM: [][2]float64{}, FloorMM2: r.Floor.AreaMM2(), InsideMM: r.InsideMM, RubberLevelMM: r.RubberLevelMM,
		WallHeightMM: r.WallHeightMM, FreeboardMM: r.FreeboardMM,
		ClearanceMM: sidesOf(r.AskedMM, r.Floor), GapMM: sidesOf(r.GapMM, r.Floor), Thin: []Thin{}, Panels: []Panel{},
	}
	for _, c := range r.Floor.Outline {
		b.OutlineMM = append(b.OutlineMM, [2]float64{c.X, c.Y})
	}
	if r.Floor.RadiusMM > 0 {
		b.RadiusMM = &r.Floor.RadiusMM
	}
	for _, t := range r.Thin {
		b.Thin = append(b.Thin, Thin{Wall: t.Wall, GapMM: t.GapMM, AtMM: t.AtMM})
	}
	for _, p := range r.Panels {
		b.Panels = append(b.Panels, Panel{Name: p.Name, LengthMM: p.LengthMM, WidthMM: p.WidthMM,
			ThicknessMM: p.ThicknessMM, Count: p.Count, ScoresMM: p.ScoresMM, Note: p.Note})
	}
	return b
}

// sidesOf gives the figures of a box with the keys of the plan.
func sidesOf(s moldbox.Sides, floor moldbox.Floor) Sides {
	if floor.Shape == moldbox.Rectangle {
		return Sides{X0: s.X0, X1: s.X1, Y0: s.Y0, Y1: s.Y1, Cover: s.Cover}
	}
	return Sides{X0: s.Radial, X1: s.Radial, Y0: s.Radial, Y1: s.Radial, Cover: s.Cover, Radial: &s.Radial}
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

// cutArea is the rubber in the parting plane: the block's rectangle less the
// pattern and the stem.
func (j *job) cutArea(point, normal r3.Vec) float64 {
	box := j.plan.Box.InsideMM
	along := r3.Vec{X: -normal.Y, Y: normal.X}
	width := chord(point.X, along.X, box[0]/2, point.Y, along.Y, box[1]/2)
	return width*box[2] - j.parting.SectionMM2 - j.plan.Stand.StemMM*j.plan.Stand.SpoutDiameterMM
}

// chord returns the length of a line, given by a point and unit direction in
// x and y, inside the rectangle |x| ≤ a, |y| ≤ b around the point.
func chord(x, dx, a, y, dy, b float64) float64 {
	lo, hi := -1e9, 1e9
	for _, s := range [2][3]float64{{x, dx, a}, {y, dy, b}} {
		if s[1] == 0 {
			continue
		}
		t0, t1 := (-s[2]-s[0])/s[1], (s[2]-s[0])/s[1]
		lo, hi = max(lo, min(t0, t1)), min(hi, max(t0, t1))
	}
	return max(0, hi-lo)
}
