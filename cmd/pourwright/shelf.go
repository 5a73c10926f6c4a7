package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/analysis/shelf"
	"pourwright/render/say"
)

func newShelfCmd(con *console, g *globals) *cobra.Command {
	file, template := "", false
	cmd := &cobra.Command{
		Use:     "shelf [KEY]",
		Short:   "List the materials of the workshop, and where their figures come from",
		Long:    shelfLong,
		Example: "  pourwright shelf\n  pourwright shelf tin-30\n  pourwright shelf --template > my-shelf.toml\n  pourwright shelf --shelf my-shelf.toml",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return &usageError{"one key at a time", "pourwright shelf lists all keys"}
			}
			if template && len(args) > 0 {
				return &usageError{"--template writes the whole shelf", "leave the key out"}
			}
			return nil
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return allKeys(file), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if template {
				return con.print(append([]byte(templateHead()), shelf.Template()...))
			}
			s, err := shelf.Open(file)
			if err != nil {
				return err
			}
			if len(args) == 0 {
				return listShelf(con, g, s)
			}
			return showKey(con, g, s, args[0])
		},
	}
	cmd.AddCommand(newCalibrateCmd(con, g))
	addShelf(cmd, &file)
	cmd.Flags().BoolVar(&template, "template", false, "print the shelf as a file to change")
	return cmd
}

// templateHead tells what to do with a template.
func templateHead() string {
	where := "name it with --shelf"
	if personal := shelf.PersonalFile(); personal != "" {
		where = "name it with --shelf, or save it as " + personal + " to use it always"
	}
	return "# Change what your products' data sheets say otherwise, delete the rest, and\n# " + where + ".\n\n"
}

const shelfLong = `Lists the materials that a plan can be made with. They are generic: the data
sheet of the product you buy comes first.

Put its figures in a TOML file, and name that file with --shelf here and in every
command that takes --rubber; --template prints a file to start from. A file called
pourwright/shelf.toml in your configuration folder is always used. A key of the
shelf changes only what you give; a new key needs all fields:

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

// allKeys and keysOf are for completions, which have nowhere to
// complain.
func allKeys(file string) []string {
	var keys []string
	if s, err := shelf.Open(file); err == nil {
		for _, t := range shelfTables(s) {
			keys = append(keys, t.keys()...)
		}
	}
	return keys
}

// keysOf returns the keys of one kind of entry.
func keysOf(file, kind string) []string {
	s, err := shelf.Open(file)
	if err != nil {
		return nil
	}
	for _, t := range shelfTables(s) {
		if t.kind == kind {
			return t.keys()
		}
	}
	return nil
}

// shelfTable is one kind of entry as it is listed.
type shelfTable struct {
	kind, title string // "rubber"; the heading, with its flag
	head        []string
	entries     []shelfEntry
}

// shelfEntry is one entry: a line of a table, and all that is known of it.
type shelfEntry struct {
	key, name, basis string
	line             []string    // for the table, after key and name
	facts            [][2]string // for the entry by itself
	cautions         []string
	json             any
}

func (t shelfTable) keys() []string {
	var keys []string
	for _, e := range t.entries {
		keys = append(keys, e.key)
	}
	return keys
}

func listShelf(con *console, g *globals, s *shelf.Shelf) error {
	tables := shelfTables(s)
	if g.json {
		all := map[string][]any{}
		for _, t := range tables {
			all[plural(t.kind)] = []any{}
			for _, e := range t.entries {
				all[plural(t.kind)] = append(all[plural(t.kind)], e.json)
			}
		}
		return con.printJSON(all)
	}
	r := con.newReport(say.Both)
	r.verdict(fmt.Sprintf("%s and %s are on the shelf, and what goes with them.", say.Count(len(s.Rubbers()), "rubber", "rubbers"), say.Count(len(s.Castings()), "casting material", "casting materials")))
	var from basisList
	for _, t := range tables {
		r.heading(t.title)
		rows := [][]string{append([]string{"key", "name"}, t.head...)}
		for _, e := range t.entries {
			rows = append(rows, append([]string{e.key, e.name}, e.line...))
			from.add(e.basis, e.key)
		}
		r.table(rows)
	}
	r.heading("Where the figures come from")
	for _, b := range from {
		r.wrap(indent+"- ", strings.Join(b.keys, ", ")+": "+b.basis, "")
	}
	r.cautions([]string{shelf.DataSheetFirst})
	return r.print()
}

func plural(kind string) string { return kind + "s" }

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
	var keys []string
	for _, t := range shelfTables(s) {
		for _, e := range t.entries {
			if e.key == key {
				return showEntry(con, g, e)
			}
		}
		keys = append(keys, t.keys()...)
	}
	try := "pourwright shelf lists what there is"
	if near := nearest(key, keys); near != "" {
		try = "did you mean " + near + "? " + try
	}
	return &usageError{fmt.Sprintf("nothing on the shelf is called %q", key), try}
}

func showEntry(con *console, g *globals, e shelfEntry) error {
	if g.json {
		return con.printJSON(e.json)
	}
	r := con.newReport(say.Both)
	r.verdict(fmt.Sprintf("%s: %s.", e.key, e.name))
	r.WriteByte('\n')
	r.rows(append(e.facts, [2]string{"From", e.basis}))
	r.cautions(e.cautions)
	return r.print()
}
