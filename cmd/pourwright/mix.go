package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/analysis/mix"
	"pourwright/analysis/pours"
	"pourwright/analysis/shelf"
	"pourwright/cmd/pourwright/quantity"
	"pourwright/render/say"
)

// mixOptions is a box without a scan.
type mixOptions struct {
	insideMM [3]float64 // zero unless given
	partMM3  *float64
}

func newMixCmd(con *console, g *globals) *cobra.Command {
	q := &questioner{con: con, globals: g, ask: analysis.AskRubber, part: mixPart, report: reportMix}
	o := &mixOptions{}
	cmd := newQuestionCmd(q, "mix SCAN | mix PLAN PLAN... | mix --box SIZE", "Say how much rubber to weigh, A and B, in which batches, and which packs to buy",
		"Weighs the rubber for the box around a scanned part; or for several plan folders\nthat are poured in one go; or, with --box, for any box: inside length x width x\nrubber level.",
		"  pourwright mix lantern.stl\n  pourwright mix lantern-plan cane-plan\n  pourwright mix --box 15x8x3in --cup 5L --room 18C\n  pourwright mix --box 15x8x3in --part 0.9L --rubber tin-20")
	cmd.Flags().Func("box", "`SIZE` of a box without a scan: inside length x width x rubber level", func(s string) (err error) {
		o.insideMM, err = quantity.Size(s)
		return err
	})
	cmd.Flags().Func("part", "`VOLUME` that the part takes up in the --box", func(s string) error {
		mm3, err := quantity.Volume(s)
		o.partMM3 = &mm3
		return err
	})
	boxed := func(cmd *cobra.Command) bool { return cmd.Flags().Changed("box") }
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		switch {
		case boxed(cmd):
			return boxAlone(cmd, args)
		case o.partMM3 != nil:
			return &usageError{"--part is only for a box without a scan", "add --box, such as --box 15x8x3in"}
		case len(args) == 0:
			return &usageError{"neither a scan nor a box was given", "pourwright mix lantern.stl, or pourwright mix --box 15x8x3in"}
		}
		if len(args) > 1 {
			return plansAlone(cmd, args)
		}
		return oneScan(cmd, args)
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if boxed(cmd) {
			return q.runBox(o)
		}
		if len(args) > 1 {
			return q.runTogether(args)
		}
		return q.run(cmd.Context(), args[0])
	}
	return cmd
}

// boxFlags are the flags that go with a box without a scan.
var boxFlags = []string{"box", "part", "rubber", "shelf", "cup", "headroom", "room", "altitude", "scale"}

// boxAlone refuses what says nothing about a box without a scan.
func boxAlone(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return &usageError{"give a scan or --box, not both", "leave one of them out"}
	}
	var wrong error
	cmd.Flags().Visit(func(f *pflag.Flag) {
		if wrong == nil && !slices.Contains(boxFlags, f.Name) && cmd.InheritedFlags().Lookup(f.Name) == nil {
			wrong = &usageError{"--" + f.Name + " says nothing about a bare box", "leave it out, or name a scan instead of --box"}
		}
	})
	return wrong
}

// rubberPart is the part of plan.json that mix answers.
type rubberPart struct {
	Pourwright string            `json:"pourwright"`
	Rubber     analysis.Rubber   `json:"rubber"`
	TwoPart    *analysis.TwoPart `json:"two_part,omitempty"`
	Findings   []finding.Finding `json:"findings"`
	Cautions   []string          `json:"cautions"`
}

func mixPart(s *solved) any {
	return rubberPart{s.Pourwright, s.Rubber, s.TwoPart, s.Findings, s.Cautions}
}

func reportMix(r *report, s *solved) {
	r.rubber(s.Rubber, s.Findings)
	if s.TwoPart == nil {
		r.batches("Batches", s.Rubber.Batches)
		r.marks("Marks on the wall, above the board", s.Rubber.Marks)
	} else {
		for i, p := range s.TwoPart.Parts {
			name := fmt.Sprintf("part %d, the %s", i+1, partName(s.Cut, p))
			r.batches(fmt.Sprintf("Batches of %s: %s in all", name, r.style.Mass(p.MassG)), p.Batches)
			r.marks("Marks on the wall for "+name+", above the board that is then below", p.Marks)
		}
	}
	r.findings(about(s.Findings, "scan", "shelf", "mix"))
	r.cautions(s.ofRubber)
}

// runBox answers for a box without a scan.
func (q *questioner) runBox(o *mixOptions) error {
	style, err := q.globals.style("")
	if err != nil {
		return err
	}
	part, err := o.weigh(&q.job.typed, style)
	if err != nil {
		return err
	}
	if q.globals.json {
		err = q.con.printJSON(part)
	} else {
		r := q.con.newReport(style)
		r.rubber(part.Rubber, part.Findings)
		r.batches("Batches", part.Rubber.Batches)
		r.marks("Marks on the wall, above the board", part.Rubber.Marks)
		r.findings(part.Findings)
		r.cautions(part.Cautions)
		err = r.print()
	}
	if err != nil {
		return err
	}
	return q.globals.strictly(part.Findings)
}

