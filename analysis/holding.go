package analysis

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
	"pourwright/analysis/hold"
	"pourwright/analysis/moldbox"
	"pourwright/analysis/shelf"
	"pourwright/mesh"
)

// holdPattern works out whether the pattern stays where it is glued.
func (j *job) holdPattern() error {
	if j.choices.twoPart() {
		return j.holdParts()
	}
	b, s := j.plan.Box, j.plan.Stand
	in := hold.Input{
		Solid: j.posed, Tree: j.search(), Contact: hold.Touch(j.posed.Mesh, hold.ContactHeightMM), StemMM: s.StemMM,
		Mass: j.patternMass(), DensityGPerCM3: hold.Range(j.rubber.DensityGPerCM3), ViscosityPaS: j.rubber.ViscosityPaS,
		LevelMM: b.RubberLevelMM, InsideMM: [2]float64{b.InsideMM[0], b.InsideMM[1]}, Walls: j.pinWalls(),
		RubberMM3: j.plan.Rubber.NetMM3, BoxG: j.boxG(), Kinds: j.glues(), Detail: j.detail,
		CutPoint: vec(j.plan.Cut.PointMM), CutAcross: vec(j.plan.Cut.Normal),
	}
	if s.StemMM > 0 {
		spout := j.pose.Point(j.way.Spout)
		in.Contact = hold.Disc(r2.Vec{X: spout.X, Y: spout.Y}, s.SpoutDiameterMM)
	}
	for _, v := range j.vents {
		if v != nil {
			in.Posts = append(in.Posts, hold.Post{Foot: v.To, Top: v.From, DiameterMM: v.DiameterMM})
		}
	}
	r, err := hold.Hold(j.ctx, in)
	if err != nil {
		return err
	}
	if s.StemMM > 0 {
		if r, err = j.holdOnStem(in, r); err != nil {
			return err
		}
	}
	j.plan.Hold = describeHold(r)
	j.plan.Rubber.FilledBoxG = &r.Weights.FilledBoxG.High
	j.plan.Findings = append(j.plan.Findings, r.Findings...)
	return nil
}

// holdOnStem looks at the second joint of a pattern on a stem, where the two meet.
// There the top of the stem is the board, and what stands lower is left out. The
// weaker joint decides.
func (j *job) holdOnStem(in hold.Input, onBoard hold.Result) (hold.Result, error) {
	stem := in.StemMM
	down := mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: r3.Vec{Z: -stem}}
	above := in
	above.Solid, above.Tree = in.Solid.Posed(down), in.Tree.Posed(down)
	spout := j.pose.Point(j.way.Spout)
	above.Contact = hold.TouchOn(above.Solid.Mesh, hold.ContactHeightMM, r2.Vec{X: spout.X, Y: spout.Y}, j.plan.Stand.SpoutDiameterMM)
	above.StemMM, above.LevelMM = 0, in.LevelMM-stem
	above.Posts = nil
	for _, p := range in.Posts {
		if p.Top.Z > stem && p.Top.Z > p.Foot.Z {
			p.Foot = r3.Add(p.Foot, r3.Scale((stem-p.Foot.Z)/(p.Top.Z-p.Foot.Z), r3.Sub(p.Top, p.Foot)))
			p.Foot.Z, p.Top.Z = 0, p.Top.Z-stem
			above.Posts = append(above.Posts, p)
		}
	}
	above.CutPoint = r3.Sub(in.CutPoint, r3.Vec{Z: stem})
	r, err := hold.Hold(j.ctx, above)
	if err != nil || r.Held < 0 && onBoard.Held < 0 && r.PatchMM2 > onBoard.PatchMM2 {
		return onBoard, err
	}
	for i := range r.Need {
		r.Need[i].Holds = r.Need[i].Holds && onBoard.Need[i].Holds
	}
	if r.Held >= 0 && (onBoard.Held < 0 || !r.Need[r.Held].Holds) {
		return onBoard, nil // the joint on the board is the weaker one
	}
	for i := range r.Pins {
		r.Pins[i].ZMM += stem
		r.Pins[i].AtMM[2] += stem
	}
	if r.Bar != nil {
		r.Bar.AtMM[2] += stem
	}
	for i := range r.Findings {
		if at := r.Findings[i].AtMM; at != nil {
			raised := [3]float64{at[0], at[1], at[2] + stem}
			r.Findings[i].AtMM = &raised
		}
	}
	r.Weights = onBoard.Weights
	r.Uplift.LeakingAtMM += stem
	r.Uplift.SealedAtMM += stem
	r.Findings = append(r.Findings, finding.Finding{Question: "hold", Level: finding.Note,
		Text:   fmt.Sprintf("The joint that counts is the one between stem and pattern, %.0f mm².", r.PatchMM2),
		Action: "Drill a dowel or a screw through the stem into the pattern as well, wherever it may have a hole."})
	return r, nil
}

