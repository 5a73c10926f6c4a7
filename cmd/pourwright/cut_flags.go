package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/analysis/cut"
	"pourwright/cmd/pourwright/quantity"
)

// addCut adds the flags that say how the block is cut open.
func (j *jobFlags) addCut(cmd *cobra.Command) {
	cmd.Flags().Func("style", "`STYLE` of the mold: block, poured whole and cut open, or two-part, poured in two over a bed of clay (else block)",
		oneOf(&j.typed.Style, "a mold", "", analysis.Styles()))
	completeWith(cmd, "style", analysis.Styles)
	usage := fmt.Sprintf("`LENGTH` of straight cut beside the part, before the waves of the key line (else %dmm)", cut.DefaultLandMM)
	cmd.Flags().Func("land", usage, func(s string) error {
		mm, err := quantity.Length(s)
		if err == nil && mm == 0 {
			return &usageError{"without a land the waves would run into the part", "give it a length such as --land 5mm, or leave it out"}
		}
		j.typed.LandMM = mm
		return err
	})
}

// takeCut puts what was typed over a job file's.
func (j *jobFlags) takeCut(c *analysis.Choices) {
	take(&c.Style, j.typed.Style)
	take(&c.LandMM, j.typed.LandMM)
}
