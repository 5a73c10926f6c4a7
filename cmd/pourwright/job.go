package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pourwright/analysis"
	"pourwright/analysis/shelf"
	"pourwright/cmd/pourwright/quantity"
)

// jobFlags are the choices typed on a command line; they win over a job.toml's.
type jobFlags struct{ typed analysis.Choices }

// addScan adds the flags that say what the scan is.
func (j *jobFlags) addScan(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.Func("units", "`UNIT` of the scan: mm, cm, m or in (else guessed)", word(&j.typed.Units))
	flags.Func("longest", "caliper `LENGTH` of the part's longest side", func(s string) error {
		mm, err := quantity.Length(s)
		if err == nil && mm == 0 {
			return &usageError{"the longest side is nothing", "measure the part and give its length, such as --longest 412mm"}
		}
		j.typed.LongestMM = mm
		return err
	})
	completeWith(cmd, "units", func() []string { return []string{"mm", "cm", "m", "in"} })
	cmd.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return []string{"stl", "toml"}, cobra.ShellCompDirectiveFilterFileExt
	}
}

// addMold adds the flags that say how the mold is to be.
func (j *jobFlags) addMold(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.Func("down", "scan direction `x,y,z` to stand on the board (else the best)", func(s string) error {
		d, err := quantity.Direction(s)
		j.typed.Down = &d
		return err
	})
	addLength(flags, &j.typed.ClearanceMM, "clearance", "rubber, `LENGTH` to each wall (else by the size)")
	addLength(flags, &j.typed.CutClearanceMM, "cut-clearance", "the same `LENGTH` where the cut meets a wall (else 19mm)")
	addLength(flags, &j.typed.CoverMM, "cover", "rubber, `LENGTH` above the pattern (else clearance + 4mm)")
	addLength(flags, &j.typed.FreeboardMM, "freeboard", "wall, `LENGTH` above the rubber (else 12mm)")
	flags.Func("rubber", "`KEY` of the rubber on the shelf (else "+shelf.DefaultRubber+")", word(&j.typed.Rubber))
	flags.Func("casting", "`KEY` of what is cast, foam or resin (else "+shelf.DefaultCasting+")", word(&j.typed.Casting))
	completeWith(cmd, "rubber", rubberKeys)
	completeWith(cmd, "casting", castingKeys)
}

func addLength(flags *pflag.FlagSet, to **float64, name, usage string) {
	flags.Func(name, usage, func(s string) error {
		mm, err := quantity.Length(s)
		*to = &mm
		return err
	})
}

// word takes any word; what words there are is known further in.
func word(to *string) func(string) error {
	return func(s string) error {
		if strings.TrimSpace(s) == "" {
			return &usageError{"nothing was given", "name one, or leave the flag out"}
		}
		*to = s
		return nil
	}
}

func completeWith(cmd *cobra.Command, flag string, words func() []string) {
	// The error is for flags that do not exist, which a test would show.
	_ = cmd.RegisterFlagCompletionFunc(flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return words(), cobra.ShellCompDirectiveNoFileComp
	})
}

// choices returns what is chosen for a scan, or for a job file.
func (j *jobFlags) choices(arg string, g *globals) (analysis.Choices, error) {
	c := analysis.Choices{Scan: arg}
	if isJob(arg) {
		var err error
		if c, err = loadJob(arg); err != nil {
			return c, err
		}
	}
	take(&c.Units, j.typed.Units)
	take(&c.LongestMM, j.typed.LongestMM)
	take(&c.Down, j.typed.Down)
	take(&c.Rubber, j.typed.Rubber)
	take(&c.Casting, j.typed.Casting)
	take(&c.ClearanceMM, j.typed.ClearanceMM)
	take(&c.CutClearanceMM, j.typed.CutClearanceMM)
	take(&c.CoverMM, j.typed.CoverMM)
	take(&c.FreeboardMM, j.typed.FreeboardMM)
	take(&c.Show, g.show)
	return c, nil
}

