package analysis

import (
	"slices"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

func (j *job) find(f finding.Finding) { j.plan.Findings = append(j.plan.Findings, f) }

// SolventCaution is that of the release between two parts of rubber (common practice,
// no source).
const SolventCaution = "Spirit and other solvents of a release catch fire easily and are bad to breathe: no flames or sparks near, air the room, gloves on, and follow their own data sheets."

func (j *job) cautions() []string {
	return append(append(j.choices.Molding(j.rubber), j.casting.Cautions()...), j.plan.Rod.Cautions...)
}

// Molding are the cautions of making the mold: of the two styles only a block is cut.
func (c Choices) Molding(r shelf.Rubber) []string {
	all := r.Cautions()
	if c.twoPart() {
		all = slices.DeleteFunc(all, func(one string) bool { return one == shelf.OpeningBlock })
		all = append(all, SolventCaution)
	}
	return all
}
