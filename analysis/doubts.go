package analysis

import (
	"fmt"

	"pourwright/analysis/airtrap"
	"pourwright/analysis/finding"
)

func (j *job) find(f finding.Finding) { j.plan.Findings = append(j.plan.Findings, f) }

// standDoubts warns of what the way up brings with it.
func (j *job) standDoubts(leastSpout float64) {
	w := j.way
	board := array(j.pose.Point(w.Spout))
	if w.StemMM > 0 && w.SpoutDiameterMM < leastSpout/2 {
		j.find(finding.Finding{Question: "stand", Level: finding.Warn, AtMM: &board,
			Text:   "Where the stem meets the pattern the opening is under half the least spout, so it may fill slowly or not at all.",
			Action: "Widen the pattern there with clay to the stem's width, and trim the cast; or choose another way up."})
	}
	if w.SpoutDetail > 0.3 {
		j.find(finding.Finding{Question: "stand", Level: finding.Warn, AtMM: &board,
			Text:   "The spout comes off on detail.",
			Action: "Choose another way up with --down, or plan to carve that place again on each cast."})
	}
	if w.TipDeg <= 3 {
		j.find(finding.Finding{Question: "stand", Level: finding.Warn, AtMM: &board,
			Text:   "The pattern does not stand like this by itself.",
			Action: "Screw or pin it through the board and steady its top with a bar across the box until the rubber has set."})
	} else {
		j.find(finding.Finding{Question: "stand", Level: finding.Note, AtMM: &board,
			Text:   "Liquid rubber lifts and pushes the pattern.",
			Action: "Glue and seal it to the board all round, and try to move it before you pour."})
	}
}

// castTrapDoubts warns of air in the cast that no vent frees.
func (j *job) castTrapDoubts(traps []airtrap.Trap) {
	for i, t := range traps {
		if j.vents[i] != nil {
			continue
		}
		at := array(t.At)
		j.find(finding.Finding{Question: "airtrap", Level: finding.Warn, AtMM: &at,
			Text:   fmt.Sprintf("Air stays here when casting (%.1f mL) and the pattern itself is in the way of a post.", t.VolumeMM3/1000),
			Action: "Drill a vent through the cured rubber from the nearest side, or rock the mold while it fills."})
	}
}

// rubberTrapDoubts warns of air under the pattern while rubber rises.
func (j *job) rubberTrapDoubts(traps []airtrap.Trap) {
	for _, t := range traps {
		at := array(t.At)
		j.find(finding.Finding{Question: "airtrap", Level: finding.Warn, AtMM: &at,
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

func (j *job) cautions() []string {
	return append(j.rubber.Cautions(), j.casting.Cautions()...)
}
