package analysis

import (
	"slices"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

func (j *job) find(f finding.Finding) { j.plan.Findings = append(j.plan.Findings, f) }

func (j *job) cautions() []string {
	return append(append(j.choices.RubberCautions(j.rubber), j.casting.Cautions()...), j.plan.Rod.Cautions...)
}

// RubberCautions are the cautions of molding alone, in the style of the mold.
func (c Choices) RubberCautions(rubber shelf.Rubber) []string {
	all := rubber.Cautions()
	if i := slices.Index(all, shelf.OpeningBlock); i >= 0 && c.twoPart() {
		all[i] = shelf.BetweenParts
	}
	return all
}
