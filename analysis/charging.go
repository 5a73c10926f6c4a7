package analysis

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/cast"
	"pourwright/analysis/clock"
	"pourwright/analysis/finding"
	"pourwright/analysis/moldbox"
	"pourwright/analysis/shelf"
)

// weighCast weighs what goes into the mold, what resists it and what comes out.
func (j *job) weighCast() error {
	m, err := j.moldToFill()
	if err != nil {
		return err
	}
	c := &j.plan.Cast
	c.Name, c.PartMM3, c.RodMM3, c.ThickMM = j.casting.Name, m.PartMM3, m.RodMM3, m.ThickMM
	c.Shrink = describeShrink(cast.Shrunk(j.rubber.ShrinkPct, j.casting.ShrinkPct))
	c.Pulls = *spreadOf(cast.Pulls(j.rubber.Cure, j.casting.Kind))
	var parts cast.Parts
	if j.casting.Kind == shelf.Foam {
		f := cast.ChargeFoam(m, j.casting)
		c.MassG, parts = *spreadOf(f.MassG), f.Parts
		c.Foam = &CastFoam{
			MouldedGPerCM3: *spreadOf(f.MouldedGPerCM3), Expansion: f.Expansion, LiquidMM3: f.LiquidMM3, LevelMM: f.LevelMM,
			PressurePa: *spreadOf(f.PressurePa), LidN: f.LidN, OpenN: f.OpenN, WallN: f.WallN, Safety: cast.LidSafety,
		}
		if c.Foam.Walls, err = j.pressWalls(m, f); err != nil {
			return err
		}
		j.foamDoubts(f)
		j.foamWallDoubts(c.Foam.Walls)
	} else {
		r := cast.ChargeResin(m, j.casting)
		if r.TooThick && j.choices.RodMM == nil && m.RodMM3 > 0 {
			j.noRodInHollow()
			m.RodMM3, c.RodMM3 = 0, 0
			r = cast.ChargeResin(m, j.casting)
		}
		c.MassG, parts = *spreadOf(r.MassG), r.Parts
		s := cast.ChargeSlush(m, j.casting)
		c.Slush, c.TooThick = describeSlush(s, j.vented()), r.TooThick
		j.resinDoubts(r, s)
		if r.TooThick {
			j.timesNoMatter()
		}
	}
	c.AG, c.BG, c.AMM3, c.BMM3 = known(parts.AG), known(parts.BG), known(parts.AMM3), known(parts.BMM3)
	j.finishedWeights(m)
	if g := j.choices.StockG; g > 0 {
		casts := math.Floor(g / c.perCastG())
		c.CastsFromStock = &casts
	}
	return j.clock()
}

// perCastG is the mass that one cast takes, hollow where it has to be.
func (c Charge) perCastG() float64 {
	if c.TooThick {
		return c.Slush.MassG
	}
	return c.MassG.Likely
}

// moldToFill is the cavity, spout up.
func (j *job) moldToFill() (cast.Mold, error) {
	f, err := j.space()
	if err != nil {
		return cast.Mold{}, err
	}
	m := cast.Mold{PartMM3: j.plan.Scan.EnvelopeMM3, CavityMM3: j.plan.Cast.CavityMM3, AreaMM2: j.plan.Scan.AreaMM2, CutMM2: j.parting.SectionMM2, RodMM3: j.rodMM3()}
	b := j.posed.Bounds()
	top, stem := b.Max.Z, j.plan.Stand.StemMM
	profile := j.belowLevel()
	whole := profile(top)
	m.HeightMM = top - b.Min.Z + stem
	m.Below = func(h float64) float64 { return whole - profile(top-h) }
	j.plan.Cast.Mouth = j.mouth()
	m.MouthMM2 = j.plan.Cast.Mouth.AreaMM2 + j.ventsMM2()
	m.CutMM2 += stem * j.plan.Stand.SpoutDiameterMM // the cut goes through the spout
	// What the hull shadows is at least what the part does.
	m.ShadowMM2 = [2]float64{j.shadow(func(p r3.Vec) (x, y float64) { return p.Y, p.Z }), j.shadow(func(p r3.Vec) (x, y float64) { return p.X, p.Z })}
	deepest := float32(0)
	for _, d := range f.Distance {
		deepest = min(deepest, d)
	}
	m.ThickMM, m.Within = -2*float64(deepest), withinDepth(f, m.PartMM3)
	return m, nil
}

