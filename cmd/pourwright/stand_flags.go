package main

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/cmd/pourwright/quantity"
)

// addStand adds the flags that say which way up the part is molded.
func (j *jobFlags) addStand(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.Func("down", "the direction `x,y,z`, in the scan's axes, that points at the board (else the best)", func(s string) error {
		d, err := quantity.Direction(s)
		j.typed.Down = &d
		return err
	})
	flags.Func("spout", "the point `x,y,z` of the scan, in mm, at or near which the casting material goes in (else the best)", func(s string) error {
		p, err := quantity.Point(s)
		j.typed.Spout = &p
		return err
	})
	flags.Func("stem", "put the part on a stem of this `LENGTH`, clear of the board (else one of 20mm, only where no face is wide enough for the spout)", func(s string) error {
		mm, err := quantity.Length(s)
		if err == nil && mm == 0 {
			return &usageError{"the stem is nothing long", "give its length, such as --stem 20mm, or leave it out"}
		}
		j.typed.StemMM = mm
		return err
	})
	flags.Func("prefer", "how much a criterion weighs, `NAME=WEIGHT`, such as detail=2: "+strings.Join(analysis.CriterionNames(), ", "), func(s string) error {
		name, weight, err := preference(s)
		if err != nil {
			return err
		}
		if j.typed.Prefer == nil {
			j.typed.Prefer = map[string]float64{}
		}
		j.typed.Prefer[name] = weight
		return nil
	})
	completeWith(cmd, "prefer", func() []string {
		var words []string
		for _, name := range analysis.CriterionNames() {
			words = append(words, name+"=")
		}
		return words
	})
}

// preference reads the weight of a criterion.
func preference(s string) (name string, weight float64, err error) {
	name, number, found := strings.Cut(s, "=")
	name = strings.ReplaceAll(strings.TrimSpace(name), "-", "_")
	if !slices.Contains(analysis.CriterionNames(), name) {
		return "", 0, &usageError{fmt.Sprintf("%q is no criterion of the way up", name), "the criteria are " + strings.Join(analysis.CriterionNames(), ", ")}
	}
	weight, bad := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if !found || bad != nil || !(weight >= 0 && weight <= 1000) {
		return "", 0, &usageError{fmt.Sprintf("%q does not say how much %s weighs", s, name), "give a number from 0, such as --prefer " + name + "=2"}
	}
	return name, weight, nil
}

// takeStand puts what was typed over a job file's.
func (j *jobFlags) takeStand(c *analysis.Choices) {
	take(&c.Down, j.typed.Down)
	take(&c.Spout, j.typed.Spout)
	take(&c.StemMM, j.typed.StemMM)
	if j.typed.Prefer != nil {
		prefer := maps.Clone(c.Prefer)
		if prefer == nil {
			prefer = map[string]float64{}
		}
		maps.Copy(prefer, j.typed.Prefer)
		c.Prefer = prefer
	}
}
