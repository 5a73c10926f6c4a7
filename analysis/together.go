package analysis

import (
	"fmt"
	"slices"
	"strings"

	"pourwright/analysis/finding"
	"pourwright/analysis/shelf"
)

// materialDoubts warns of materials that spoil each other (common practice, no
// source).
func materialDoubts(rubber shelf.Rubber, casting shelf.Casting, pattern *shelf.Pattern) []finding.Finding {
	var all []finding.Finding
	tell := func(level finding.Level, text, action string) {
		all = append(all, finding.Finding{Question: "shelf", Level: level, Text: text, Action: action})
	}
	if pattern != nil {
		if slices.Contains(pattern.Inhibits, rubber.Cure) {
			tell(finding.Stop, fmt.Sprintf("%s may keep %s-cure rubber from ever setting.", sentence(pattern.Name), rubber.Cure),
				strings.TrimSpace(pattern.Note+" Test on a piece of the same, or take a tin-cure rubber."))
		} else if pattern.Porous {
			tell(finding.Warn, fmt.Sprintf("%s is porous: rubber creeps into it and bonds.", sentence(pattern.Name)), pattern.Note)
		} else if pattern.Note != "" {
			tell(finding.Note, fmt.Sprintf("The original is %s.", pattern.Name), pattern.Note)
		}
	}
	if rubber.Cure == shelf.Tin && casting.Kind == shelf.Foam {
		tell(finding.Note, "Foam collapses in a tin-cure mold that is too fresh.",
			"Let the open mold rest as its data sheet says, often a day or more, or hours in gentle warmth, and cast a small test first. Take wax as release, never silicone.")
	}
	return all
}

// sentence begins a sentence with words.
func sentence(words string) string { return strings.ToUpper(words[:1]) + words[1:] }
