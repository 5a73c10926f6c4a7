package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/cmd/pourwright/planfolder"
	"pourwright/mesh"
	"pourwright/render/say"
	"pourwright/render/sheet"
)

// planner is the plan command: it answers everything and writes the folder.
type planner struct {
	con     *console
	globals *globals
	job     jobFlags
	out     string
	force   bool
}

func newPlanCmd(con *console, g *globals) *cobra.Command {
	p := &planner{con: con, globals: g}
	cmd := &cobra.Command{
		Use:   "plan SCAN | plan job.toml",
		Short: "Plan the whole job and write it to a folder: picture, job sheet, figures",
		Long: `Plans the whole mold from a scan (STL, OBJ, PLY, 3MF, GLB, or one of them packed
with gzip; - is standard input), or again from the job.toml of an earlier plan,
and writes a folder: preview.png to look at, sheet.html to print and pin up,
templates to print true to size (level strip, base board, walls, cut; SVG and PDF),
plan.json for programs, job.toml to plan the same again. A job.toml in a plan
folder is planned into that folder, which takes --force.`,
		Example: `  pourwright plan lantern.stl
  pourwright plan lantern.stl --units in --clearance 3/4in
  pourwright plan lantern-plan/job.toml --rubber plat-30 --force`,
		Args: oneScan,
		RunE: func(cmd *cobra.Command, args []string) error { return p.run(cmd.Context(), args[0]) },
	}
	p.job.addScan(cmd)
	p.job.addMold(cmd)
	p.addFolder(cmd, "`FOLDER` to write (else that of the job.toml, or the scan's name and -plan)")
	return cmd
}

func (p *planner) addFolder(cmd *cobra.Command, usage string) {
	cmd.Flags().StringVar(&p.out, "out", "", usage)
	cmd.Flags().BoolVar(&p.force, "force", false, "replace an earlier plan, if nothing else is in it")
	// The error is for flags that do not exist, which a test would show.
	_ = cmd.MarkFlagDirname("out")
}

func (p *planner) run(ctx context.Context, arg string) error {
	c, err := p.job.choices(arg, p.globals)
	if err != nil {
		return err
	}
	dir := p.folder(arg, c.Scan)
	kept := inFolder(dir, c.Scan, c.Shelf)
	// Refuse before the long work rather than after it.
	if err := planfolder.Check(dir, p.force, kept...); err != nil {
		return err
	}
	s, err := p.con.solve(ctx, p.globals, c)
	if err != nil {
		return err
	}
	extra, err := readAll(dir, kept)
	if err != nil {
		return err
	}
	return p.write(ctx, s, dir, extra...)
}

// folder is where a plan is written: that of the job file when it lies in a plan
// folder, else one named after the scan.
func (p *planner) folder(arg, scan string) string {
	if p.out != "" {
		return filepath.Clean(p.out)
	}
	if planfolder.Ours(arg) {
		return filepath.Clean(arg) // a plan folder is planned again in its place
	}
	if dir := filepath.Dir(arg); isJob(arg) && planfolder.Ours(dir) {
		return dir
	}
	if scan == mesh.StandardInput {
		return "scan-plan"
	}
	name := filepath.Base(scan)
	return strings.TrimPrefix(strings.TrimSuffix(name, filepath.Ext(name))+"-plan", "-")
}

// inFolder names those files that lie in a folder: a plan that replaces the
// folder is made from them, so they stay in it.
func inFolder(dir string, files ...string) []string {
	there, err := os.Stat(dir)
	if err != nil {
		return nil
	}
	var names []string
	for _, file := range files {
		parent, err := os.Stat(filepath.Dir(file))
		if file != "" && file != mesh.StandardInput && err == nil && os.SameFile(parent, there) {
			names = append(names, filepath.Base(file))
		}
	}
	return names
}

func readAll(dir string, names []string) ([]planfolder.File, error) {
	var files []planfolder.File
	for _, name := range names {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			return nil, &usageError{filepath.Join(dir, name) + " cannot be read any more", "run the command again"}
		}
		files = append(files, planfolder.File{Name: name, Data: data})
	}
	return files, nil
}

// write writes the plan folder, with extra files in it, and tells about it.
func (p *planner) write(ctx context.Context, s *solved, dir string, extra ...planfolder.File) error {
	files, err := p.files(ctx, s, dir)
	if err != nil {
		return err
	}
	if err := planfolder.Write(ctx, dir, append(files, extra...), p.force); err != nil {
		return err
	}
	if p.globals.json {
		err = p.con.print(files[0].Data)
	} else {
		r := p.con.newReport(s.style).of(s)
		reportPlan(r, s, dir, files)
		err = r.print()
	}
	if err != nil {
		return err
	}
	return p.globals.strictly(s.Findings)
}

