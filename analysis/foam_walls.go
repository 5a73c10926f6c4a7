package analysis

import (
	"fmt"
	"strings"

	"pourwright/analysis/bow"
	"pourwright/analysis/cast"
	"pourwright/analysis/finding"
	"pourwright/analysis/moldbox"
	"pourwright/analysis/shelf"
)

// FoamWall.Verdict of a wall that foam in a closed mold would break.
const burst = "bursts"

// pressWalls works out whether the walls that the rubber was poured in, with their
// bracing, bear the foam when the block is put back between them: the cured block
// spreads what the foam pushes on the cavity's shadow over the whole wall.
func (j *job) pressWalls(m cast.Mold, f cast.Foam) ([]FoamWall, error) {
	walls := []FoamWall{}
	b := j.plan.Box
	if b.Owned || b.RadiusMM != nil || j.onSide != nil || len(j.plan.Bow.Walls) == 0 {
		return walls, nil
	}
	box := j.bowBox()
	box.Bracing = j.bracing
	for across := range 2 { // walls across x, across y
		pushed := j.pushedBy(f.PressurePa, m.ShadowMM2[across], across)
		if b.Shape != moldbox.Rectangle && m.ShadowMM2[across] < m.ShadowMM2[1-across] {
			continue // all facets by the larger shadow
		}
		box.PushPa = &pushed
		r, err := box.Bow()
		if err != nil {
			return nil, err
		}
		for _, w := range r.Walls {
			if b.Shape == moldbox.Rectangle && strings.HasSuffix(w.Name, " end") != (across == 0) {
				continue
			}
			wall := FoamWall{Name: w.Name, PushPa: *spreadOf(pushed), ForceN: w.ForceN, Safety: spreadOrNil(w.Safety), Verdict: w.Verdict}
			if w.Safety != nil && w.Safety.Likely < 1 {
				wall.Verdict = burst
			}
			walls = append(walls, wall)
		}
	}
	return walls, nil
}

// pushedBy spreads a pressure on a shadow over the walls across x or across y.
func (j *job) pushedBy(pressure shelf.Range, shadowMM2 float64, across int) shelf.Range {
	b := j.plan.Box
	share := min(1, shadowMM2/(b.InsideMM[1-across]*b.RubberLevelMM))
	return shelf.Range{Low: pressure.Low * share, Likely: pressure.Likely * share, High: pressure.High * share}
}

// foamWallDoubts says which walls foam would break, or that it pushes harder than the
// rubber did.
func (j *job) foamWallDoubts(walls []FoamWall) {
	var bursting, weak []string
	for _, w := range walls {
		switch w.Verdict {
		case burst:
			bursting = append(bursting, w.Name)
		case bow.Brace, bow.Unknown:
			weak = append(weak, w.Name)
		}
	}
	const action = "Put the block back into stiff boards with straps all round for the foam, not into this box as it is, and leave the vents open until foam shows."
	switch {
	case len(bursting) > 0:
		j.find(finding.Finding{Question: "cast", Level: finding.Warn,
			Text: fmt.Sprintf("In a mold closed altogether the foam would break the box that the rubber was poured in: %s.", strings.Join(bursting, ", ")), Action: action})
	case len(weak) > 0:
		j.find(finding.Finding{Question: "cast", Level: finding.Note,
			Text: fmt.Sprintf("In a mold closed altogether the foam would bow the box that the rubber was poured in by more than is wanted: %s.", strings.Join(weak, ", ")), Action: action})
	}
}