func (o *mixOptions) weigh(c *analysis.Choices, style say.Style) (rubberPart, error) {
	rubber, err := rubberOf(c.Shelf, c.Rubber)
	if err != nil {
		return rubberPart{}, err
	}
	rubber, own, err := analysis.OwnPours(rubber, pours.File())
	if err != nil {
		return rubberPart{}, err
	}
	in := c.InShop(mix.Input{Rubber: rubber, InsideMM: o.insideMM, FilmG: own.FilmG, InchMarks: style == say.Inch})
	if o.partMM3 != nil {
		in.DisplacedMM3 = *o.partMM3
	}
	m, err := mix.Plan(in)
	if err != nil {
		return rubberPart{}, err
	}
	part := rubberPart{version, analysis.RubberOf(rubber, m), nil, m.Findings, rubber.Cautions()}
	part.Rubber.OwnPours = own.Pours
	if part.Findings == nil {
		part.Findings = []finding.Finding{}
	}
	return part, nil
}

// rubberOf takes a rubber from the shelf, the usual one when none is named.
func rubberOf(file, key string) (shelf.Rubber, error) {
	s, err := shelf.Open(file)
	if err != nil {
		return shelf.Rubber{}, err
	}
	if key == "" {
		key = shelf.DefaultRubber
	}
	return s.Rubber(key)
}

// rubber prints what to weigh.
func (r *report) rubber(m analysis.Rubber, all []finding.Finding) {
	var a, b float64
	for _, batch := range m.Batches {
		a, b = a+batch.AG, b+batch.BG
	}
	r.answer(fmt.Sprintf("Weigh %s of %s: %s of A and %s of B.", r.style.Mass(m.MassG), m.MaterialName, say.Grams(a), say.Grams(b)), all)
	r.WriteByte('\n')
	r.rows([][2]string{
		{"Likely range", r.style.MassRange(m.LowG, m.HighG) + enoughWords(m.Enough)},
		{"Buy", buyWords(r.style, m)},
		{"Density", densityWords(m)},
		{"Box, full", r.style.Volume(m.BoxVolumeMM3)},
		{"Pattern", patternWords(r.style, m.DisplacedMM3)},
		{"Rubber in it", fmt.Sprintf("%s, %s when cured", r.style.Volume(m.NetMM3), r.style.Mass(m.BlockG))},
		{"Allowance", fmt.Sprintf("%s: %s", r.style.Mass(m.AllowanceG), m.AllowanceRule)},
		{"Shop's rule", r.style.Mass(m.RuleG) + " by 18.5 g per cubic inch of box, nothing taken off"},
		{"A : B", say.Ratio(m.RatioA, m.RatioB) + " by weight"},
		{"Time", timeWords(m)},
	})
}

// batches lists what to weigh.
func (r *report) batches(title string, all []analysis.Batch) {
	r.heading(title)
	rows := [][]string{{"", "A", "B", "together", "stands at"}}
	for i, batch := range all {
		rows = append(rows, []string{fmt.Sprint(i + 1), partWords(batch.AG, batch.AMM3), partWords(batch.BG, batch.BMM3), say.Grams(batch.TotalG), r.style.Length(batch.LevelMM)})
	}
	r.table(rows)
}

// marks lists levels to draw on the wall.
func (r *report) marks(title string, all []analysis.Mark) {
	r.heading(title)
	rows := [][]string{{"level", "rubber below it", ""}}
	for _, mark := range all {
		rows = append(rows, []string{r.style.Length(mark.LevelMM), r.style.Volume(mark.RubberMM3), r.style.Mass(mark.MassG)})
	}
	r.table(rows)
}

// partWords is a part of a batch by weight, and by volume where it may be
// measured so.
func partWords(g float64, mm3 *float64) string {
	if mm3 == nil {
		return say.Grams(g)
	}
	return fmt.Sprintf("%s or %.0f mL", say.Grams(g), *mm3/1000)
}

// enoughWords says how likely the likely mass is enough.
func enoughWords(chance float64) string {
	if chance == 0 {
		return ""
	}
	return fmt.Sprintf("; the likely amount is enough in %.0f pours of 100 when nothing leaks", math.Floor(100*chance))
}

// buyWords lists the packs to buy.
func buyWords(style say.Style, m analysis.Rubber) string {
	if len(m.Buy.Packs) == 0 {
		return style.Mass(m.HighG) + ", to be safe"
	}
	var packs []string
	for _, p := range m.Buy.Packs {
		packs = append(packs, fmt.Sprintf("%d × %s", p.Count, style.Mass(p.MassG)))
	}
	words := fmt.Sprintf("%s, A and B together: enough to be safe, about %s left over", strings.Join(packs, " and "), style.Mass(m.Buy.LeftG))
	if m.Buy.Cost != nil {
		words += fmt.Sprintf("; costs %.2f at the shelf's price", *m.Buy.Cost)
	}
	return words
}

// densityWords says what density was reckoned with, and whose it is.
func densityWords(m analysis.Rubber) string {
	words := say.Number(m.DensityGPerCM3) + " g/cm³"
	if m.OwnPours > 0 {
		words += fmt.Sprintf(", learned from %s of yours (pourwright log lists them)", say.Count(m.OwnPours, "pour", "pours"))
	}
	return words
}

func patternWords(style say.Style, mm3 float64) string {
	if mm3 == 0 {
		return "none: all of the box is filled"
	}
	return style.Volume(mm3)
}

func timeWords(m analysis.Rubber) string {
	words := fmt.Sprintf("pot life %s, demold after %s", say.Duration(m.PotLifeS), say.Duration(m.DemoldS))
	if m.TimeNeededS != nil {
		words = fmt.Sprintf("%s to mix, degas and pour a batch; ", say.Duration(*m.TimeNeededS)) + words
	}
	return words
}