// patternMass is what the original weighs: by scale, by its material, or between
// the extremes.
func (j *job) patternMass() hold.Mass {
	switch {
	case j.choices.WeightG > 0:
		return hold.Weighed(j.choices.WeightG)
	case j.pattern != nil:
		return hold.MassOf(j.plan.Scan.MaterialMM3, j.pattern.Name, hold.Range(j.pattern.DensityGPerCM3))
	}
	return hold.UnknownMass(j.plan.Scan.MaterialMM3)
}

// boxG is the mass of the boards; 0 when it is not known.
func (j *job) boxG() float64 {
	sum := 0.0
	for _, p := range j.plan.Box.Panels {
		density := j.board.DensityGPerCM3
		if p.Board == j.base.Key {
			density = j.base.DensityGPerCM3
		}
		sum += float64(p.Count) * p.LengthMM * p.WidthMM * p.ThicknessMM / 1000 * density.Likely
	}
	return sum
}

// pinWalls are the walls that a pin can go through.
func (j *job) pinWalls() []hold.Wall {
	switch b := j.plan.Box; b.Shape {
	case moldbox.Rectangle:
		return hold.RectangleWalls(b.InsideMM[0], b.InsideMM[1], j.board.ThicknessMM)
	case moldbox.Faceted:
		return hold.WrapWalls("wrap", j.floor.Outline)
	}
	return nil
}

// glues are the ways on the shelf to hold this pattern down.
func (j *job) glues() []hold.Kind {
	var kinds []hold.Kind
	for _, g := range j.shelf.Glues() {
		if j.pattern == nil || !j.pattern.Porous || g.Porous {
			kinds = append(kinds, glueKind(g))
		}
	}
	return kinds
}

func glueKind(g shelf.Glue) hold.Kind {
	return hold.Kind{Name: g.Name, TensilePa: hold.Range(g.TensilePa), ShearPa: hold.Range(g.ShearPa), EachN: hold.Range(g.EachN), Basis: g.Basis}
}

func describeHold(r hold.Result) Hold {
	u := r.Uplift
	h := Hold{
		PatternLowG: r.Mass.LowG, PatternHighG: r.Mass.HighG, PatternFrom: r.Mass.From, PatternKnown: r.Mass.Known,
		UpliftSealedN: u.SealedN.Likely, UpliftLeakingN: u.LeakingN.Likely, NetLiftN: u.NetN, WorstLevelMM: u.LeakingAtMM,
		PatchMM2: r.PatchMM2, Safety: r.Safety, Kinds: []HoldKind{}, Pins: []Pin{}, PinsBearN: r.PinsBearN,
		ShoveN: r.Shove.ForceN, ShoveRule: r.Shove.Rule,
		FilledBoxG: *spreadOf(shelf.Range(r.Weights.FilledBoxG)), WithBox: r.Weights.WithBox, SpillMM3: r.Weights.SpillTrayMM3, SpillRule: r.Weights.SpillRule,
	}
	for i, n := range r.Need {
		k := HoldKind{Name: n.Kind, AreaMM2: n.AreaMM2, Pieces: n.Pieces, Holds: n.Holds, Chosen: i == r.Held, Basis: n.Basis}
		h.Kinds = append(h.Kinds, k)
		if k.Chosen {
			h.GlueAreaMM2 = n.AreaMM2
		}
	}
	for _, p := range r.Pins {
		h.Pins = append(h.Pins, Pin{Panel: p.Panel, XMM: p.XMM, ZMM: p.ZMM, AtMM: p.AtMM, GapMM: p.GapMM, BearsN: p.BearsN})
	}
	if r.Bar != nil {
		h.Bar = &Bar{AtMM: r.Bar.AtMM, PushN: r.Bar.PushN, WeightG: r.Bar.WeightG}
	}
	return h
}
