package main

import (
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pourwright/cmd/pourwright/quantity"
	"pourwright/render/say"
)

// globals are the flags that every command has.
type globals struct {
	json   bool
	strict bool
	show   string // "" unless given
}

const rootLong = `Pourwright reads the 3D scan of an original and plans the block mold of it: the
box to build, the rubber to weigh, which way up it stands, where the spout and
the vents are, and where the block is cut open.

Lengths are typed as people write them: 19mm, 4.5cm, 3/4in, 1 1/2", 2ft 3in.`

const rootExample = `  pourwright demo
  pourwright plan lantern.stl
  pourwright plan lantern.stl --longest 412mm --rubber plat-30
  pourwright mix --box 15x8x3in`

// newRootCmd builds the whole command tree around one console.
func newRootCmd(con *console) *cobra.Command {
	g := &globals{}
	root := &cobra.Command{
		Use:           "pourwright",
		Short:         "Plans a block mold from a 3D scan",
		Long:          rootLong,
		Example:       rootExample,
		Version:       version,
		Args:          unknownCommand,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.SetOut(con.out)
	root.SetErr(con.err)
	root.SetFlagErrorFunc(flagError)
	root.SetVersionTemplate("pourwright {{.Version}}\n")
	g.add(root.PersistentFlags())
	root.AddCommand(
		newPlanCmd(con, g), newScanCmd(con, g), newStandCmd(con, g), newBoxCmd(con, g), newMixCmd(con, g), newCutCmd(con, g), newCastCmd(con, g),
		newDrawCmd(con, g), newShelfCmd(con, g), newLogCmd(con, g), newDemoCmd(con, g), newCompletionCmd(con),
	)
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpCommand(newHelpCmd())
	return root
}

func (g *globals) add(flags *pflag.FlagSet) {
	flags.BoolVar(&g.json, "json", false, "print the answer as JSON instead, with the keys of plan.json")
	flags.BoolVar(&g.strict, "strict", false, "exit with code 1 when something must be settled before you pour")
	flags.Func("show", "`UNITS` to show: in, mm or both (else both)", func(s string) (err error) {
		g.show, err = shownUnits(s)
		return err
	})
}

// shownUnits reads in, mm or both, or what else people call them.
func shownUnits(text string) (string, error) {
	if unit, err := quantity.ScanUnit(text); err == nil {
		text = unit
	}
	style, err := say.ParseStyle(text)
	if err != nil || strings.TrimSpace(text) == "" {
		return "", &usageError{"units to show are in, mm or both", "--show both"}
	}
	return style.String(), nil
}

// style returns the units to show: the flag's, else the job's.
func (g *globals) style(job string) (say.Style, error) {
	if g.show != "" {
		job = g.show
	}
	return say.ParseStyle(job)
}
