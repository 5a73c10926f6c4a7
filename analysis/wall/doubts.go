package wall

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis/finding"
)

// Shares of the surface from which a remark is worth making (common practice, no
// source).
const (
	floppyShare = 0.05
	wastedShare = 0.25
)

// andMore counts places like one that is told.
func andMore(n int) string {
	switch {
	case n <= 0:
		return ""
	case n == 1:
		return "; so is one more place"
	}
	return fmt.Sprintf("; so are %d more places", n)
}

type teller struct{ findings []finding.Finding }

func (t *teller) tell(level finding.Level, at r3.Vec, action, format string, a ...any) {
	t.findings = append(t.findings, finding.Finding{
		Question: "wall", Level: level, Text: fmt.Sprintf(format, a...), AtMM: &[3]float64{at.X, at.Y, at.Z}, Action: action,
	})
}

func (in Input) doubts(r Result) []finding.Finding {
	var t teller
	share := func(mm2 float64) float64 { return mm2 / r.AreaMM2 }
	switch {
	case r.Wall.MM <= 0:
		t.tell(finding.Stop, r.Wall.At, "Make the box larger or pour the rubber higher.", "The pattern reaches out of the rubber here.")
	case r.Wall.MM < r.ThinMM*(1-tie):
		t.tell(finding.Warn, r.Wall.At, "Make the box larger on this side.",
			"The rubber is %.1f mm thick here, under half of the %g mm asked.", r.Wall.MM, in.ClearanceMM)
	}
	if r.Floor != nil && r.Floor.MM < r.ThinMM {
		t.tell(finding.Warn, r.Floor.At, "Stand the pattern on a stem or a longer one, or fill the gap to the board with clay and trim the casts.",
			"Under an overhang the rubber runs out to %.1f mm over the board and may tear when the block is peeled off.", r.Floor.MM)
	}
	if share(r.FloppyMM2) > floppyShare {
		t.findings = append(t.findings, finding.Finding{
			Question: "wall", Level: finding.Note,
			Text:   fmt.Sprintf("On %.0f %% of the surface the rubber is under %g mm thick and will not hold its shape by itself.", 100*share(r.FloppyMM2), r.FloppyMM),
			Action: "Put the block back into its box for casting, or give it more clearance.",
		})
	}
	if share(r.WastedMM2) > wastedShare {
		t.findings = append(t.findings, finding.Finding{
			Question: "wall", Level: finding.Note,
			Text:   fmt.Sprintf("On %.0f %% of the surface the rubber is over %.0f mm thick, where it does nothing.", 100*share(r.WastedMM2), r.WastedMM),
			Action: "Fill the far corners of the box with blocks, or take a wall that hugs the outline.",
		})
	}
	in.webDoubts(&t, r)
	in.castDoubts(&t, r)
	return t.findings
}

// webDoubts tells of the largest web that is deep enough to tear, else of the
// largest.
func (in Input) webDoubts(t *teller, r Result) {
	if len(r.Webs) == 0 {
		return
	}
	told, level := r.Webs[0], finding.Note
	for _, w := range r.Webs {
		if w.DepthMM != nil && *w.DepthMM > stubby*w.MM {
			told, level = w, finding.Warn
			break
		}
	}
	deep := ""
	if told.DepthMM != nil {
		deep = fmt.Sprintf(" and reaches %.0f mm deep", *told.DepthMM)
	}
	t.tell(level, told.At, "Work it out slowly when demolding; where such a web need not be, fill the gap in the pattern with clay.",
		"Between two faces of the pattern the rubber is a web only %.1f mm thick%s, over %.0f mm²%s.", told.MM, deep, told.SheetMM2, andMore(len(r.Webs)-1+r.WebsMore))
}

// castDoubts tells of the largest place that is too thin for the casting material.
func (in Input) castDoubts(t *teller, r Result) {
	if len(r.Cast.Places) == 0 {
		return
	}
	p := r.Cast.Places[0]
	t.tell(finding.Warn, p.At, "Thicken the pattern where it may be, cast in something thinner, or reckon with casts that do not fill.",
		"The pattern is %.1f mm thick here, over %.0f mm², and the casting material fills no less than about %g mm%s.",
		p.MM, p.SheetMM2, r.Cast.LeastMM, andMore(len(r.Cast.Places)-1+r.Cast.More))
}
