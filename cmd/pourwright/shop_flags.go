package main

import (
	"strconv"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/cmd/pourwright/quantity"
)

// addShop adds the flags that say in what shop the rubber is mixed.
func (j *jobFlags) addShop(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.Func("cup", "`VOLUME` of the vessel the rubber is mixed in, brimful (else a bucket of 10L)", func(s string) error {
		mm3, err := quantity.Volume(s)
		if err == nil && mm3 < 10_000 {
			return &usageError{"a vessel of " + s + " is too small to mix rubber in", "say what it holds to the brim, such as --cup 10L"}
		}
		j.typed.CupMM3 = mm3
		return err
	})
	flags.Func("headroom", "how many `TIMES` its volume a batch may rise to in the vessel under vacuum (else 4); 1 when it is not degassed", func(s string) error {
		n, err := strconv.ParseFloat(s, 64)
		if err != nil || !(n >= 1 && n <= 20) {
			return &usageError{s + " is no headroom", "give a number from 1 to 20, such as --headroom 4"}
		}
		j.typed.Headroom = n
		return nil
	})
	flags.Func("room", "`TEMPERATURE` of the room, such as 21C or 70F (else 23C, as on data sheets)", func(s string) (err error) {
		j.typed.RoomC, err = quantity.Temperature(s)
		return err
	})
	flags.Func("altitude", "`HEIGHT` of the shop above the sea, for the vacuum gauge, such as 1500m", func(s string) error {
		mm, err := quantity.Length(s)
		j.typed.AltitudeM = mm / 1000
		return err
	})
	flags.Func("scale", "smallest `STEP` of the scale (else 1g)", func(s string) error {
		g, err := quantity.Mass(s)
		if err == nil && g == 0 {
			return &usageError{"a scale without steps is none", "say its smallest step, such as --scale 0.1g"}
		}
		j.typed.ScaleStepG = g
		return err
	})
}

// takeShop puts what was typed over a job file's.
func (j *jobFlags) takeShop(c *analysis.Choices) {
	take(&c.CupMM3, j.typed.CupMM3)
	take(&c.Headroom, j.typed.Headroom)
	take(&c.RoomC, j.typed.RoomC)
	take(&c.AltitudeM, j.typed.AltitudeM)
	take(&c.ScaleStepG, j.typed.ScaleStepG)
}
