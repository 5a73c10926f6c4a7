package main

import (
	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/cmd/pourwright/quantity"
)

// addDetail adds the flags that say where the surface is worth protecting.
func (j *jobFlags) addDetail(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.Func("detail-radius", "`LENGTH` that is about the size of the detail to protect (else 2mm)", func(s string) error {
		mm, err := quantity.Length(s)
		if err == nil && mm == 0 {
			return &usageError{"detail of no size cannot be looked for", "give its size, such as --detail-radius 2mm"}
		}
		j.typed.DetailRadiusMM = mm
		return err
	})
	flags.Func("keep-clear", "a ball `x,y,z,r` in the scan's axes, mm, whose surface is to be protected; may be repeated", ball(&j.typed.KeepClear))
	flags.Func("plain", "a ball `x,y,z,r` in the scan's axes, mm, whose surface needs no protection; may be repeated", ball(&j.typed.Plain))
}

// ball adds one to a list.
func ball(to *[][4]float64) func(string) error {
	return func(s string) error {
		b, err := quantity.Ball(s)
		if err == nil {
			*to = append(*to, b)
		}
		return err
	}
}

// takeDetail puts what was typed over a job file's.
func (j *jobFlags) takeDetail(c *analysis.Choices) {
	take(&c.DetailRadiusMM, j.typed.DetailRadiusMM)
	if j.typed.KeepClear != nil {
		c.KeepClear = j.typed.KeepClear
	}
	if j.typed.Plain != nil {
		c.Plain = j.typed.Plain
	}
}
