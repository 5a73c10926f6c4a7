package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pourwright/analysis"
	"pourwright/analysis/shelf"
	"pourwright/cmd/pourwright/planfolder"
	"pourwright/cmd/pourwright/quantity"
	"pourwright/mesh"
)

// jobFlags are the choices typed on a command line; they win over a job.toml's.
type jobFlags struct{ typed analysis.Choices }

// addScan adds the flags that say what the scan is.
func (j *jobFlags) addScan(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.Func("units", "the `UNIT` that the scan file is in: mm, cm, m or in (else as the file says, or guessed)", func(s string) (err error) {
		j.typed.Units, err = quantity.ScanUnit(s)
		return err
	})
	flags.Func("longest", "`LENGTH` of the part's longest side by caliper, which scales the scan", func(s string) error {
		mm, err := quantity.Length(s)
		if err == nil && mm == 0 {
			return &usageError{"the longest side is nothing", "measure the part and give its length, such as --longest 412mm"}
		}
		j.typed.LongestMM = mm
		return err
	})
	flags.Func("check-length", "a second caliper length, `SIDE=LENGTH`, such as 2=85mm: side 1 of the smallest box around the part is the longest", func(s string) (err error) {
		j.typed.CheckSide, j.typed.CheckLengthMM, err = checkLength(s)
		return err
	})
	j.addMend(cmd)
	completeWith(cmd, "units", quantity.ScanUnits)
	cmd.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return []string{"stl", "obj", "ply", "3mf", "glb", "gltf", "gz", "toml"}, cobra.ShellCompDirectiveFilterFileExt
	}
}

// checkLength reads a side of the tightest box and its length.
func checkLength(s string) (side int, mm float64, err error) {
	name, length, found := strings.Cut(s, "=")
	side, bad := strconv.Atoi(strings.TrimSpace(name))
	if !found || bad != nil {
		return 0, 0, &usageError{fmt.Sprintf("%q does not say which side is how long", s), "write it such as --check-length 2=85mm"}
	}
	mm, err = quantity.Length(length)
	if err == nil && mm == 0 {
		err = &usageError{"that side is nothing", "measure the part and give its length, such as --check-length 2=85mm"}
	}
	return side, mm, err
}