// files makes the files of the plan folder, plan.json first.
func (p *planner) files(ctx context.Context, s *solved, dir string) ([]planfolder.File, error) {
	plan, err := encode(s.Plan)
	if err != nil {
		return nil, err
	}
	job, err := saveJob(s.choices, dir)
	if err != nil {
		return nil, err
	}
	png, err := p.con.drawPreview(ctx, s)
	if err != nil {
		return nil, err
	}
	var html bytes.Buffer
	if err := sheet.Write(&html, s.Plan, sheet.Options{Show: s.style, PreviewPNG: png, Made: time.Now()}); err != nil {
		return nil, err
	}
	files := []planfolder.File{
		{Name: planfolder.Plan, Data: plan}, {Name: planfolder.Job, Data: job},
		{Name: planfolder.Preview, Data: png}, {Name: planfolder.Sheet, Data: html.Bytes()},
	}
	return append(files, templates(s)...), nil
}

// openedHow says in one sentence how the mold is opened, or made in two parts.
func openedHow(style say.Style, s *solved) string {
	if s.TwoPart != nil {
		return twoPartWords(style, s)
	}
	return openWords(style, s)
}

// castingWords says what goes into the mold, and what comes out.
func castingWords(style say.Style, c analysis.Cast) string {
	what := fmt.Sprintf("%s of %s for %s", style.Mass(c.MassG.Likely), c.Name, style.Liquid(c.CavityMM3))
	if c.TooThick {
		what = fmt.Sprintf("hollow, %d coats of %s of %s", c.Slush.Coats, style.Mass(c.Slush.CoatG), c.Name)
	}
	return what + "; the prop weighs " + propWeight(style, c)
}

// propWeight is what the finished prop weighs, with its rod if it has one.
func propWeight(style say.Style, c analysis.Cast) string {
	for _, o := range c.Candidates {
		if !o.Chosen {
			continue
		}
		weight := style.MassRange(o.PropG.Low, o.PropG.High)
		if o.PropG != o.FinishedG {
			weight += " with its rod, " + style.MassRange(o.FinishedG.Low, o.FinishedG.High) + " without"
		}
		return weight
	}
	return say.Unknown
}

// planBoxWords says in one line what box it is.
func planBoxWords(style say.Style, s *solved) string {
	inside := insideWords(style, s.Box)
	if s.TwoPart != nil {
		inside = style.SizeUp(s.TwoPart.InsideMM[:2]) + " on its side"
	}
	return inside + ", walls " + style.LengthUp(s.Box.WallHeightMM) + " high"
}

func reportPlan(r *report, s *solved, dir string, files []planfolder.File) {
	size, opened := s.Scan.TightestBoxMM, "Open it"
	if s.TwoPart != nil {
		opened = "Two parts"
	}
	r.verdict(fmt.Sprintf("%s: %s.", s.Name, judgement(s.Findings)))
	r.WriteByte('\n')
	r.rows([][2]string{
		{"Part", r.style.Size(size[:]) + " in its tightest box"},
		{"Volume", volumeWords(r.style, s.Scan)},
		{"Units", unitWords(s.Scan)},
		{"Stand", fmt.Sprintf("%s, %s high; the picture shows it", lies(s.Stand.Down, s.Stand.HeightMM, s.Scan.TightestBoxMM), r.style.Length(s.Stand.HeightMM))},
		{"Spout", spoutWords(r.style, s.Stand.SpoutDiameterMM, s.Stand.StemMM)},
		{"Vents", ventWords(s.CastTrap)},
		{"Box", planBoxWords(r.style, s)},
		{"Walls", wallsInShort(s.Bow)},
		{"Hold it by", holdInShort(s)},
		{"Rubber", rubberWords(r.style, s.Rubber)},
		{opened, openedHow(r.style, s)},
		{"Casting", castingWords(r.style, s.Cast)},
	})
	r.findings(s.Findings)
	r.cautions(s.Cautions)
	r.heading("Written")
	r.rows([][2]string{
		{filepath.Join(dir, planfolder.Preview), "the picture: look at it first"},
		{filepath.Join(dir, planfolder.Sheet), "the job sheet, to print"},
		{filepath.Join(dir, planfolder.Templates), templatesWords(files)},
		{filepath.Join(dir, planfolder.Plan), "all figures"},
		{filepath.Join(dir, planfolder.Job), "all choices, to plan again"},
	})
}
