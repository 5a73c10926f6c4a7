package hold

import (
	"fmt"
	"math"
	"strings"

	"pourwright/analysis/finding"
)

type teller struct{ findings []finding.Finding }

func (t *teller) tell(level finding.Level, at *[3]float64, action, format string, a ...any) {
	t.findings = append(t.findings, finding.Finding{
		Question: "hold", Level: level, Text: fmt.Sprintf(format, a...), AtMM: at, Action: action,
	})
}

func (in Input) doubts(r Result, l load) []finding.Finding {
	var t teller
	in.liftDoubt(&t, r)
	in.tipDoubt(&t, r)
	in.jointDoubt(&t, r, l)
	in.pinDoubts(&t, r, l)
	if !r.Mass.Known && r.Uplift.NetN > 0 {
		t.tell(finding.Note, nil, "Weigh the pattern and give its weight: a heavy one may need no more than a seal.",
			"The pattern was not weighed, so it is taken to be as light as a hollow print, %.0f g.", r.Mass.LowG)
	}
	if r.Weights.Aid {
		t.tell(finding.Warn, nil,
			"Build the box where it can stay, and lift or turn it with two people or a lifting aid; local rules on lifting come first.",
			"The filled box weighs about %.0f kg%s.", r.Weights.FilledBoxG.Likely/1000, map[bool]string{false: ", its boards not counted"}[r.Weights.WithBox])
	}
	return t.findings
}

func (in Input) liftDoubt(t *teller, r Result) {
	u := r.Uplift
	if u.NetN <= 0 {
		t.tell(finding.Note, nil, "Seal it to the board all round all the same, so that no rubber creeps under it.",
			"The pattern does not float, even with rubber under it.")
		return
	}
	sealed := fmt.Sprintf("as long as its seal holds, with %.1f N at most", u.NetSealedN)
	if u.NetSealedN <= 0 {
		sealed = "as long as its seal holds, it stays down"
	}
	level := finding.Warn
	if r.Held >= 0 {
		level = finding.Note // a joint holds it
	}
	t.tell(level, nil, "Fix it as listed and let the joint set; while pouring, stay and watch the level: a dip means a leak or a pattern that lifts.",
		"With rubber under it the pattern is lifted with up to %.1f N, as by %.2f kg; %s.", u.NetN, u.NetN/Gravity, sealed)
}

func (in Input) tipDoubt(t *teller, r Result) {
	if r.Tip.StandDeg < 0 {
		return // it falls over by itself: the way up is warned of
	}
	// What lifts it off altogether is in the lift; this is for what only tips it.
	tips := r.Tip.LeakingNMM > 0 && r.Uplift.NetN <= 0
	if !tips && (r.Tip.SealedNMM <= 0 || r.Uplift.NetSealedN > 0) {
		return
	}
	sealed := "the seal alone does not prevent that"
	if r.Tip.SealedNMM <= 0 {
		sealed = "with a good seal it stays"
	}
	t.tell(finding.Warn, nil, "Fix the side opposite that edge best.",
		"Without a joint, rubber that has got under the pattern tips it over the edge of its contact near (%.0f, %.0f) mm; %s.",
		(r.Tip.EdgeMM[0].X+r.Tip.EdgeMM[1].X)/2, (r.Tip.EdgeMM[0].Y+r.Tip.EdgeMM[1].Y)/2, sealed)
}

// Care for a pattern that is an original: what leaves a hole, or does not come off.
const (
	noHole  = "drill, screw or glue into it only where its owner allows a hole."
	comeOff = "On an original, epoxy has to come off again: ask its owner, and try it on a spot that will not show."
)

// careFor says what a joint may do to an original; empty for what comes off by itself.
func careFor(n Need) string {
	switch {
	case n.Pieces > 0:
		return " Screws are for a pattern whose owner allows holes in it."
	case strings.Contains(n.Kind, "epoxy"):
		return " " + comeOff
	}
	return ""
}

// jointDoubt says which kinds of joint do.
func (in Input) jointDoubt(t *teller, r Result, l load) {
	switch {
	case len(in.Kinds) == 0 || l.liftN+l.pullPa <= 0:
	case r.PatchMM2 <= 0:
		t.tell(r.level(l), nil, r.instead(l), "The pattern touches the board at a bare tip that takes no glue.")
	case r.Held < 0:
		t.tell(r.level(l), nil, r.instead(l), "None of the joints holds the pattern on its %.0f mm², with a safety of %g, against up to %.1f N of lift and %.1f N from the side.",
			r.PatchMM2, r.Safety, l.liftN, l.shearN)
	default:
		in.tooWeak(t, r, l)
	}
}

