package analysis

import (
	"fmt"

	"pourwright/analysis/airtrap"
	"pourwright/analysis/finding"
)

func (j *job) find(f finding.Finding) { j.plan.Findings = append(j.plan.Findings, f) }

// standDoubts warns of what the way up brings with it.
func (j *job) standDoubts() {
	w := j.way
	at := array(j.pose.Point(w.Spout))
	tell := func(level finding.Level, text, action string) {
		j.find(finding.Finding{Question: "stand", Level: level, AtMM: &at, Text: text, Action: action})
	}
	if w.StemMM > 0 && w.SpoutDiameterMM < j.leastSpoutMM/2 {
		tell(finding.Warn, "Where the stem meets the pattern the opening is under half the least spout, so the mold fills slowly there, or foam may not pass at all.",
			"Widen the pattern there with clay to the stem's width, and trim the cast; or choose another way up.")
	}
	if w.OtherFeet > 0 {
		tell(finding.Warn, fmt.Sprintf("Besides the spout the pattern touches the board in %d more places, and each leaves a hole in the mold.", w.OtherFeet),
			"When you cast, air leaves by these holes too: keep them level with the spout and plug each as material shows in it; or choose another way up.")
	}
	if w.SpoutDetail > 0.3 {
		tell(finding.Warn, "The spout comes off on detail.",
			"Choose another way up with --down, or plan to carve that place again on each cast.")
	}
	if w.TipDeg <= 3 {
		tell(finding.Warn, "The pattern does not stand like this by itself.",
			"Screw or pin it through the board and steady its top with a bar across the box until the rubber has set.")
		return
	}
	tell(finding.Note, "Liquid rubber lifts and pushes the pattern.",
		"Glue and seal it to the board all round, and try to move it before you pour.")
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

func (j *job) cautions() []string {
	return append(j.rubber.Cautions(), j.casting.Cautions()...)
}
