package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/render/say"
)

// scanner is the scan command.
type scanner struct {
	con      *console
	globals  *globals
	job      jobFlags
	thorough bool
	picture  string
	mended   string
	force    bool
}

func newScanCmd(con *console, g *globals) *cobra.Command {
	s := &scanner{con: con, globals: g}
	cmd := &cobra.Command{
		Use:     "scan SCAN",
		Short:   "Say what a scan is worth: size, volume, what is wrong with it",
		Long:    "Reads a scan (STL, OBJ, PLY, 3MF, GLB, or one of them packed with gzip; - is standard\ninput), or the scan of a job.toml, and says how big the part is, how that is known,\nand whether a mold can be planned from it. With --json, what was not looked for is\nnull: detail_radius_mm, which only a plan finds, and noise_mm without --thorough.",
		Example: "  pourwright scan lantern.stl\n  pourwright scan lantern.stl --longest 412mm\n  pourwright scan lantern.obj --thorough --picture worth.png --write mended.stl",
		Args:    oneScan,
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.run(cmd.Context(), args[0])
		},
	}
	s.job.addScan(cmd)
	flags := cmd.Flags()
	flags.BoolVar(&s.thorough, "thorough", false, "also look for surface that passes through itself, and for noise (as plan does)")
	flags.StringVar(&s.picture, "picture", "", "PNG `FILE` to draw the scan to, with its problems marked")
	flags.StringVar(&s.mended, "write", "", "STL `FILE` to write the mended scan to, in mm; the scan itself is never changed")
	flags.BoolVar(&s.force, "force", false, "replace those files if they exist")
	return cmd
}

// scanPart is the part of plan.json that scan answers.
type scanPart struct {
	Pourwright string            `json:"pourwright"`
	Scan       any               `json:"scan"`
	Findings   []finding.Finding `json:"findings"`
}

// scanAlone is a scan in which no detail was looked for: what it hides is null.
type scanAlone struct {
	analysis.Scan
	DetailRadiusMM *float64 `json:"detail_radius_mm"`
}

// scanBroken is a scan that cannot be used: it has no volume.
type scanBroken struct {
	scanAlone
	VolumeMM3      *float64       `json:"volume_mm3"`
	VolumeErrorMM3 *float64       `json:"volume_error_mm3"`
	AreaMM2        *float64       `json:"area_mm2"`
	CentroidMM     *[3]float64    `json:"centroid_mm"`
	InertiaMM5     *[3][3]float64 `json:"inertia_mm5"`
	MaterialMM3    *float64       `json:"material_mm3"`
	EnvelopeMM3    *float64       `json:"envelope_mm3"`
}

func (s *scanner) run(ctx context.Context, arg string) error {
	c, err := s.job.choices(arg, s.globals)
	if err != nil {
		return err
	}
	style, err := s.globals.style(c.Show)
	if err != nil {
		return err
	}
	if err := s.mayWriteAll(c.Scan); err != nil {
		return err
	}
	loaded, err := s.load(ctx, c)
	var unusable *analysis.Unusable
	if errors.As(err, &unusable) {
		return errors.Join(s.tellBroken(ctx, style, unusable), err)
	}
	if err != nil {
		return err
	}
	if err := s.writeAll(ctx, style, loaded); err != nil {
		return err
	}
	if s.globals.json {
		err = s.con.printJSON(scanPart{version, scanAlone{Scan: loaded.Scan}, loaded.Findings})
	} else {
		err = s.report(s.con.newReport(style), loaded, notLookedFor(c))
	}
	if err != nil {
		return err
	}
	return s.globals.strictly(loaded.Findings)
}

func (s *scanner) load(ctx context.Context, c analysis.Choices) (*analysis.Loaded, error) {
	b := s.con.newBar()
	defer b.erase()
	loaded, err := analysis.Load(ctx, c, b.tell)
	if err == nil && s.thorough {
		err = loaded.LookCloser(ctx, c, b.tell)
	}
	return loaded, err
}

// tellBroken tells what is wrong with a scan that cannot be used.
func (s *scanner) tellBroken(ctx context.Context, style say.Style, u *analysis.Unusable) error {
	if s.picture != "" {
		if err := s.draw(ctx, worthOfBroken(style, u)); err != nil {
			return err
		}
	}
	if s.globals.json {
		return s.con.printJSON(scanPart{version, scanBroken{scanAlone: scanAlone{Scan: u.Scan}}, []finding.Finding{}})
	}
	r := s.con.newReport(style)
	r.verdict(brokenVerdict(u))
	if len(u.Scan.Problems) > 0 {
		r.problems("Wrong with the scan", u.Scan.Problems)
	}
	if s.picture != "" {
		r.heading("Written")
		r.rows([][2]string{{s.picture, "the scan with its problems marked"}})
	}
	return r.print()
}