// tooWeak names the joints that come to mind before the one that holds.
func (in Input) tooWeak(t *teller, r Result, l load) {
	var weak []string
	for i, n := range r.Need {
		if !n.Holds && gentler(in.Kinds[i], in.Kinds[r.Held]) {
			weak = append(weak, n.Kind+wants(n))
		}
	}
	if len(weak) == 0 {
		return
	}
	t.tell(finding.Note, nil, fmt.Sprintf("Use %s%s.%s", r.Need[r.Held].Kind, pieces(r.Need[r.Held]), careFor(r.Need[r.Held])),
		"On the %.0f mm² that the pattern stands on these are too weak, with a safety of %g, against up to %.1f N of lift and %.1f N from the side: %s.",
		r.PatchMM2, r.Safety, l.liftN, l.shearN, strings.Join(weak, ", "))
}

// pinned tells whether pins alone hold what no joint does.
func (r Result) pinned(l load) bool { return len(r.Pins) >= leastPins && r.PinsBearN >= l.liftN }

// level of the finding that no joint holds: pins or a bar may do.
func (r Result) level(l load) finding.Level {
	if r.pinned(l) || r.Bar != nil {
		return finding.Warn
	}
	return finding.Stop
}

func (r Result) instead(l load) string {
	switch {
	case r.pinned(l):
		return "Use the pins as listed, besides the joint, and pour in a thin stream; or use a wider stem, or another way up with a larger foot."
	case r.Bar != nil:
		return "Use the bar as listed, besides the joint, and pour in a thin stream; or use a wider stem, or another way up with a larger foot."
	}
	return "Use a wider stem, or another way up with a larger foot."
}

func pieces(n Need) string {
	if n.Pieces == 0 {
		return ""
	}
	return fmt.Sprintf(", %d of them, 12 mm apart", n.Pieces)
}

func wants(n Need) string {
	if n.AreaMM2 == nil {
		return ""
	}
	return fmt.Sprintf(" (%.0f mm²)", math.Ceil(*n.AreaMM2))
}

// pinDoubts is on what holds the pattern where no joint does.
func (in Input) pinDoubts(t *teller, r Result, l load) {
	if r.Held >= 0 || l.liftN+l.pullPa <= 0 {
		return
	}
	for i := range r.Pins {
		if p := &r.Pins[i]; p.CrossesCut {
			t.tell(finding.Warn, &p.AtMM, "Pull this pin before cutting, or move the cut.", "A pin through panel %s crosses the planned cut.", p.Panel)
		}
		if p := &r.Pins[i]; p.Detail > 0.5 {
			t.tell(finding.Warn, &p.AtMM, "Move the pin along the wall if you see a plainer place, or mend its mark on each cast.", "A pin through panel %s ends on detail.", p.Panel)
		}
	}
	const holes = "Press the rounded end of each pin on the pattern, and stay to see that none slips; " + noHole +
		" Back a board thinner than 12 mm with a block, and fill the holes that the pins leave in the rubber."
	switch {
	case r.pinned(l) && l.liftN > 0:
		t.tell(finding.Note, nil, holes, "%d pins of %s bear %.0f N with a safety of %g, and rubber lifts with %.0f N.",
			len(r.Pins), in.Rod.Name, r.PinsBearN, r.Safety, l.liftN)
	case r.pinned(l):
		t.tell(finding.Note, nil, holes, "%d pins of %s keep the pattern from keeling over while rubber is poured at one side.", len(r.Pins), in.Rod.Name)
	case r.Bar != nil && l.liftN > 0:
		t.tell(finding.Warn, &r.Bar.AtMM, "Lay a bar across the box with a prop down onto the pattern, and fix it to the walls before pouring.",
			"Pins alone do not hold the pattern: a prop has to push it down with %.0f N, as a weight of %.1f kg would.", r.Bar.PushN, r.Bar.WeightG/1000)
	case r.Bar != nil:
		t.tell(finding.Warn, &r.Bar.AtMM, "Lay a bar across the box with a prop down onto the pattern, and fix it to the walls before pouring.",
			"No pin finds a free place, so a prop from above has to keep the pattern from keeling over.")
	default:
		t.tell(finding.Stop, nil, "Choose another way up with a larger foot, or fill the pattern with sand.",
			"Neither pins nor a bar find a free place to hold the pattern.")
	}
}
