package analysis

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/airtrap"
	"pourwright/analysis/finding"
)

// What a maker may call too small to matter: beyond these, every real trap
// would be left out, or scan noise be taken for traps.
const (
	mostAirMM3      = 1e6
	leastAirDepthMM = 0.05
	mostAirDepthMM  = 50
)

// leastAir returns what of trapped air matters, mm³ and mm.
func (c Choices) leastAir() (mm3, depthMM float64, err error) {
	mm3, depthMM = airtrap.DefaultVolumeMM3, airtrap.DefaultPersistenceMM
	if c.LeastAirMM3 != nil {
		mm3 = *c.LeastAirMM3
	}
	if c.LeastAirDepthMM != nil {
		depthMM = *c.LeastAirDepthMM
	}
	switch {
	case !(mm3 >= 0 && mm3 <= mostAirMM3):
		return 0, 0, &Refusal{fmt.Sprintf("%.4g mL is not an amount of trapped air to look for", mm3/1000), "Give from 0 to 1000 mL; 0.05mL is usual."}
	case !(depthMM >= leastAirDepthMM && depthMM <= mostAirDepthMM):
		return 0, 0, &Refusal{fmt.Sprintf("%.4g mm is not a height of trapped air to look for", depthMM), "Give from 0.05 to 50 mm; 0.5mm is usual."}
	}
	return mm3, depthMM, nil
}

// pour is one of the two pours: what rises, and where air stays.
type pour struct {
	in    airtrap.Input
	traps []airtrap.Trap
	level *airtrap.Shallow
}

func (j *job) findTraps() error {
	s := airtrap.NewSurface(j.posed.Mesh)
	mm3, depth, err := j.choices.leastAir()
	if err != nil {
		return err
	}
	cast := pour{in: airtrap.Input{Domain: airtrap.Inside, Up: r3.Vec{Z: -1}, Open: j.way.Open, PersistenceMM: depth, VolumeMM3: mm3}}
	rubber := pour{in: airtrap.Input{Domain: airtrap.Outside, Up: r3.Vec{Z: 1}, PersistenceMM: depth, VolumeMM3: mm3}}
	pours := []*pour{&cast, &rubber}
	if j.choices.twoPart() {
		pours = pours[:1] // its parts are poured on their side: see airInParts
	}
	for _, p := range pours {
		if p.traps, err = airtrap.Find(s, p.in); err != nil {
			return err
		}
	}
	cast.level = airtrap.NearlyLevel(s, cast.in)
	// What stands on the board (Open) is no ceiling that rubber reaches.
	onBoard := rubber.in
	onBoard.Open = j.way.Open
	if !j.choices.twoPart() {
		rubber.level = airtrap.NearlyLevel(s, onBoard)
	}
	vents, beside, err := airtrap.Vents(j.ctx, s, cast.traps, j.room(depth, mm3))
	if err != nil {
		return err
	}
	j.vents = vents
	j.plan.Air = Air{LeastMM3: mm3, LeastDepthMM: depth,
		SqueezedShare: airtrap.Squeezed(j.rubber.DensityGPerCM3.Likely, j.plan.Box.RubberLevelMM)}
	j.plan.CastTrap, j.plan.RubberTrap = j.describeTraps(cast.traps, j.vents, -1), j.describeTraps(rubber.traps, nil, 1)
	castFrees, err := j.tiltCast(s, cast)
	if err != nil {
		return err
	}
	rubberFrees, err := j.tiltRubber(s, rubber)
	if err != nil {
		return err
	}
	for i, r := range airtrap.Remedies(s, rubber.traps, rubberFrees) {
		j.plan.RubberTrap[i].Remedy = j.describeRemedy(r)
	}
	j.castTrapDoubts(castFrees, beside)
	j.rubberTrapDoubts()
	j.tiltDoubt(j.plan.Air.Tilt.Cast, "the block", "casting")
	j.tiltDoubt(j.plan.Air.Tilt.Rubber, "the box", "pouring")
	j.levelDoubt(cast.level, "When casting, bubbles cling to surface that is nearly level here, although nothing stops them.")
	j.levelDoubt(rubber.level, "When the rubber rises, bubbles cling under surface that is nearly level here, although nothing stops them.")
	return nil
}

// room is what the posts have to fit into.
func (j *job) room(depthMM, leastMM3 float64) airtrap.Room {
	return airtrap.Room{
		WallMM: j.floor.GapMM, Spout: j.spoutOnBoard(), StemMM: j.plan.Stand.StemMM, SpoutMM: j.plan.Stand.SpoutDiameterMM,
		Diameter: j.casting.VentMM, Detail: j.detail, DepthMM: depthMM, LeastMM3: leastMM3,
	}
}

// halfInside is where the walls are, along x and y.
func (j *job) halfInside() [2]float64 {
	return [2]float64{j.plan.Box.InsideMM[0] / 2, j.plan.Box.InsideMM[1] / 2}
}

