package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pourwright/analysis"
	"pourwright/analysis/mix"
	"pourwright/cmd/pourwright/planfolder"
	"pourwright/render/say"
)

// togetherFlags are the flags that go with several plans.
var togetherFlags = []string{"shelf", "cup", "headroom", "room", "altitude", "scale"}

// plansAlone refuses what says nothing about plans that are made already.
func plansAlone(cmd *cobra.Command, _ []string) error {
	var wrong error
	cmd.Flags().Visit(func(f *pflag.Flag) {
		if wrong == nil && !slices.Contains(togetherFlags, f.Name) && cmd.InheritedFlags().Lookup(f.Name) == nil {
			wrong = &usageError{"--" + f.Name + " cannot change plans that are made", "leave it out, or plan each part with it first"}
		}
	})
	return wrong
}

// together is what mix answers for several plans.
type together struct {
	Pourwright string      `json:"pourwright"`
	Material   string      `json:"material"`
	MassG      float64     `json:"mass_g"`
	NetG       float64     `json:"net_g"`
	AllowanceG float64     `json:"allowance_g"`
	SavedG     float64     `json:"saved_g"` // against pouring each by itself
	Batches    []jointPart `json:"batches"`
	Cautions   []string    `json:"cautions"`
}

type jointPart struct {
	AG     float64     `json:"a_g"`
	BG     float64     `json:"b_g"`
	TotalG float64     `json:"total_g"`
	Into   []moldShare `json:"into"`
}

type moldShare struct {
	Plan    string  `json:"plan"`
	G       float64 `json:"g"`
	LevelMM float64 `json:"level_mm"`
}

// runTogether answers for several plans that are poured in one go.
func (q *questioner) runTogether(folders []string) error {
	style, err := q.globals.style("")
	if err != nil {
		return err
	}
	plans := make([]*analysis.Plan, len(folders))
	molds := make([]mix.Mold, len(folders))
	for i, folder := range folders {
		if plans[i], err = readPlan(folder); err != nil {
			return err
		}
		if plans[i].TwoPart != nil {
			return &usageError{folder + " is a mold in two parts, which are not poured in one go", "weigh it by itself: pourwright mix " + folder}
		}
		if a, b := plans[0].Rubber.Material, plans[i].Rubber.Material; a != b {
			return &usageError{fmt.Sprintf("%s is planned in %s and %s in %s", folders[0], a, folder, b), "pour different rubbers one after another, or plan both in one with --rubber"}
		}
		molds[i] = mix.Mold{Name: folder, NetMM3: plans[i].Rubber.NetMM3, LevelOf: levelOf(plans[i].Rubber.Marks)}
	}
	rubber, err := rubberOf(q.job.typed.Shelf, plans[0].Rubber.Material)
	if err != nil {
		return err
	}
	joint, err := mix.Together(molds, q.job.typed.InShop(mix.Input{Rubber: rubber}))
	if err != nil {
		return err
	}
	if q.globals.json {
		return q.con.printJSON(togetherPart(folders, plans[0].Rubber.Material, joint, rubber.Cautions()))
	}
	return q.con.reportTogether(style, folders, rubber.Name, joint, rubber.Cautions())
}

// readPlan reads the plan of a plan folder.
func readPlan(folder string) (*analysis.Plan, error) {
	data, err := os.ReadFile(filepath.Join(folder, planfolder.Plan))
	if err != nil {
		what := folder + " is no plan folder"
		if errors.Is(err, fs.ErrNotExist) {
			if _, err := os.Stat(folder); err != nil {
				what = "there is no folder " + folder
			}
		}
		return nil, &usageError{what, "make it with pourwright plan first, and name the folders that it wrote"}
	}
	var p analysis.Plan
	if err := json.Unmarshal(data, &p); err != nil || p.Rubber.Material == "" || !(p.Rubber.NetMM3 > 0) {
		return nil, &usageError{filepath.Join(folder, planfolder.Plan) + " is damaged", "make the plan again: pourwright plan --force " + filepath.Join(folder, planfolder.Job)}
	}
	return &p, nil
}

// levelOf reads a level off the marks of a plan, straight from one to the next.
func levelOf(marks []analysis.Mark) func(rubberMM3 float64) float64 {
	return func(rubberMM3 float64) float64 {
		var below analysis.Mark
		for _, m := range marks {
			if rubberMM3 <= m.RubberMM3 && m.RubberMM3 > below.RubberMM3 {
				return below.LevelMM + (m.LevelMM-below.LevelMM)*(rubberMM3-below.RubberMM3)/(m.RubberMM3-below.RubberMM3)
			}
			below = m
		}
		return below.LevelMM
	}
}

func togetherPart(folders []string, material string, j mix.Joint, cautions []string) together {
	t := together{version, material, j.MassG, j.NetG, j.AllowanceG, j.SavedG, []jointPart{}, cautions}
	for _, b := range j.Batches {
		part := jointPart{AG: b.AG, BG: b.BG, TotalG: b.TotalG, Into: []moldShare{}}
		for _, s := range b.Shares {
			part.Into = append(part.Into, moldShare{folders[s.Mold], s.G, s.LevelMM})
		}
		t.Batches = append(t.Batches, part)
	}
	return t
}

func (con *console) reportTogether(style say.Style, folders []string, name string, j mix.Joint, cautions []string) error {
	r := con.newReport(style)
	r.verdict(fmt.Sprintf("Weigh %s of %s for %d molds: %s of A and %s of B.", style.Mass(j.MassG), name, len(folders), say.Grams(j.AG), say.Grams(j.BG)))
	r.WriteByte('\n')
	r.rows([][2]string{
		{"Rubber in them", style.Mass(j.NetG)},
		{"Allowance", fmt.Sprintf("%s: %s", style.Mass(j.AllowanceG), j.AllowanceRule)},
		{"Saved", fmt.Sprintf("%s against pouring each by itself", style.Mass(max(0, j.SavedG)))},
		{"Batches", j.BatchRule},
	})
	r.heading("Batches, in this order")
	rows := [][]string{{"", "A", "B", "together", "pour into"}}
	for i, b := range j.Batches {
		var into []string
		for _, s := range b.Shares {
			into = append(into, fmt.Sprintf("%s: %s, it then stands at %s by that plan's marks", folders[s.Mold], say.Grams(s.G), style.Length(s.LevelMM)))
		}
		rows = append(rows, []string{fmt.Sprint(i + 1), say.Grams(b.AG), say.Grams(b.BG), say.Grams(b.TotalG), strings.Join(into, "; ")})
	}
	r.table(rows)
	r.cautions(cautions)
	return r.print()
}