func brokenVerdict(u *analysis.Unusable) string {
	return fmt.Sprintf("Not usable as it is: %s: %s.", u.Scan.File, u.Error())
}

// verdict is the worth of a scan in one line.
func verdict(style say.Style, l *analysis.Loaded) string {
	s := l.Scan
	long := style.Length(s.TightestBoxMM[0]) + " long"
	if s.Worth == analysis.WorthSound {
		return fmt.Sprintf("Sound: %s is %s, %s; %s.", s.File, solidWords(s), long, judgement(l.Findings))
	}
	return fmt.Sprintf("Usable, with a doubt of %s in its volume: %s is %s, %s; %s.",
		doubtWords(s.VolumeErrorMM3/s.EnvelopeMM3), s.File, solidWords(s), long, judgement(l.Findings))
}

// doubtWords writes a share of the volume that is in doubt.
func doubtWords(share float64) string {
	if share < 0.001 {
		return "under 0.1 %"
	}
	return say.Percent(share)
}

func (s *scanner) report(r *report, l *analysis.Loaded, unseen string) error {
	sc := l.Scan
	r.verdict(verdict(r.style, l))
	r.WriteByte('\n')
	rows := [][2]string{
		{"Tightest box", r.style.Size(sc.TightestBoxMM[:])},
		{"Along scan axes", r.style.Size(sc.SizeMM[:])},
		{"Volume", volumeWords(r.style, sc)},
		{"Surface", r.style.Area(sc.AreaMM2)},
		{"Units", unitWords(sc)},
		{"Closed", closedWords(sc)},
		{"File", fmt.Sprintf("%s, %s", sc.Format, say.Count(sc.Triangles, "triangle", "triangles"))},
	}
	if sc.NoiseMM != nil {
		rows = append(rows, [2]string{"Noise", noiseWords(*sc.NoiseMM)})
	} else {
		rows = append(rows, [2]string{"Not looked for", unseen})
	}
	r.rows(rows)
	reportProblems(r, sc)
	r.findings(l.Findings)
	s.reportWritten(r)
	return r.print()
}

// notLookedFor names what a scan alone leaves to a closer look.
func notLookedFor(c analysis.Choices) string {
	unseen := "noise, surface that passes through itself, a table under it"
	if c.Table != "" { // the maker has said what it is
		unseen = "noise, surface that passes through itself"
	}
	return unseen + "; --thorough looks, and so does plan"
}

// noiseWords tells how far corners scatter: of what is even to a thousandth of a
// millimetre, or has too few corners to tell, that nothing was seen.
func noiseWords(mm float64) string {
	if mm < 0.001 {
		return "no scatter of the corners to be seen"
	}
	return fmt.Sprintf("corners scatter by %.2g mm (standard deviation)", mm)
}

// unitWords says what one unit of the file is and how that is known.
func unitWords(s analysis.Scan) string {
	switch s.UnitsFrom {
	case "given":
		return s.Units + ", as given"
	case "file":
		return s.Units + ", as the file says"
	case "comment":
		return s.Units + ", by a comment in the file"
	case "longest":
		return fmt.Sprintf("one unit of the file is %s mm, by the longest side given", say.Number(s.Scale))
	}
	return s.Units + ", guessed: the file does not say"
}

// solidWords says what a scan is.
func solidWords(s analysis.Scan) string {
	words := "a closed solid"
	switch {
	case s.As == analysis.AsShell:
		return "a shell on its rim"
	case s.As == analysis.AsHollow:
		words = "a closed solid, hollow inside"
	case s.Shells > 1:
		words = fmt.Sprintf("closed, of %d surfaces", s.Shells)
	}
	if !s.Watertight {
		words += " once mended"
	}
	return words
}

// volumeWords says how much a part is; a hollow that rubber never gets into is
// filled when it is cast.
func volumeWords(style say.Style, s analysis.Scan) string {
	if s.EnvelopeMM3 > s.MaterialMM3 {
		return fmt.Sprintf("%s; %s with the hollow filled", style.Volume(s.MaterialMM3), style.VolumeError(s.EnvelopeMM3, s.VolumeErrorMM3))
	}
	return style.VolumeError(s.VolumeMM3, s.VolumeErrorMM3)
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