// finishedWeights compares the weight of the finished cast in every casting
// material on the shelf.
func (j *job) finishedWeights(m cast.Mold) {
	c := &j.plan.Cast
	c.FinishedG = *spreadOf(cast.Finished(m, j.casting))
	c.Candidates = []CastCandidate{}
	for _, other := range j.shelf.Castings() {
		c.Candidates = append(c.Candidates, j.candidates(m, other)...)
	}
	for i := range c.Candidates {
		o := &c.Candidates[i]
		o.PropG = o.FinishedG.plus(j.rodG(*o))
	}
	slices.SortStableFunc(c.Candidates, func(a, b CastCandidate) int { return cmp.Compare(a.PropG.Likely, b.PropG.Likely) })
	if target := j.choices.TargetWeightG; target > 0 {
		j.nearestTo(target)
		c.Candidates = slices.DeleteFunc(c.Candidates, func(o CastCandidate) bool {
			return o.Coats > 0 && o.Coats != cast.SlushCoats && !o.Nearest
		})
	}
}

// candidates are the solid cast of a material and, of a resin, the hollow one; with
// other numbers of coats too where a weight is wanted.
func (j *job) candidates(m cast.Mold, material shelf.Casting) []CastCandidate {
	chosen, hollow := material.Key == j.casting.Key, j.plan.Cast.TooThick
	one := CastCandidate{Material: material.Key, Name: material.Name, FinishedG: *spreadOf(cast.Finished(m, material)), Chosen: chosen && !hollow}
	one.TooThick = material.Kind != shelf.Foam && cast.ChargeResin(m, material).TooThick
	all := []CastCandidate{one}
	one.TooThick = false
	if material.Kind == shelf.Foam {
		return all
	}
	for coats := cast.LeastCoats; coats <= cast.MostCoats; coats++ {
		g, room := cast.FinishedHollow(m, material, coats)
		usual := coats == cast.SlushCoats
		one.Coats, one.FinishedG, one.Chosen = coats, *spreadOf(g), chosen && hollow && usual
		if one.Chosen || room && (usual || j.choices.TargetWeightG > 0) {
			all = append(all, one)
		}
	}
	return all
}

// rodG is what the rod adds to a cast; a skin does not bury one.
func (j *job) rodG(o CastCandidate) Spread {
	if m := j.plan.Rod.MassG; m != nil && o.Coats == 0 {
		return *m
	}
	return Spread{}
}

// farFromTarget is the share that a weight may be off the one that is wanted.
const farFromTarget = 0.15

// nearestTo marks the material whose cast comes nearest to a weight, with its rod.
func (j *job) nearestTo(targetG float64) {
	all := j.plan.Cast.Candidates
	off := func(o CastCandidate) float64 { return math.Abs(o.PropG.Likely - targetG) }
	nearest, chosen := &all[0], &all[0]
	for i := range all {
		if !all[i].TooThick && (nearest.TooThick || off(all[i]) < off(*nearest)) {
			nearest = &all[i]
		}
		if all[i].Chosen {
			chosen = &all[i]
		}
	}
	nearest.Nearest = true
	action := "Take that one with --casting " + nearest.Material + ", or add a weight inside."
	switch {
	case nearest.Coats > 0 && chosen.Coats > 0 && nearest.Material == chosen.Material:
		action = fmt.Sprintf("Pour and roll %d coats of it, of about %.0f g each.", nearest.Coats, nearest.FinishedG.Likely/float64(nearest.Coats))
	case nearest.Coats > 0:
		action = fmt.Sprintf("Take --casting %s, and pour and roll %d coats of it, of about %.0f g each; or add a weight inside.", nearest.Material, nearest.Coats, nearest.FinishedG.Likely/float64(nearest.Coats))
	}
	far := off(*nearest) > farFromTarget*targetG
	if far {
		action = "Nothing on the shelf comes near it: add a weight inside, or settle for another weight."
	}
	if nearest == chosen && !far {
		return
	}
	with := ""
	if g := j.rodG(*chosen).Likely; g > 0 {
		with = fmt.Sprintf(", %.0f g of rod in it", g)
	}
	j.find(finding.Finding{Question: "cast", Level: finding.Note, Action: action,
		Text: fmt.Sprintf("In %s, the finished prop weighs about %.0f g%s; nearest to the %.0f g that are wanted is %s with about %.0f g.",
			chosen.Words(), chosen.PropG.Likely, with, targetG, nearest.Words(), nearest.PropG.Likely)})
}

