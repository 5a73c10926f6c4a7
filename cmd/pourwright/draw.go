package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/render/picture"
)

// drawer is the draw command.
type drawer struct {
	con     *console
	globals *globals
	job     jobFlags
	out     string
	force   bool
}

func newDrawCmd(con *console, g *globals) *cobra.Command {
	d := &drawer{con: con, globals: g}
	cmd := &cobra.Command{
		Use:     "draw SCAN",
		Short:   "Draw the part in its block with the cut, the spout and the vents",
		Long:    "Plans the job and draws only its picture.",
		Example: "  pourwright draw lantern.stl\n  pourwright draw lantern.stl --down 0,0,-1 --out other-way.png",
		Args:    oneScan,
		RunE:    func(cmd *cobra.Command, args []string) error { return d.run(cmd.Context(), args[0]) },
	}
	d.job.addScan(cmd)
	d.job.addMold(cmd)
	cmd.Flags().StringVar(&d.out, "out", "preview.png", "PNG `FILE` to write")
	cmd.Flags().BoolVar(&d.force, "force", false, "replace the file if it exists")
	return cmd
}

// pngName is a file name with .png instead of another ending.
func pngName(path string) string {
	if name := strings.TrimSuffix(path, filepath.Ext(path)); name != "" && !os.IsPathSeparator(name[len(name)-1]) {
		return name + ".png"
	}
	return "preview.png"
}

// drawn is what draw answers for programs.
type drawn struct {
	Pourwright string `json:"pourwright"`
	Preview    string `json:"preview"`
}

func (d *drawer) run(ctx context.Context, arg string) error {
	c, err := d.job.choices(arg, d.globals)
	if err != nil {
		return err
	}
	if !strings.EqualFold(filepath.Ext(d.out), ".png") {
		return &usageError{fmt.Sprintf("the picture is a PNG, and %q does not end in .png", d.out), "--out " + pngName(d.out)}
	}
	if err := mayWrite(d.out, "--out", d.force); err != nil {
		return err
	}
	s, err := d.con.solve(ctx, d.globals, c)
	if err != nil {
		return err
	}
	png, err := d.con.drawPreview(ctx, s)
	if err != nil {
		return err
	}
	if err := writeAside(ctx, d.out, "--out", d.force, bytesTo(png)); err != nil {
		return err
	}
	if d.globals.json {
		err = d.con.printJSON(drawn{version, d.out})
	} else {
		r := d.con.newReport(s.style)
		r.answer(fmt.Sprintf("Picture of %s: %s.", s.Name, d.out), s.Findings)
		r.findings(about(s.Findings))
		r.cautions(s.Cautions[:1])
		err = r.print()
	}
	if err != nil {
		return err
	}
	return d.globals.strictly(s.Findings)
}

// drawPreview draws the picture of a plan.
func (con *console) drawPreview(ctx context.Context, s *solved) ([]byte, error) {
	b := con.newBar()
	defer b.erase()
	b.tell("drawing the picture", 0, 1)
	img, err := picture.Preview(ctx, s.Posed(s.solid).Mesh, s.Plan, picture.Options{Show: s.style})
	if err != nil {
		return nil, err
	}
	var png bytes.Buffer
	if err := picture.WritePNG(&png, img); err != nil {
		return nil, err
	}
	return png.Bytes(), nil
}
