package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/analysis/shelf"
	"pourwright/render/say"
)

func newShelfCmd(con *console, g *globals) *cobra.Command {
	file := ""
	cmd := &cobra.Command{
		Use:     "shelf [KEY]",
		Short:   "List the rubbers and casting materials, and where their figures come from",
		Long:    shelfLong,
		Example: "  pourwright shelf\n  pourwright shelf tin-30\n  pourwright shelf --shelf my-shelf.toml",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return &usageError{"one key at a time", "pourwright shelf lists all keys"}
			}
			return nil
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return append(rubberKeys(file), castingKeys(file)...), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			s, err := openShelf(file)
			if err != nil {
				return err
			}
			if len(args) == 0 {
				return listShelf(con, g, s)
			}
			return showKey(con, g, s, args[0])
		},
	}
	addShelf(cmd, &file)
	return cmd
}

const shelfLong = `Lists the materials that a plan can be made with. They are generic: the data
sheet of the product you buy comes first.

Put its figures in a TOML file, and name that file with --shelf here and in every
command that takes --rubber. A key of the shelf changes only what you give; a new
key needs all fields:

  [rubber.tin-30]
  pot_life_min = 30

  [rubber.my-tin]
  name = "tin-cure silicone, 25 A"
  cure = "tin"                # or "platinum"
  shore_a = 25
  density_g_cm3 = { low = 1.12, likely = 1.15, high = 1.18 }   # mixed
  ratio_a = 10                # A : B by weight
  ratio_b = 1
  pot_life_min = 40
  demold_h = { low = 16, likely = 20, high = 24 }
  viscosity_pa_s = 20         # mixed
  shrink_pct = { low = 0.2, likely = 0.3, high = 0.5 }
  basis = "data sheet of May 2026"`

// openShelf returns the shelf, with a maker's own file laid over it if there is
// one.
func openShelf(file string) (*shelf.Shelf, error) {
	if file == "" {
		return shelf.Default()
	}
	return shelf.Load(file)
}

// rubberKeys and castingKeys are for completions, which have nowhere to complain.
func rubberKeys(file string) []string {
	s, err := openShelf(file)
	if err != nil {
		return nil
	}
	rubbers, _ := keysOn(s)
	return rubbers
}

func castingKeys(file string) []string {
	s, err := openShelf(file)
	if err != nil {
		return nil
	}
	_, castings := keysOn(s)
	return castings
}

func keysOn(s *shelf.Shelf) (rubbers, castings []string) {
	for _, r := range s.Rubbers() {
		rubbers = append(rubbers, r.Key)
	}
	for _, c := range s.Castings() {
		castings = append(castings, c.Key)
	}
	return rubbers, castings
}

// rubberEntry and castingEntry are how --json words the shelf.
type rubberEntry struct {
	Key            string     `json:"key"`
	Name           string     `json:"name"`
	Cure           string     `json:"cure"`
	ShoreA         float64    `json:"shore_a"`
	DensityGPerCM3 [3]float64 `json:"density_g_cm3"` // low, likely, high
	RatioA         float64    `json:"ratio_a"`
	RatioB         float64    `json:"ratio_b"`
	PotLifeS       float64    `json:"pot_life_s"`
	DemoldS        [3]float64 `json:"demold_s"`
	ViscosityPaS   float64    `json:"viscosity_pa_s"`
	ShrinkPct      [3]float64 `json:"shrink_pct"`
	Basis          string     `json:"basis"`
	Cautions       []string   `json:"cautions"`
}

type castingEntry struct {
	Key            string     `json:"key"`
	Name           string     `json:"name"`
	Kind           string     `json:"kind"`
	DensityGPerCM3 [3]float64 `json:"density_g_cm3"`
	Basis          string     `json:"basis"`
	Cautions       []string   `json:"cautions"`
}

func three(r shelf.Range) [3]float64 { return [3]float64{r.Low, r.Likely, r.High} }

func entryOfRubber(r shelf.Rubber) rubberEntry {
	return rubberEntry{r.Key, r.Name, r.Cure, r.ShoreA, three(r.DensityGPerCM3), r.RatioA, r.RatioB,
		r.PotLifeS, three(r.DemoldS), r.ViscosityPaS, three(r.ShrinkPct), r.Basis, r.Cautions()}
}

func entryOfCasting(c shelf.Casting) castingEntry {
	return castingEntry{c.Key, c.Name, c.Kind, three(c.DensityGPerCM3), c.Basis, c.Cautions()}
}

