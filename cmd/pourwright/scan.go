package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/render/say"
)

func newScanCmd(con *console, g *globals) *cobra.Command {
	job := &jobFlags{}
	cmd := &cobra.Command{
		Use:     "scan SCAN",
		Short:   "Say what a scan is worth: size, volume, what is wrong with it",
		Long:    "Reads a scan (STL, OBJ, PLY, 3MF, GLB, or one of them packed with gzip; - is standard\ninput), or the scan of a job.toml, and says how big the part is, how that is known,\nand whether a mold can be planned from it. With --json, detail_radius_mm is\nnull: only a plan looks for detail.",
		Example: "  pourwright scan lantern.stl\n  pourwright scan lantern.stl --units in\n  pourwright scan lantern.stl --longest 412mm",
		Args:    oneScan,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runScan(cmd.Context(), con, g, job, args[0])
		},
	}
	job.addScan(cmd)
	return cmd
}

// scanPart is the part of plan.json that scan answers.
type scanPart struct {
	Pourwright string            `json:"pourwright"`
	Scan       scanAlone         `json:"scan"`
	Findings   []finding.Finding `json:"findings"`
}

// scanAlone is a scan in which no detail was looked for: what it hides is null.
type scanAlone struct {
	analysis.Scan
	DetailRadiusMM *float64 `json:"detail_radius_mm"`
}

func runScan(ctx context.Context, con *console, g *globals, job *jobFlags, arg string) error {
	c, err := job.choices(arg, g)
	if err != nil {
		return err
	}
	style, err := g.style(c.Show)
	if err != nil {
		return err
	}
	b := con.newBar()
	loaded, err := analysis.Load(ctx, c, b.tell)
	b.erase()
	if err != nil {
		return err
	}
	if g.json {
		err = con.printJSON(scanPart{version, scanAlone{Scan: loaded.Scan}, loaded.Findings})
	} else {
		err = reportScan(con.newReport(style), loaded)
	}
	if err != nil {
		return err
	}
	return g.strictly(loaded.Findings)
}

func reportScan(r *report, l *analysis.Loaded) error {
	s := l.Scan
	r.verdict(fmt.Sprintf("%s is %s, %s long; %s.", s.File, solidWords(s), r.style.Length(s.TightestBoxMM[0]), judgement(l.Findings)))
	r.WriteByte('\n')
	r.rows([][2]string{
		{"Tightest box", r.style.Size(s.TightestBoxMM[:])},
		{"Along scan axes", r.style.Size(s.SizeMM[:])},
		{"Volume", volumeWords(r.style, s)},
		{"Surface", r.style.Area(s.AreaMM2)},
		{"Units", unitWords(s)},
		{"Closed", closedWords(s)},
		{"File", fmt.Sprintf("%s, %s", s.Format, say.Count(s.Triangles, "triangle", "triangles"))},
	})
	reportProblems(r, s)
	r.findings(l.Findings)
	return r.print()
}

// unitWords says what one unit of the file is and how that is known.
func unitWords(s analysis.Scan) string {
	switch s.UnitsFrom {
	case "given":
		return s.Units + ", as given"
	case "file":
		return s.Units + ", as the file says"
	case "longest":
		return fmt.Sprintf("one unit of the file is %s mm, by the longest side given", say.Number(s.Scale))
	}
	return s.Units + ", guessed: the file does not say"
}

// solidWords says what a scan is.
func solidWords(s analysis.Scan) string {
	if s.Shells == 1 || s.As == "hollow" {
		return "a closed solid"
	}
	return fmt.Sprintf("closed, of %d surfaces", s.Shells)
}

// volumeWords says how much a part is; a hollow that rubber never gets into is
// filled when it is cast.
func volumeWords(style say.Style, s analysis.Scan) string {
	words := style.VolumeError(s.VolumeMM3, s.VolumeErrorMM3)
	if s.EnvelopeMM3 > s.MaterialMM3 {
		words += fmt.Sprintf("; %s with the hollow filled", style.Volume(s.EnvelopeMM3))
	}
	return words
}

func closedWords(s analysis.Scan) string {
	if !s.Watertight {
		return "not as it was read; mended"
	}
	if s.Shells == 1 {
		return "yes, one surface without holes"
	}
	return fmt.Sprintf("yes, %d separate surfaces without holes", s.Shells)
}
