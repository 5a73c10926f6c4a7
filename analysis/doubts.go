package analysis

import (
	"pourwright/analysis/finding"
)

func (j *job) find(f finding.Finding) { j.plan.Findings = append(j.plan.Findings, f) }

func (j *job) cautions() []string {
	return append(append(j.rubber.Cautions(), j.casting.Cautions()...), j.plan.Rod.Cautions...)
}
