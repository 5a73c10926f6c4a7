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
func (j *jobFlags) takeCut(c *analysis.Choices) { take(&c.LandMM, j.typed.LandMM) }