// spoutOnBoard is the middle of the spout, stand frame.
func (j *job) spoutOnBoard() r3.Vec {
	p := j.pose.Point(j.way.Spout)
	return r3.Vec{X: p.X, Y: p.Y}
}

// Air that takes up more than this share of the pattern spoils the cast or the
// mold, whatever is brushed or rocked (common practice, no source).
const spoilingAir = 0.05

// airLevel says how bad it is that air stays.
func (j *job) airLevel(mm3 float64) finding.Level {
	if mm3 > spoilingAir*j.measures.VolumeMM3 {
		return finding.Stop
	}
	return finding.Warn
}

// castTrapDoubts warns of air in the cast that no post frees.
func (j *job) castTrapDoubts(tiltFrees []bool, beside []int) {
	for i, t := range j.plan.CastTrap {
		if t.Vent != nil {
			continue
		}
		f := finding.Finding{Question: "airtrap", Level: j.airLevel(t.VolumeMM3), AtMM: &t.AtMM,
			Text:   fmt.Sprintf("Air stays here when casting (%.1f mL) and the pattern itself is in the way of a post.", t.VolumeMM3/1000),
			Action: "Drill a vent through the cured rubber from the nearest side, or rock the mold while it fills."}
		if k := beside[i]; k >= 0 {
			n := j.plan.CastTrap[k].Vent.Post
			f.Text = fmt.Sprintf("Air stays here when casting (%.1f mL) and post %d is too near for another.", t.VolumeMM3/1000, n)
			f.Action = fmt.Sprintf("Join this place to post %d with a strip of clay on the pattern, so that both share its hole.", n)
		}
		if tiltFrees[i] {
			f.Level = finding.Warn
			f.Action = j.plan.Air.Tilt.Cast.words("the block", "casting") + " Or drill a vent through the cured rubber from the nearest side."
		}
		j.find(f)
	}
}

// rubberTrapDoubts warns of air under the pattern while rubber rises.
func (j *job) rubberTrapDoubts() {
	for _, t := range j.plan.RubberTrap {
		f := finding.Finding{Question: "airtrap", Level: j.airLevel(t.VolumeMM3), AtMM: &t.AtMM,
			Text:   fmt.Sprintf("Rubber traps air under this place (%.1f mL), which leaves a lump on every cast.", t.VolumeMM3/1000),
			Action: t.Remedy.Text}
		if airtrap.Way(t.Remedy.Way) == airtrap.BySeal {
			f.Text = fmt.Sprintf("The hollow under this place (%.1f mL) stands on the board, so rubber may or may not get in.", t.VolumeMM3/1000)
		}
		j.find(f)
	}
}

// levelDoubt warns of surface that bubbles cling to.
func (j *job) levelDoubt(s *airtrap.Shallow, text string) {
	if s == nil {
		return
	}
	at := array(s.At)
	j.find(finding.Finding{Question: "airtrap", Level: finding.Note, AtMM: &at, Text: text,
		Action: "Brush this place first, pour slowly, and tilt and tap when it is covered."})
}

// describeTraps puts traps in the plan; sign turns a spill height along the
// sweep's up into a stand z. vents may be nil.
func (j *job) describeTraps(traps []airtrap.Trap, vents []*airtrap.Vent, sign float64) []Trap {
	out := []Trap{}
	number := map[*airtrap.Vent]int{}
	for i, t := range traps {
		p := Trap{AtMM: array(t.At), SpillMM: sign * t.Spill, VolumeMM3: t.VolumeMM3, PersistenceMM: t.PersistenceMM}
		if vents != nil && vents[i] != nil {
			v := vents[i]
			if number[v] == 0 {
				number[v] = len(number) + 1
			}
			p.Vent = j.describeVent(v, number[v])
		}
		out = append(out, p)
	}
	return out
}

// describeVent puts a post in the plan as a maker drills and cuts it.
func (j *job) describeVent(v *airtrap.Vent, number int) *Vent {
	half := j.halfInside()
	up := r3.Sub(v.From, v.To)
	p := &Vent{FromMM: array(v.From), ToMM: array(v.To), DiameterMM: v.DiameterMM, Post: number,
		LengthMM: r3.Norm(up), BoardMM: [2]float64{v.To.X, v.To.Y}, LeanToward: []string{},
		FromWalls: [2]FromMM{{"x0", half[0] + v.To.X}, {"y0", half[1] + v.To.Y}},
		MovedMM:   v.MovedMM, Detail: v.Detail, LeftMM3: v.LeftMM3}
	if v.To.X > 0 {
		p.FromWalls[0] = FromMM{"x1", half[0] - v.To.X}
	}
	if v.To.Y > 0 {
		p.FromWalls[1] = FromMM{"y1", half[1] - v.To.Y}
	}
	if flat := math.Hypot(up.X, up.Y); flat > 0 {
		p.SlantDeg = math.Atan2(flat, up.Z) * 180 / math.Pi
		p.LeanDeg = bearing(up)
		p.LeanToward = sides(p.LeanDeg)
	}
	return p
}
