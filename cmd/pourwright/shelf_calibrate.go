package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"pourwright/analysis/bow"
	"pourwright/analysis/shelf"
	"pourwright/cmd/pourwright/quantity"
	"pourwright/render/say"
)

// strip is a strip of board on two supports with a weight in its middle.
type strip struct{ span, width, load, sag float64 }

func newCalibrateCmd(con *console, g *globals) *cobra.Command {
	s := &strip{}
	cmd := &cobra.Command{
		Use:   "calibrate",
		Short: "Work out how stiff a board of your own is, from a strip on two supports",
		Long: `Lay a strip of the board across two supports, hang or set a known weight on its
middle, and measure how far the middle sinks. Give the four figures; the stiffness
goes into your shelf file as bend_nm.

Cut the strip the way it will run round the box, at least ten times as long between
the supports as it is thick. Take a weight that makes it sink by about a hundredth
of the span.`,
		Example: "  pourwright shelf calibrate --span 300mm --width 50mm --load 500g --sag 4.5mm",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return con.calibrate(g, s) },
	}
	for _, f := range []struct {
		to          *float64
		name, usage string
		read        func(string) (float64, error)
	}{
		{&s.span, "span", "`LENGTH` between the supports", quantity.Length},
		{&s.width, "width", "`LENGTH` across the strip", quantity.Length},
		{&s.load, "load", "`MASS` on its middle", quantity.Mass},
		{&s.sag, "sag", "`LENGTH` that the middle sinks by", quantity.Length},
	} {
		cmd.Flags().Func(f.name, f.usage, func(text string) (err error) {
			if *f.to, err = f.read(text); err == nil && *f.to == 0 {
				err = &usageError{"nothing was measured", "give a figure above zero"}
			}
			return err
		})
	}
	return cmd
}

func (con *console) calibrate(g *globals, s *strip) error {
	for _, f := range []struct {
		name  string
		value float64
	}{{"span", s.span}, {"width", s.width}, {"load", s.load}, {"sag", s.sag}} {
		if f.value == 0 {
			return &usageError{"--" + f.name + " is missing", "pourwright shelf calibrate --span 300mm --width 50mm --load 500g --sag 4.5mm"}
		}
	}
	bend, err := bow.ThreePoint(s.span, s.width, s.load, s.sag)
	if err != nil {
		return err
	}
	if g.json {
		return con.printJSON(struct {
			BendNM *[3]float64 `json:"bend_nm"` // low, likely, high
		}{three(bend)})
	}
	r := con.newReport(say.Both)
	r.verdict(fmt.Sprintf("This board bends with a stiffness of %s.", withUnit(bend, "N·m")))
	r.heading("For your shelf file")
	r.WriteString(fmt.Sprintf("  [board.my-board]\n  name = \"my board\"\n  thickness_mm = …          # measure it\n  bend_nm = { low = %.3g, likely = %.3g, high = %.3g }\n  basis = \"three-point test\"\n", bend.Low, bend.Likely, bend.High))
	r.WriteByte('\n')
	r.wrap(indent, "It is m·g·L³/(48·sag·width), with the readings off a little either way, and at the high end for a wall that cannot curl as a strip does. Test a strip cut the other way too if the board has a grain or flutes: that is bend_up_nm.", "")
	r.cautions([]string{shelf.DataSheetFirst})
	return r.print()
}
