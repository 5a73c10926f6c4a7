package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pourwright/analysis"
	"pourwright/cmd/pourwright/quantity"
	"pourwright/mesh"
)

// addMend adds the flags that say what may be done to a scan that is not closed,
// and what it is a scan of.
func (j *jobFlags) addMend(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.BoolVar(&j.typed.NoMend, "no-mend", false, "refuse a scan that is not a closed solid instead of mending it")
	flags.Func("mend", "the `MENDS` to make, such as weld,hole; or those to leave out, such as no-base (else all)", func(s string) error {
		j.typed.Mend = nil
		for word := range strings.SplitSeq(s, ",") {
			if word = strings.TrimSpace(word); word == "" || !slices.Contains(mesh.MendKinds(), strings.TrimPrefix(word, "no-")) {
				return &usageError{fmt.Sprintf("%q is not a mend", word), "the mends are " + strings.Join(mesh.MendKinds(), ", ") + "; with no- before it, all but that one"}
			}
			j.typed.Mend = append(j.typed.Mend, word)
		}
		return nil
	})
	flags.Func("as", "`WHAT` a scan that is open on one side is: solid, shell or hollow (else it may be asked)", oneOf(&j.typed.As, "a scan", "taken as", analysis.As()))
	flags.Func("shell", "`THICKNESS` of the wall, for --as shell or hollow", func(s string) error {
		mm, err := quantity.Length(s)
		if err == nil && mm == 0 {
			return &usageError{"the wall is nothing thick", "measure it and give it, such as --shell 3mm"}
		}
		j.typed.ShellMM = mm
		return err
	})
	flags.Func("table", "`WHAT` to do with a flat plate under the part that may be the table it was scanned on: cut or keep (else it is asked)", oneOf(&j.typed.Table, "a table", "", []string{mesh.TableCut, mesh.TableKeep}))
	completeWith(cmd, "as", analysis.As)
	completeWith(cmd, "table", func() []string { return []string{mesh.TableCut, mesh.TableKeep} })
	completeWith(cmd, "mend", mesh.MendKinds)
}

// oneOf takes one of some words.
func oneOf(to *string, what, how string, of []string) func(string) error {
	return func(s string) error {
		if !slices.Contains(of, s) {
			said := strings.Join(strings.Fields(fmt.Sprintf("%s cannot be %s %q", what, how, s)), " ")
			return &usageError{said, "say " + strings.Join(of[:len(of)-1], ", ") + " or " + of[len(of)-1] + ", or leave it out"}
		}
		*to = s
		return nil
	}
}

// reportProblems lists what is wrong with a scan and what was mended.
func reportProblems(r *report, s analysis.Scan) {
	if len(s.Problems) > 0 {
		heading := "Odd in the scan, but usable"
		if len(s.Mends) > 0 {
			heading = "Wrong with the scan as it was read"
		}
		r.problems(heading, s.Problems)
	}
	if len(s.Mends) > 0 {
		r.heading("Mended, in a copy (--no-mend refuses such a scan instead)")
		for _, m := range s.Mends {
			r.wrap(indent+"- ", m.Text, "")
		}
	}
}

func (r *report) problems(heading string, all []analysis.Problem) {
	r.heading(heading + " (places in the scan's axes, mm)")
	for _, p := range all {
		r.wrap(indent+"- ", p.Text, "")
	}
}