// foamDoubts warns of what rising foam pushes and needs.
func (j *job) foamDoubts(f cast.Foam) {
	c := j.plan.Cast
	j.find(finding.Finding{Question: "cast", Level: finding.Note,
		Text: fmt.Sprintf("In a closed mold the foam pushes, %s. That is %.0f N on the lid over the mouth, %.0f mm², %.0f N that open the cut, %.0f N on the longer walls, %s; vents take most of it away, heat may add a third.",
			c.Foam.PressureWords(), f.LidN, c.Mouth.AreaMM2, f.OpenN, f.WallN[1], c.Foam.SafetyWords()),
		Action: "Put the block back into stiff boards with straps all round, weigh or clamp the lid, wax it, and drill two bleed holes of 3 mm in it that you close with a finger when foam shows. Never seal the mold altogether."})
}

// vented tells whether air leaves the mold by vents.
func (j *job) vented() bool {
	for _, v := range j.vents {
		if v != nil {
			return true
		}
	}
	return false
}

// slushTurns is which side of the block goes down in which order while a coat sets:
// first what is under the spout, then opposite sides, long ones first, and last the
// side of the spout (common practice, no source).
var slushTurns = []string{"cover", "y0", "y1", "x0", "x1", "spout"}

func describeSlush(s cast.Slush, vented bool) *CastSlush {
	dwell, first := "a while", ""
	if vented {
		first = "Plug the vents. "
	}
	if s.DwellS > 0 {
		dwell = fmt.Sprintf("%.0f s", s.DwellS)
	}
	return &CastSlush{SkinMM: s.SkinMM, Coats: s.Coats, MassG: s.MassG, CoatG: s.CoatG,
		AG: known(s.Parts.AG), BG: known(s.Parts.BG), AMM3: known(s.Parts.AMM3), BMM3: known(s.Parts.BMM3), DwellS: known(s.DwellS), Turns: slushTurns,
		How: first + "Roll the mold slowly from side to side, and let each side lie down for " + dwell + ": the end away from the spout, front, back, left end, right end, then the spout's side with a lid on the whole mouth. Go round until it no longer flows, and pour the next coat while this one is still tacky."}
}

// resinDoubts warns of a cast that gets too hot, and tells of a hollow one.
func (j *job) resinDoubts(r cast.Resin, s cast.Slush) {
	if !r.TooThick {
		return
	}
	instead := "a foam"
	for _, other := range j.shelf.Castings() {
		if other.Kind == shelf.Resin && other.ThickestMM >= j.plan.Cast.ThickMM {
			instead = fmt.Sprintf("%s (--casting %s) or a foam", other.Name, other.Key)
			break
		}
	}
	j.find(finding.Finding{Question: "cast", Level: finding.Note,
		Text:   fmt.Sprintf("At its thickest the cast is %.0f mm, and %s stands about %.0f mm: thicker, it gets hot, shrinks and may crack.", j.plan.Cast.ThickMM, j.casting.Name, j.casting.ThickestMM),
		Action: fmt.Sprintf("So it is planned hollow: %d coats of about %.0f g, each rolled until it no longer flows, make a skin of %g mm, without a rod, which a skin does not bury. Or take %s.", s.Coats, s.CoatG, s.SkinMM, instead)})
	j.coatsThatClose(s.SkinMM)
}

