package main

import (
	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/cmd/pourwright/quantity"
)

// addRod adds the flags that say what stiffener goes in.
func (j *jobFlags) addRod(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.Func("rod", "`DIAMETER` of the rod that stiffens the cast (else 6mm; 0 for none)", func(s string) error {
		none := 0.0
		if j.typed.RodMM = &none; s == "0" || s == "none" {
			return nil
		}
		mm, err := quantity.Length(s)
		j.typed.RodMM = &mm
		return err
	})
	addLength(flags, &j.typed.RodCoverMM, "rod-cover", "`LENGTH` of casting material over the rod everywhere (else 8mm)")
}

// takeRod puts what was typed over a job file's.
func (j *jobFlags) takeRod(c *analysis.Choices) {
	take(&c.RodMM, j.typed.RodMM)
	take(&c.RodCoverMM, j.typed.RodCoverMM)
}
