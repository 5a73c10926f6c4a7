package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"pourwright/analysis"
)

// addMend adds the flags that say what may be done to a scan that is not closed.
func (j *jobFlags) addMend(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&j.typed.NoMend, "no-mend", false, "refuse a scan that is not a closed solid instead of mending it")
	cmd.Flags().Func("as", "what a scan that is open on one side is: `solid`, when its underside was not scanned (else it may be asked)", func(s string) error {
		if s != analysis.AsSolid {
			return &usageError{fmt.Sprintf("a scan cannot be taken as %q", s), "say --as solid, or leave it out"}
		}
		j.typed.As = s
		return nil
	})
	completeWith(cmd, "as", func() []string { return []string{analysis.AsSolid} })
}

// reportProblems lists what is wrong with a scan and what was mended.
func reportProblems(r *report, s analysis.Scan) {
	if len(s.Problems) > 0 {
		heading := "Odd in the scan, but usable"
		if len(s.Mends) > 0 {
			heading = "Wrong with the scan as it was read"
		}
		r.heading(heading + " (places in the scan's axes, mm)")
		for _, p := range s.Problems {
			r.wrap(indent+"- ", p.Text, "")
		}
	}
	if len(s.Mends) > 0 {
		r.heading("Mended, in a copy (--no-mend refuses such a scan instead)")
		for _, m := range s.Mends {
			r.wrap(indent+"- ", m.Text, "")
		}
	}
}
