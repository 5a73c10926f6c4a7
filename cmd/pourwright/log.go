package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"pourwright/analysis/mix"
	"pourwright/analysis/pours"
	"pourwright/analysis/shelf"
	"pourwright/cmd/pourwright/quantity"
	"pourwright/render/say"
)

// logOptions is what a pour really took, g; 0 for what was not given.
type logOptions struct {
	used, left, block float64
	note, shelf       string
}

func newLogCmd(con *console, g *globals) *cobra.Command {
	o := &logOptions{}
	cmd := &cobra.Command{
		Use:   "log [PLAN]",
		Short: "Record what a pour really took, so that later plans learn from it",
		Long: `Records what the pour of a plan folder really took. Later plans with the same
rubber use your own density and your own loss in the cups, and say so. Weigh the
cured block too, if you can: it tells density and loss apart.

Without a plan it lists your pours and what they say. The record is a plain file
that you may correct.`,
		Example: "  pourwright log lantern-plan --used 3180g --left 240g --block 2.9kg\n  pourwright log",
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case len(args) > 1:
				return &usageError{"one plan at a time", "pourwright log lantern-plan --used 3180g"}
			case len(args) == 0 && (o.used > 0 || o.left > 0 || o.block > 0 || o.note != ""):
				return &usageError{"no plan was named", "pourwright log lantern-plan --used 3180g"}
			case len(args) == 1 && o.used == 0:
				return &usageError{"it is not said how much rubber was used", "add what you weighed out in all, such as --used 3180g"}
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return con.listPours(g, o.shelf)
			}
			return con.logPour(g, o, args[0])
		},
	}
	addMass(cmd, &o.used, "used", "`MASS` of rubber weighed out, A and B, all batches")
	addMass(cmd, &o.left, "left", "`MASS` of it that was mixed and not poured")
	addMass(cmd, &o.block, "block", "`MASS` of the cured block without the part")
	cmd.Flags().Func("note", "`TEXT` of your own to keep with it", word(&o.note))
	addShelf(cmd, &o.shelf)
	return cmd
}

func addMass(cmd *cobra.Command, to *float64, name, usage string) {
	cmd.Flags().Func(name, usage, func(s string) error {
		g, err := quantity.Mass(s)
		if err == nil && g == 0 && name != "left" {
			return &usageError{"a mass of nothing says nothing", "give what the scale showed, or leave it out"}
		}
		*to = g
		return err
	})
}

// pourFile is where pours are kept.
func pourFile() (string, error) {
	file := pours.File()
	if file == "" {
		return "", &usageError{"there is no folder to keep your pours in", "set HOME to your home folder"}
	}
	return file, nil
}

// logged is what log answers for programs.
type logged struct {
	Pourwright string     `json:"pourwright"`
	File       string     `json:"file"`
	Pours      []jsonPour `json:"pours"`
	Learned    []learned  `json:"learned"`
}

type jsonPour struct {
	Date     string  `json:"date"`
	Plan     string  `json:"plan"`
	Material string  `json:"material"`
	PlannedG float64 `json:"planned_g"`
	UsedG    float64 `json:"used_g"`
	LeftG    float64 `json:"left_g"`
	BlockG   float64 `json:"block_g"` // 0: not weighed
}

type learned struct {
	Material       string     `json:"material"`
	Pours          int        `json:"pours"`
	LeftOut        int        `json:"left_out"`
	DensityGPerCM3 [3]float64 `json:"density_g_cm3"` // low, likely, high
	FilmG          [3]float64 `json:"film_g"`        // in a cup of 1 L
}

