package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/analysis/moldbox"
	"pourwright/cmd/pourwright/quantity"
)

// addBox adds the flags that say what box is built or owned.
func (j *jobFlags) addBox(cmd *cobra.Command) {
	flags := cmd.Flags()
	addLength(flags, &j.typed.ClearanceMM, "clearance", "`LENGTH` of rubber between the part and each wall (else by its size)")
	addLength(flags, &j.typed.CutClearanceMM, "cut-clearance", "`LENGTH` of rubber to the walls that the cut crosses (else the clearance, but at least 19mm for keys)")
	flags.Func("wall-clearance", "`WALL=LENGTH` of rubber to one wall: left, right, front or back; may be repeated", func(s string) error {
		return wallClearance(s, &j.typed.WallClearanceMM)
	})
	addLength(flags, &j.typed.CoverMM, "cover", "`LENGTH` of rubber above the part (else the clearance and 4mm more)")
	addLength(flags, &j.typed.FreeboardMM, "freeboard", "`LENGTH` of wall that stands above the rubber (else 12mm)")
	flags.Func("shape", "`SHAPE` of the box: rectangle, tube or faceted, a board scored and bent round the part (else rectangle)", oneOf(&j.typed.Shape, "a box", "", moldbox.Shapes()))
	flags.Func("facets", "`NUMBER` of facets of a faceted box, at most (else 8)", func(s string) error {
		n, err := strconv.Atoi(s)
		if err != nil || n < 1 {
			return &usageError{s + " is no number of facets", "give a whole number, such as --facets 8"}
		}
		j.typed.Facets = n
		return nil
	})
	flags.Func("inside", "`SIZE` of a box or tub that you own: inside length x width x height of its walls", func(s string) error {
		size, err := quantity.Size(s)
		j.typed.InsideMM = &size
		return err
	})
	flags.Func("have", "`MASS` of rubber on hand, which the box is to take at most", func(s string) error {
		g, err := quantity.Mass(s)
		if err == nil && g == 0 {
			return &usageError{"no rubber fills no box", "say how much there is, such as --have 3kg, or leave it out"}
		}
		j.typed.HaveG = g
		return err
	})
	flags.BoolVar(&j.typed.Fillers, "fillers", false, "fill corners and voids of the box where rubber is only waste")
	completeWith(cmd, "shape", moldbox.Shapes)
	completeWith(cmd, "wall-clearance", func() []string { return []string{"left=", "right=", "front=", "back="} })
}

// wallClearance reads the clearance of one wall.
func wallClearance(s string, to *analysis.WallClearance) error {
	name, length, found := strings.Cut(s, "=")
	wall := map[string]*float64{"left": &to.Left, "right": &to.Right, "front": &to.Front, "back": &to.Back}[strings.TrimSpace(name)]
	if !found || wall == nil {
		return &usageError{fmt.Sprintf("%q does not say which wall is how far", s), "write it such as --wall-clearance front=25mm; the walls are left, right, front and back"}
	}
	mm, err := quantity.Length(length)
	if err == nil && mm == 0 {
		return &usageError{"the part may not touch a wall", "give that wall some rubber, such as --wall-clearance " + strings.TrimSpace(name) + "=15mm"}
	}
	*wall = mm
	return err
}

// takeBox puts what was typed over a job file's.
func (j *jobFlags) takeBox(c *analysis.Choices) {
	take(&c.ClearanceMM, j.typed.ClearanceMM)
	take(&c.CutClearanceMM, j.typed.CutClearanceMM)
	take(&c.CoverMM, j.typed.CoverMM)
	take(&c.FreeboardMM, j.typed.FreeboardMM)
	take(&c.WallClearanceMM.Left, j.typed.WallClearanceMM.Left)
	take(&c.WallClearanceMM.Right, j.typed.WallClearanceMM.Right)
	take(&c.WallClearanceMM.Front, j.typed.WallClearanceMM.Front)
	take(&c.WallClearanceMM.Back, j.typed.WallClearanceMM.Back)
	take(&c.Shape, j.typed.Shape)
	take(&c.Facets, j.typed.Facets)
	take(&c.InsideMM, j.typed.InsideMM)
	take(&c.HaveG, j.typed.HaveG)
	take(&c.Fillers, j.typed.Fillers)
}
