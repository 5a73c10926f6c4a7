package analysis

import (
	"fmt"
	"pourwright/analysis/airtrap"
	"pourwright/analysis/finding"

	"gonum.org/v1/gonum/spatial/r3"
)

func (j *job) findTraps() error {
	s := airtrap.NewSurface(j.posed.Mesh)
	in := airtrap.Input{PersistenceMM: airtrap.DefaultPersistenceMM, VolumeMM3: airtrap.DefaultVolumeMM3}
	in.Domain, in.Up, in.Open = airtrap.Inside, r3.Vec{Z: -1}, j.way.Open
	casting, err := airtrap.Find(s, in)
	if err != nil {
		return err
	}
	castLevel := airtrap.NearlyLevel(s, in)
	in.Domain, in.Up = airtrap.Outside, r3.Vec{Z: 1}
	pouring, err := airtrap.Find(s, airtrap.Input{Domain: in.Domain, Up: in.Up, PersistenceMM: in.PersistenceMM, VolumeMM3: in.VolumeMM3})
	if err != nil {
		return err
	}
	j.vents = airtrap.Vents(j.posed.Mesh, casting, j.halfInside(), j.casting.VentMM)
	j.plan.CastTrap = describeTraps(casting, j.vents, -1)
	j.plan.RubberTrap = describeTraps(pouring, make([]*airtrap.Vent, len(pouring)), 1)
	j.castTrapDoubts(casting)
	j.rubberTrapDoubts(pouring)
	j.levelDoubt(castLevel, "When casting, bubbles cling to surface that is nearly level here, although nothing stops them.")
	// What stands on the board (in.Open) is no ceiling that rubber reaches.
	j.levelDoubt(airtrap.NearlyLevel(s, in), "When the rubber rises, bubbles cling under surface that is nearly level here, although nothing stops them.")
	return nil
}

// halfInside is where the walls are, along x and y.
func (j *job) halfInside() [2]float64 {
	return [2]float64{j.plan.Box.InsideMM[0] / 2, j.plan.Box.InsideMM[1] / 2}
}

// describeTraps puts traps in the plan; sign turns a spill height along the
// sweep's up into a stand z.
func describeTraps(traps []airtrap.Trap, vents []*airtrap.Vent, sign float64) []Trap {
	out := []Trap{}
	for i, t := range traps {
		p := Trap{AtMM: array(t.At), SpillMM: sign * t.Spill, VolumeMM3: t.VolumeMM3, PersistenceMM: t.PersistenceMM}
		if v := vents[i]; v != nil {
			p.Vent = &Vent{FromMM: array(v.From), ToMM: array(v.To), DiameterMM: v.DiameterMM}
		}
		out = append(out, p)
	}
	return out
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

// castTrapDoubts warns of air in the cast that no vent frees.
func (j *job) castTrapDoubts(traps []airtrap.Trap) {
	for i, t := range traps {
		if j.vents[i] != nil {
			continue
		}
		at := array(t.At)
		j.find(finding.Finding{Question: "airtrap", Level: j.airLevel(t.VolumeMM3), AtMM: &at,
			Text:   fmt.Sprintf("Air stays here when casting (%.1f mL) and the pattern itself is in the way of a post.", t.VolumeMM3/1000),
			Action: "Drill a vent through the cured rubber from the nearest side, or rock the mold while it fills."})
	}
}

// rubberTrapDoubts warns of air under the pattern while rubber rises.
func (j *job) rubberTrapDoubts(traps []airtrap.Trap) {
	for _, t := range traps {
		at := array(t.At)
		j.find(finding.Finding{Question: "airtrap", Level: j.airLevel(t.VolumeMM3), AtMM: &at,
			Text:   fmt.Sprintf("Rubber traps air under this place (%.1f mL), which leaves a lump on every cast.", t.VolumeMM3/1000),
			Action: "Brush the first rubber into it, and tilt the board as the level passes, or choose another way up."})
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
