package main

import (
	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/cmd/pourwright/quantity"
)

// addAir adds the flags that say how much trapped air matters.
func (j *jobFlags) addAir(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.Func("least-air", "smallest `VOLUME` of trapped air that matters (else 0.05mL)", func(s string) error {
		ml, err := quantity.Volume(s)
		j.typed.LeastAirMM3 = &ml
		return err
	})
	addLength(flags, &j.typed.LeastAirDepthMM, "least-air-depth", "least `HEIGHT` of trapped air that matters (else 0.5mm)")
}

// takeAir puts what was typed over a job file's.
func (j *jobFlags) takeAir(c *analysis.Choices) {
	take(&c.LeastAirMM3, j.typed.LeastAirMM3)
	take(&c.LeastAirDepthMM, j.typed.LeastAirDepthMM)
}