func (con *console) logPour(g *globals, o *logOptions, folder string) error {
	style, err := g.style("")
	if err != nil {
		return err
	}
	plan, err := readPlan(folder)
	if err != nil {
		return err
	}
	file, err := pourFile()
	if err != nil {
		return err
	}
	m := plan.Rubber
	p := pours.Pour{
		Date: time.Now().Format(time.DateOnly), Plan: plan.Name, Material: m.Material, NetMM3: m.NetMM3, ErrorMM3: plan.Scan.VolumeErrorMM3,
		Batches: len(m.Batches), PlannedG: m.MassG, UsedG: o.used, LeftG: o.left, BlockG: o.block, Note: o.note,
	}
	if err := pours.Add(file, p); err != nil {
		return err
	}
	all, own, err := con.learned(file, o.shelf, m.Material)
	if err != nil {
		return err
	}
	if g.json {
		return con.printJSON(logged{version, file, []jsonPour{asJSON(p)}, own})
	}
	r := con.newReport(style)
	r.verdict(fmt.Sprintf("Recorded: %s took %s; %s were planned.", plan.Name, style.Mass(o.used-o.left), style.Mass(m.MassG)))
	r.WriteByte('\n')
	r.rows([][2]string{{"Kept in", file}, {"Pours so far", fmt.Sprint(len(all))}})
	r.learned(own)
	return r.print()
}

// learned reads the record and says what it teaches of one rubber, or of all
// that are in it.
func (con *console) learned(file, shelfFile, only string) ([]pours.Pour, []learned, error) {
	all, err := pours.Read(file)
	if err != nil {
		return nil, nil, err
	}
	s, err := shelf.Open(shelfFile)
	if err != nil {
		return nil, nil, err
	}
	what := []learned{}
	for _, rubber := range s.Rubbers() {
		own := pours.Learn(all, rubber, mix.DefaultFilmG)
		if own.Pours+own.LeftOut == 0 || only != "" && only != rubber.Key {
			continue
		}
		d, f := own.Density, own.FilmG
		what = append(what, learned{rubber.Key, own.Pours, own.LeftOut, [3]float64{d.Low, d.Likely, d.High}, [3]float64{f.Low, f.Likely, f.High}})
	}
	return all, what, nil
}

func asJSON(p pours.Pour) jsonPour {
	return jsonPour{p.Date, p.Plan, p.Material, p.PlannedG, p.UsedG, p.LeftG, p.BlockG}
}

func (r *report) learned(all []learned) {
	if len(all) == 0 {
		return
	}
	r.heading("What your pours say")
	rows := [][]string{{"rubber", "pours", "g/cm³", "film in a 1 L cup"}}
	for _, l := range all {
		rows = append(rows, []string{l.Material, fmt.Sprint(l.Pours), fmt.Sprintf("%.3f (%.3f to %.3f)", l.DensityGPerCM3[1], l.DensityGPerCM3[0], l.DensityGPerCM3[2]),
			fmt.Sprintf("%.0f g (%.0f to %.0f)", l.FilmG[1], l.FilmG[0], l.FilmG[2])})
	}
	r.table(rows)
	for _, l := range all {
		if l.LeftOut > 0 {
			r.wrap(indent+"- ", fmt.Sprintf("%s of %s would make it lighter or heavier than such rubber is, so nothing was learned from it: a leak, or a slip of the pen.", say.Count(l.LeftOut, "pour", "pours"), l.Material), "")
		}
	}
}

func (con *console) listPours(g *globals, shelfFile string) error {
	style, err := g.style("")
	if err != nil {
		return err
	}
	file, err := pourFile()
	if err != nil {
		return err
	}
	all, own, err := con.learned(file, shelfFile, "")
	if err != nil {
		return err
	}
	if g.json {
		out := logged{version, file, []jsonPour{}, own}
		for _, p := range all {
			out.Pours = append(out.Pours, asJSON(p))
		}
		return con.printJSON(out)
	}
	r := con.newReport(style)
	if len(all) == 0 {
		r.verdict("No pours are recorded yet.")
		r.wrap(indent, "After a pour: pourwright log lantern-plan --used 3180g --left 240g", "")
		return r.print()
	}
	r.verdict(fmt.Sprintf("%s recorded in %s.", say.Count(len(all), "pour is", "pours are"), file))
	r.WriteByte('\n')
	rows := [][]string{{"date", "rubber", "planned", "took", "plan"}}
	for _, p := range all {
		rows = append(rows, []string{p.Date, p.Material, say.Grams(p.PlannedG), say.Grams(p.UsedG - p.LeftG), p.Plan})
	}
	r.table(rows)
	r.learned(own)
	return r.print()
}