// take replaces a choice by a typed one, if there is one.
func take[T comparable](choice *T, typed T) {
	var none T
	if typed != none {
		*choice = typed
	}
}

func isJob(path string) bool { return strings.EqualFold(filepath.Ext(path), ".toml") }

// jobError is one sentence on what is wrong with a job file.
type jobError struct {
	what, try string
	cause     error
}

func (e *jobError) Error() string { return e.what }
func (e *jobError) Hint() string  { return e.try }
func (e *jobError) Unwrap() error { return e.cause }

// loadJob reads the choices of a job file. The scan's path is from then on
// relative to the working folder, as all other paths are.
func loadJob(path string) (analysis.Choices, error) {
	var c analysis.Choices
	data, err := os.ReadFile(path)
	if err != nil {
		what := path + " cannot be read"
		if errors.Is(err, os.ErrNotExist) {
			what = "there is no file " + path
		}
		return c, &jobError{what, "check the spelling and the folder", err}
	}
	d := toml.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&c); err != nil {
		return c, wordToml(path, err)
	}
	// An array of the wrong length is cut or filled up without a word.
	var listed struct {
		Down []any `toml:"down"`
	}
	if err := toml.Unmarshal(data, &listed); err != nil {
		return c, wordToml(path, err)
	}
	if n := len(listed.Down); c.Down != nil && n != 3 {
		return c, &jobError{fmt.Sprintf("%s: down has %d numbers, not 3", path, n), "write it as down = [0, 0, -1]", nil}
	}
	if c.Scan == "" {
		return c, &jobError{path + " names no scan", `add a line such as scan = "lantern.stl", relative to that file`, nil}
	}
	scan := filepath.FromSlash(c.Scan)
	if !filepath.IsAbs(scan) {
		scan = filepath.Join(filepath.Dir(path), scan)
	}
	c.Scan = scan
	return c, nil
}

// wordToml says in which line a job file is wrong.
func wordToml(path string, err error) error {
	var unknown *toml.StrictMissingError
	if errors.As(err, &unknown) && len(unknown.Errors) > 0 {
		first := unknown.Errors[0]
		line, _ := first.Position()
		return &jobError{fmt.Sprintf("%s, line %d: %q is not a choice of a job", path, line, strings.Join(first.Key(), ".")),
			"correct its spelling or take the line out; a plan's own job.toml shows the choices", err}
	}
	var wrong *toml.DecodeError
	if errors.As(err, &wrong) {
		line, _ := wrong.Position()
		if key := wrong.Key(); len(key) > 0 && strings.Contains(wrong.Error(), "cannot ") {
			return &jobError{fmt.Sprintf("%s, line %d: %q has a value of the wrong kind", path, line, strings.Join(key, ".")),
				"put words in quotes, lengths in mm without, and a direction as [x, y, z]", err}
		}
		return &jobError{fmt.Sprintf("%s, line %d: %s", path, line, strings.TrimPrefix(wrong.Error(), "toml: ")), "correct that line", err}
	}
	return &jobError{path + " is no job file: " + err.Error(), "give a scan, or the job.toml of a plan", err}
}

// saveJob returns the job file of choices for a plan in folder dir.
func saveJob(c analysis.Choices, dir string) ([]byte, error) {
	c.Scan = relativeTo(dir, c.Scan)
	return toml.Marshal(c)
}

// relativeTo returns a path as seen from a folder, with slashes; the whole
// path where that cannot be said.
func relativeTo(dir, path string) string {
	from, err1 := filepath.Abs(dir)
	to, err2 := filepath.Abs(path)
	if err1 != nil || err2 != nil {
		return filepath.ToSlash(path)
	}
	rel, err := filepath.Rel(from, to)
	if err != nil {
		rel = to
	}
	return filepath.ToSlash(rel)
}