// addMold adds the flags that say how the mold is to be.
func (j *jobFlags) addMold(cmd *cobra.Command) {
	flags := cmd.Flags()
	j.addStand(cmd)
	j.addDetail(cmd)
	j.addAir(cmd)
	j.addBox(cmd)
	j.addCut(cmd)
	j.addShop(cmd)
	j.addRod(cmd)
	j.addCast(cmd)
	flags.Func("rubber", "shelf `KEY` of the rubber (else "+shelf.DefaultRubber+")", word(&j.typed.Rubber))
	flags.Func("casting", "shelf `KEY` of what is cast in the mold (else "+shelf.DefaultCasting+")", word(&j.typed.Casting))
	flags.Func("board", "shelf `KEY` of the board that the walls are cut from (else "+shelf.DefaultBoard+", bent walls "+shelf.DefaultBending+")", word(&j.typed.Board))
	flags.Func("pattern", "shelf `KEY` of what the original is made of, such as plaster", word(&j.typed.Pattern))
	flags.Func("weight", "`MASS` of the original (else reckoned from --pattern, or both extremes)", func(s string) error {
		g, err := quantity.Mass(s)
		if err == nil && g == 0 {
			return &usageError{"the original weighs nothing", "weigh it, such as --weight 300g, or leave it out"}
		}
		j.typed.WeightG = g
		return err
	})
	addShelf(cmd, &j.typed.Shelf)
	completeWith(cmd, "board", func() []string { return keysOf(j.typed.Shelf, "board") })
	completeWith(cmd, "pattern", func() []string { return keysOf(j.typed.Shelf, "pattern") })
	completeWith(cmd, "rubber", func() []string { return keysOf(j.typed.Shelf, "rubber") })
	completeWith(cmd, "casting", func() []string { return keysOf(j.typed.Shelf, "casting") })
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

// addShelf adds the flag for a maker's own shelf file.
func addShelf(cmd *cobra.Command, to *string) {
	cmd.Flags().Func("shelf", "TOML `FILE` with materials of your own, added to the shelf", word(to))
	// The error is for flags that do not exist, which a test would show.
	_ = cmd.MarkFlagFilename("shelf", "toml")
}

// choices returns what is chosen for a scan, or for a job file.
func (j *jobFlags) choices(arg string, g *globals) (analysis.Choices, error) {
	if job := filepath.Join(arg, planfolder.Job); isFolder(arg) && isFile(job) {
		arg = job // a plan folder stands for its job
	}
	c := analysis.Choices{Scan: arg}
	if isJob(arg) {
		var err error
		if c, err = loadJob(arg); err != nil {
			return c, err
		}
	}
	if j.typed.NoMend && j.typed.Mend != nil {
		return c, &usageError{"--no-mend and --mend ask for opposite things", "give one of them"}
	}
	take(&c.Units, j.typed.Units)
	take(&c.LongestMM, j.typed.LongestMM)
	take(&c.CheckSide, j.typed.CheckSide)
	take(&c.CheckLengthMM, j.typed.CheckLengthMM)
	take(&c.As, j.typed.As)
	take(&c.ShellMM, j.typed.ShellMM)
	take(&c.Table, j.typed.Table)
	take(&c.NoMend, j.typed.NoMend)
	if j.typed.Mend != nil {
		c.Mend = j.typed.Mend
	}
	j.takeStand(&c)
	j.takeDetail(&c)
	j.takeAir(&c)
	j.takeBox(&c)
	j.takeCut(&c)
	j.takeShop(&c)
	j.takeRod(&c)
	j.takeCast(&c)
	take(&c.Shelf, j.typed.Shelf)
	take(&c.Rubber, j.typed.Rubber)
	take(&c.Casting, j.typed.Casting)
	take(&c.Board, j.typed.Board)
	take(&c.Pattern, j.typed.Pattern)
	take(&c.WeightG, j.typed.WeightG)
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

// loadJob reads the choices of a job file. The paths in it are from then on
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
	if err := lengths(path, data); err != nil {
		return c, err
	}
	if c.Scan == "" {
		return c, &jobError{path + " names no scan", `add a line such as scan = "lantern.stl", relative to that file`, nil}
	}
	if c.Scan != mesh.StandardInput {
		c.Scan = besideJob(path, c.Scan)
	}
	if c.Shelf != "" {
		c.Shelf = besideJob(path, c.Shelf)
	}
	return c, knownUnits(path, &c)
}

// lengths refuses places with too few or too many numbers, which would be
// filled up or cut without a word.
func lengths(path string, data []byte) error {
	var listed struct {
		Down      []any   `toml:"down"`
		Spout     []any   `toml:"spout"`
		Inside    []any   `toml:"inside_mm"`
		KeepClear [][]any `toml:"keep_clear"`
		Plain     [][]any `toml:"plain"`
	}
	if err := toml.Unmarshal(data, &listed); err != nil {
		return wordToml(path, err)
	}
	type place struct {
		key     string
		numbers []any
		want    int
		like    string
	}
	places := []place{{"down", listed.Down, 3, "down = [0, 0, -1]"}, {"spout", listed.Spout, 3, "spout = [12, 0, 40.5]"},
		{"inside_mm", listed.Inside, 3, "inside_mm = [300, 150, 100]"}}
	for _, b := range listed.KeepClear {
		places = append(places, place{"keep_clear", b, 4, "keep_clear = [[12, 0, 40.5, 8]]"})
	}
	for _, b := range listed.Plain {
		places = append(places, place{"plain", b, 4, "plain = [[12, 0, 40.5, 8]]"})
	}
	for _, p := range places {
		if p.numbers != nil && len(p.numbers) != p.want {
			return &jobError{fmt.Sprintf("%s: %s has %d numbers, not %d", path, p.key, len(p.numbers), p.want), "write it as " + p.like, nil}
		}
	}
	return nil
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

// besideJob returns a path that a job file names, as seen from the working
// folder.
func besideJob(job, path string) string {
	path = filepath.FromSlash(path)
	if filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(filepath.Dir(job), path)
}

// knownUnits puts the units that a job file names in the words that are kept.
func knownUnits(path string, c *analysis.Choices) (err error) {
	if c.Units != "" {
		if c.Units, err = quantity.ScanUnit(c.Units); err != nil {
			return &jobError{fmt.Sprintf("%s: units is wrong: %v", path, err), "write it as units = 'mm', or cm, m or in", err}
		}
	}
	if c.Show != "" {
		if c.Show, err = shownUnits(c.Show); err != nil {
			return &jobError{fmt.Sprintf("%s: show is wrong: %v", path, err), "write it as show = 'both', or in or mm", err}
		}
	}
	return nil
}

// wordToml says in which line a job file is wrong.
func wordToml(path string, err error) error {
	var unknown *toml.StrictMissingError
	if errors.As(err, &unknown) && len(unknown.Errors) > 0 {
		first := unknown.Errors[0]
		line, _ := first.Position()
		key := strings.Join(first.Key(), ".")
		try := "correct its spelling or take the line out; a job file knows " + strings.Join(jobKeys(), ", ")
		if near := nearest(key, jobKeys()); near != "" {
			try = fmt.Sprintf("did you mean %s?", near)
		}
		return &jobError{fmt.Sprintf("%s, line %d: %q is not a choice of a job", path, line, key), try, err}
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

// jobKeys lists the keys of a job file.
func jobKeys() []string {
	var keys []string
	for field := range reflect.TypeFor[analysis.Choices]().Fields() {
		key, _, _ := strings.Cut(field.Tag.Get("toml"), ",")
		keys = append(keys, key)
	}
	return keys
}

// saveJob returns the job file of choices for a plan in folder dir.
func saveJob(c analysis.Choices, dir string) ([]byte, error) {
	if c.Scan != mesh.StandardInput {
		c.Scan = relativeTo(dir, c.Scan)
	}
	if c.Shelf != "" {
		c.Shelf = relativeTo(dir, c.Shelf)
	}
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
