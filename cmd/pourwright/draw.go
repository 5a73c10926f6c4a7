package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/render/picture"
)

// drawer is the draw command.
type drawer struct {
	con     *console
	globals *globals
	job     jobFlags
	out     string
	force   bool
	shows   map[string]*bool // by flag
}

// drawKind is one picture that draw makes.
type drawKind struct {
	flag   string // "" for the plan's picture
	usage  string
	file   string // written without --out
	what   string // "Picture", in the answer
	ending string
	draw   func(*console, context.Context, *solved) ([]byte, error)
}

var drawKinds = []drawKind{
	{file: "preview.png", what: "Picture", ending: ".png", draw: (*console).drawPreview},
	{"show-filling", "draw a cutaway of both pours at the moment air is trapped", "filling.png", "Cutaway of both pours", ".png", (*console).drawFilling},
	{"show-detail", "draw where the surface is worth protecting", "detail.png", "Detail", ".png", (*console).drawDetail},
	{"show-thickness", "draw how thick the rubber is everywhere", "thickness.png", "Thickness of the rubber", ".png", (*console).drawThickness},
	{"show-ways", "draw the way up beside the best others", "ways.png", "Ways up", ".png", (*console).drawWays},
	{"cast", "draw the block as it is cast, cut open: liquid, vents, necks, rod, and what fills last", "cast.png", "The cast", ".png", (*console).drawCast},
	{"cut", "draw the face of the cut, or the bed of a mold in two parts, true to size, as an SVG", "cut-face.svg", "True-size face of the cut", ".svg", (*console).drawCut},
	{"filling", "draw both pours as an animated GIF", "filling.gif", "Animation of both pours", ".gif", (*console).filmFilling},
}

func newDrawCmd(con *console, g *globals) *cobra.Command {
	d := &drawer{con: con, globals: g}
	cmd := &cobra.Command{
		Use:     "draw SCAN",
		Short:   "Draw the part in its block with the cut, the spout and the vents",
		Long:    "Plans the job and draws only its picture: the part in its block, or with a flag\nanother view of the same plan.",
		Example: "  pourwright draw lantern.stl\n  pourwright draw lantern.stl --down 0,0,-1 --out other-way.png\n  pourwright draw lantern.stl --filling",
		Args:    oneScan,
		RunE:    func(cmd *cobra.Command, args []string) error { return d.run(cmd.Context(), args[0]) },
	}
	d.job.addScan(cmd)
	d.job.addMold(cmd)
	d.shows = map[string]*bool{}
	for _, k := range drawKinds[1:] {
		d.shows[k.flag] = cmd.Flags().Bool(k.flag, false, k.usage)
	}
	cmd.Flags().StringVar(&d.out, "out", "", "`FILE` to write (else preview.png, or another name as the flag says)")
	cmd.Flags().BoolVar(&d.force, "force", false, "replace the file if it exists")
	return cmd
}

// kind is the picture asked for; one at a time.
func (d *drawer) kind() (drawKind, error) {
	kind := drawKinds[0]
	for _, k := range drawKinds[1:] {
		switch {
		case !*d.shows[k.flag]:
		case kind.flag != "":
			return kind, &usageError{fmt.Sprintf("--%s and --%s are two pictures, and draw makes one at a time", kind.flag, k.flag), "give one of them, then the other"}
		default:
			kind = k
		}
	}
	return kind, nil
}

// file is where the picture goes.
func (d *drawer) file(k drawKind) (string, error) {
	if d.out == "" {
		return k.file, nil
	}
	if !strings.EqualFold(filepath.Ext(d.out), k.ending) {
		name := strings.ToUpper(k.ending[1:])
		return "", &usageError{fmt.Sprintf("the picture is %s %s, and %q does not end in %s", article(name), name, d.out, k.ending), "--out " + renamed(d.out, k)}
	}
	return d.out, nil
}

// renamed is a file name with the kind's ending instead of another.
func renamed(path string, k drawKind) string {
	if name := strings.TrimSuffix(path, filepath.Ext(path)); name != "" && !os.IsPathSeparator(name[len(name)-1]) {
		return name + k.ending
	}
	return k.file
}

// drawn is what draw answers for programs.
type drawn struct {
	Pourwright string   `json:"pourwright"`
	Preview    string   `json:"preview,omitempty"` // the plan's picture
	Files      []string `json:"files"`             // all that was written
}

func (d *drawer) run(ctx context.Context, arg string) error {
	kind, err := d.kind()
	if err != nil {
		return err
	}
	c, err := d.job.choices(arg, d.globals)
	if err != nil {
		return err
	}
	if kind.flag == "cut" && c.Style == analysis.TwoPartStyle {
		kind.file, kind.what = "bed.svg", "True-size bed" // nothing is cut
	}
	out, err := d.file(kind)
	if err != nil {
		return err
	}
	if err := mayWrite(out, "--out", d.force); err != nil {
		return err
	}
	s, err := d.con.solve(ctx, d.globals, c)
	if err != nil {
		return err
	}
	data, err := kind.draw(d.con, ctx, s)
	if err != nil {
		return err
	}
	if err := writeAside(ctx, out, "--out", d.force, bytesTo(data)); err != nil {
		return err
	}
	if err := d.answer(kind, out, s); err != nil {
		return err
	}
	return d.globals.strictly(s.Findings)
}

// answer says what was drawn.
func (d *drawer) answer(kind drawKind, out string, s *solved) error {
	if d.globals.json {
		told := drawn{Pourwright: version, Files: []string{out}}
		if kind.flag == "" {
			told.Preview = out
		}
		return d.con.printJSON(told)
	}
	r := d.con.newReport(s.style).of(s)
	r.answer(fmt.Sprintf("%s of %s: %s.", kind.what, s.Name, out), s.Findings)
	r.findings(about(s.Findings))
	r.cautions(s.Cautions[:1])
	return r.print()
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