// timesNoMatter takes back what was said of how long the mold takes to fill: nothing
// is kept full.
func (j *job) timesNoMatter() {
	kept := slices.DeleteFunc(j.plan.Findings, func(f finding.Finding) bool {
		return f.Question == "cast" && slices.Contains(j.fillTimes, f.Text)
	})
	dropped := len(j.plan.Findings) > len(kept)
	j.plan.Findings = kept
	if dropped {
		j.find(finding.Finding{Question: "cast", Level: finding.Note,
			Text:   "Poured solid the mold would fill too slowly or too fast to tell; for a hollow cast that does not matter: each coat is a small part of the cavity, poured in and rolled about.",
			Action: "See that each coat runs all round before it thickens; a second cup helps where the way in is narrow."})
	}
}

// openBetweenMM is how wide a passage has to stay between the coats on its sides for
// the next one to run through and back (common practice, no source).
const openBetweenMM = 2

// coatsThatClose warns where coats close the way in, or a neck, before the last of
// them is through.
func (j *job) coatsThatClose(skinMM float64) {
	c, least := j.plan.Cast, 2*skinMM+openBetweenMM
	widen := fmt.Sprintf("Widen it to %.0f mm with clay on the pattern and trim the casts, pour from another end, or take a foam.", least)
	if wide := c.Spout.DiameterMM; wide < least {
		level := finding.Warn
		if wide <= 2*skinMM {
			level = finding.Stop // the coats meet
		}
		j.find(finding.Finding{Question: "cast", Level: level, Action: widen,
			Text: fmt.Sprintf("A skin of %g mm leaves little of a spout that is %.1f mm wide at its narrowest: it closes before the last coat has run in and back.", skinMM, wide)})
	}
	narrow := -1
	for i, n := range c.Necks {
		if n.DiameterMM < least && (narrow < 0 || n.DiameterMM < c.Necks[narrow].DiameterMM) {
			narrow = i
		}
	}
	if narrow < 0 {
		return
	}
	n := c.Necks[narrow]
	j.find(finding.Finding{Question: "cast", Level: finding.Warn, AtMM: &n.AtMM, Action: widen,
		Text: fmt.Sprintf("A skin of %g mm leaves little of a neck that is %.1f mm wide: the last coat will not run through it and back, and what lies behind may fill up solid.", skinMM, n.DiameterMM)})
}

// clock lays out the time from the first weighing to the first cast.
func (j *job) clock() error {
	r := j.plan.Rubber
	coats := 0
	if j.plan.Cast.TooThick {
		coats = j.plan.Cast.Slush.Coats
	}
	steps, err := clock.Plan(clock.Input{Coats: coats, Rubber: j.rubber, Casting: j.casting, Batches: j.batches(), BatchS: *r.TimeNeededS, RoomC: r.RoomC, Rod: j.plan.Rod.LengthMM != nil && !j.plan.Cast.TooThick})
	if err != nil {
		return err
	}
	j.plan.Clock = []ClockStep{}
	for _, s := range steps {
		j.plan.Clock = append(j.plan.Clock, ClockStep{Name: s.Name, FromS: Spread(s.FromS), TakeS: Spread(s.TakeS), Wait: s.Wait, Why: s.Why})
	}
	return nil
}

func describeShrink(s cast.Shrinkage) CastShrink {
	return CastShrink{LinearPct: Spread(s.LinearPct), VolumePct: Spread(s.VolumePct), ScaleUp: Spread(s.ScaleUp)}
}

// shadow is the area of the pattern's convex outline seen along one axis of the
// stand frame.
func (j *job) shadow(flat func(r3.Vec) (x, y float64)) float64 {
	on := make([]r2.Vec, len(j.outline))
	for i, p := range j.outline {
		on[i].X, on[i].Y = flat(j.turn.Point(p))
	}
	return moldbox.OutlineArea(on)
}
