package bow

import (
	"fmt"
	"math"

	"pourwright/analysis/finding"
)

// noteDropMM is the fall of the level that a maker should know of: cover that
// is missing above the pattern (common practice, no source).
const noteDropMM = 1

// doubts are the findings of a box.
func (b Box) doubts(r BoxBow) []finding.Finding {
	var all []finding.Finding
	add := func(level finding.Level, text, action string) {
		all = append(all, finding.Finding{Question: "bow", Level: level, Text: text, Action: action})
	}
	switch w := worst(r.Walls); {
	case r.Verdict == Unknown:
		add(finding.Warn,
			fmt.Sprintf("Nobody has said how stiff %s is, so how far the walls bow is not known; the rubber pushes on the largest with %.0f N.", b.board().Name, w.ForceN),
			"Test a strip of the board on two supports and enter its stiffness, or take a board whose stiffness is known.")
		return all
	case w.Safety != nil && w.Safety.Low < 1:
		add(finding.Stop,
			fmt.Sprintf("The %s wall may break under %.0f N of rubber: at worst it bears %.1f times that.", w.Name, w.ForceN, w.Safety.Low),
			"Take a stronger board or brace the box before anything is poured.")
	case r.Verdict == Brace && r.BulgeMM3 == nil:
		add(finding.Warn,
			fmt.Sprintf("The %s wall is too weak for %.0f N of rubber: %s.", w.Name, w.ForceN, w.Why),
			"Brace the walls all round, or take a stiffer board, before you pour.")
	case r.Verdict == Brace:
		add(finding.Warn,
			fmt.Sprintf("The %s wall likely bows by %.1f mm; %s.", w.Name, w.DeflectionMM.Likely, w.Why),
			"Brace the walls all round before you pour.")
	}
	if r.LevelDropMM != nil && r.LevelDropMM.High >= noteDropMM {
		add(finding.Note,
			fmt.Sprintf("Bowing walls let the level of the rubber fall by %.1f to %.1f mm.", r.LevelDropMM.Low, r.LevelDropMM.High),
			fmt.Sprintf("Have %.0f cm³ more rubber ready, and look at the level mark again before it sets.", r.BulgeMM3.Likely/1000))
	}
	return all
}

// doubts are the findings of a search for bracing.
func (s Search) doubts() []finding.Finding {
	if s.Cheapest < 0 {
		return []finding.Finding{{
			Question: "bow", Level: finding.Stop,
			Text:   "No bracing that was tried makes this box hold.",
			Action: "Take a stiffer board than these, build a smaller box, or pour in layers and let each set before the next.",
		}}
	}
	best := s.Trials[s.Cheapest]
	if best.Bracing.plain() {
		return nil
	}
	where := ""
	for i, z := range best.Bracing.HeightsMM {
		where += [...]string{", at ", " and ", " and "}[i] + fmt.Sprintf("%.0f mm", z)
	}
	if where != "" {
		where += " above the base board"
	}
	action := "Have it in place before you pour."
	if best.Bracing.Rounds > 0 {
		action = "Have it in place before you pour, with the straps drawn tight by hand."
	}
	return []finding.Finding{{
		Question: "bow", Level: finding.Note, Action: action,
		Text: fmt.Sprintf("The walls hold with %s%s; then they bow by at most %.1f mm.",
			best.Bracing.Name, where, worst(best.Bow.Walls).DeflectionMM.High),
	}}
}

// worst is the wall that passes its limits by most, the first of equals; of
// walls of unknown stiffness the one that is pushed most.
func worst(walls []WallBow) WallBow {
	w := walls[0]
	for _, next := range walls[1:] {
		if over(next) > over(w) || over(next) == over(w) && next.ForceN > w.ForceN {
			w = next
		}
	}
	return w
}

// over is the worst bow over the most that is wanted, or the strength wanted
// over the worst there is, whichever is more.
func over(w WallBow) float64 {
	o := w.DeflectionMM.High / MostBowMM
	if w.Safety != nil {
		o = math.Max(o, LeastSafety/w.Safety.Low)
	}
	return o
}