func listShelf(con *console, g *globals, s *shelf.Shelf) error {
	if g.json {
		all := struct {
			Rubbers  []rubberEntry  `json:"rubbers"`
			Castings []castingEntry `json:"castings"`
		}{}
		for _, r := range s.Rubbers() {
			all.Rubbers = append(all.Rubbers, entryOfRubber(r))
		}
		for _, c := range s.Castings() {
			all.Castings = append(all.Castings, entryOfCasting(c))
		}
		return con.printJSON(all)
	}
	r := con.newReport(say.Both)
	r.verdict(fmt.Sprintf("%s and %s are on the shelf.", say.Count(len(s.Rubbers()), "rubber", "rubbers"), say.Count(len(s.Castings()), "casting material", "casting materials")))
	r.heading("Rubbers (--rubber KEY)")
	rows := [][]string{{"key", "name", "g/cm³", "A : B", "pot life", "demold"}}
	var from basisList
	for _, e := range s.Rubbers() {
		rows = append(rows, []string{e.Key, e.Name, fmt.Sprintf("%.2f", e.DensityGPerCM3.Likely), say.Ratio(e.RatioA, e.RatioB), say.Duration(e.PotLifeS), say.Duration(e.DemoldS.Likely)})
		from.add(e.Basis, e.Key)
	}
	r.table(rows)
	r.heading("Casting materials (--casting KEY)")
	rows = [][]string{{"key", "name", "g/cm³"}}
	for _, e := range s.Castings() {
		rows = append(rows, []string{e.Key, e.Name, rangeWords(e.DensityGPerCM3)})
		from.add(e.Basis, e.Key)
	}
	r.table(rows)
	r.heading("Where the figures come from")
	for _, b := range from {
		r.wrap(indent+"- ", strings.Join(b.keys, ", ")+": "+b.basis, "")
	}
	r.cautions([]string{shelf.DataSheetFirst})
	return r.print()
}

// basisList groups keys by where their figures come from, in order.
type basisList []struct {
	basis string
	keys  []string
}

func (l *basisList) add(basis, key string) {
	for i := range *l {
		if (*l)[i].basis == basis {
			(*l)[i].keys = append((*l)[i].keys, key)
			return
		}
	}
	*l = append(*l, struct {
		basis string
		keys  []string
	}{basis, []string{key}})
}

func showKey(con *console, g *globals, s *shelf.Shelf, key string) error {
	rubber, err := s.Rubber(key)
	if err == nil {
		return showRubber(con, g, rubber)
	}
	casting, err := s.Casting(key)
	if err == nil {
		return showCasting(con, g, casting)
	}
	rubbers, castings := keysOn(s)
	return &usageError{fmt.Sprintf("nothing on the shelf is called %q", key), "one of " + strings.Join(append(rubbers, castings...), ", ")}
}

func showRubber(con *console, g *globals, e shelf.Rubber) error {
	if g.json {
		return con.printJSON(entryOfRubber(e))
	}
	r := con.newReport(say.Both)
	r.verdict(fmt.Sprintf("%s: %s.", e.Key, e.Name))
	r.WriteByte('\n')
	r.rows([][2]string{
		{"Cure", e.Cure},
		{"Hardness", say.Number(e.ShoreA) + " Shore A"},
		{"Density", rangeWords(e.DensityGPerCM3) + " g/cm³ mixed"},
		{"A : B", say.Ratio(e.RatioA, e.RatioB) + " by weight"},
		{"Pot life", say.Duration(e.PotLifeS) + " at about 23 °C"},
		{"Demold", fmt.Sprintf("after %s (%s to %s)", say.Duration(e.DemoldS.Likely), say.Duration(e.DemoldS.Low), say.Duration(e.DemoldS.High))},
		{"Viscosity", say.Number(e.ViscosityPaS) + " Pa·s mixed"},
		{"Shrinkage", rangeWords(e.ShrinkPct) + " % of any length"},
		{"From", e.Basis},
	})
	r.cautions(e.Cautions())
	return r.print()
}

func showCasting(con *console, g *globals, e shelf.Casting) error {
	if g.json {
		return con.printJSON(entryOfCasting(e))
	}
	density := "g/cm³"
	if e.Kind == shelf.Foam {
		density = "g/cm³ risen freely"
	}
	r := con.newReport(say.Both)
	r.verdict(fmt.Sprintf("%s: %s.", e.Key, e.Name))
	r.WriteByte('\n')
	r.rows([][2]string{{"Density", rangeWords(e.DensityGPerCM3) + " " + density}, {"From", e.Basis}})
	r.cautions(append([]string{shelf.DataSheetFirst}, e.Cautions()...))
	return r.print()
}

// rangeWords says a likely figure and its ends.
func rangeWords(r shelf.Range) string {
	return fmt.Sprintf("%s (%s to %s)", say.Number(r.Likely), say.Number(r.Low), say.Number(r.High))
}
