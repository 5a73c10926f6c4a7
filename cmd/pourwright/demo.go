package main

import (
	"context"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/cmd/pourwright/planfolder"
	"pourwright/samples"
)

func newDemoCmd(con *console, g *globals) *cobra.Command {
	p := &planner{con: con, globals: g}
	cmd := &cobra.Command{
		Use:     "demo",
		Short:   "Plan the mold of a built-in scan, to see what a plan is",
		Long:    "Plans the mold of a prop from an invented play, whose scan is built in, and writes\nits plan folder with the scan in it.",
		Example: "  pourwright demo\n  pourwright demo --out somewhere --force",
		Args:    noArguments,
		RunE:    func(cmd *cobra.Command, _ []string) error { return p.runDemo(cmd.Context()) },
	}
	p.addFolder(cmd, "`FOLDER` to write (else the scan's name and -plan)")
	return cmd
}

func (p *planner) runDemo(ctx context.Context) error {
	name, stl := samples.Demo()
	dir := p.folder("", name)
	if err := planfolder.Check(dir, p.force, name); err != nil {
		return err
	}
	temp, err := os.MkdirTemp("", "pourwright-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	scan := filepath.Join(temp, name)
	if err := os.WriteFile(scan, stl, 0o600); err != nil {
		return err
	}
	s, err := p.con.solve(ctx, p.globals, analysis.Choices{Scan: scan, Units: "mm", Show: p.globals.show})
	if err != nil {
		return err
	}
	// From here on the scan is the one in the plan folder.
	s.choices.Scan = filepath.Join(dir, name)
	return p.write(ctx, s, dir, planfolder.File{Name: name, Data: stl})
}
