package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pourwright/analysis/finding"
)

// Exit codes.
const (
	exitDone   = 0
	exitStop   = 1 // done, but a finding says stop; only with --strict
	exitCannot = 2
)

// errSaysStop is what a --strict run ends with when a finding says stop.
var errSaysStop = errors.New("a finding says stop: settle it before you pour")

// usageError is one sentence on what is wrong with a command line.
type usageError struct{ what, try string }

func (e *usageError) Error() string { return e.what }

// Hint says what to type instead.
func (e *usageError) Hint() string { return e.try }

// explain tells people how a run ended and returns the exit code.
func (con *console) explain(ctx context.Context, err error) int {
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errSaysStop):
		con.complain(err)
		return exitStop
	case ctx.Err() != nil:
		err = errors.New("stopped; nothing was written")
	}
	con.complain(err)
	return exitCannot
}

// complain writes an error as one line, and its hint as a second.
func (con *console) complain(err error) {
	fmt.Fprintf(con.err, "pourwright: %s\n", oneLine(err.Error()))
	var hinted interface {
		error
		Hint() string
	}
	if errors.As(err, &hinted) && hinted.Hint() != "" {
		fmt.Fprintf(con.err, "  try: %s\n", lowerFirst(oneLine(hinted.Hint())))
	}
}

// oneLine ends a sentence for a line of its own: no full stop, no line breaks.
func oneLine(s string) string {
	return strings.TrimSuffix(strings.Join(strings.Fields(s), " "), ".")
}

// lowerFirst starts a sentence with a small letter, but leaves STL as it is.
func lowerFirst(s string) string {
	first, n := utf8.DecodeRuneInString(s)
	if second, _ := utf8.DecodeRuneInString(s[n:]); !unicode.IsLower(second) {
		return s
	}
	return string(unicode.ToLower(first)) + s[n:]
}

// flagError words what is wrong with a flag.
func flagError(cmd *cobra.Command, err error) error {
	var invalid *pflag.InvalidValueError
	if errors.As(err, &invalid) {
		cause := invalid.Unwrap()
		wrong := &usageError{fmt.Sprintf("--%s: %v", invalid.GetFlag().Name, cause), helpHint(cmd)}
		var hinted interface{ Hint() string }
		if errors.As(cause, &hinted) {
			wrong.try = hinted.Hint()
		}
		return wrong
	}
	return &usageError{err.Error(), helpHint(cmd)}
}

func helpHint(cmd *cobra.Command) string { return cmd.CommandPath() + " --help lists what there is" }

// unknownCommand refuses words that are no command.
func unknownCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	cmd.SuggestionsMinimumDistance = 2
	try := helpHint(cmd)
	if near := cmd.SuggestionsFor(args[0]); len(near) > 0 {
		try = "did you mean " + strings.Join(near, " or ") + "?"
	} else if strings.Contains(args[0], ".") {
		try = cmd.CommandPath() + " plan " + args[0]
	}
	return &usageError{fmt.Sprintf("%q is not a command", args[0]), try}
}

// oneScan wants exactly one argument, the scan or job.
func oneScan(cmd *cobra.Command, args []string) error {
	switch {
	case len(args) == 0:
		return &usageError{"no scan was named", cmd.CommandPath() + " FILE.stl"}
	case len(args) > 1:
		return &usageError{fmt.Sprintf("one scan at a time, not %d", len(args)), "put a name with spaces in quotes; " + helpHint(cmd)}
	}
	return nil
}

// noArguments wants none.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return &usageError{fmt.Sprintf("%s takes no argument such as %q", cmd.Name(), args[0]), helpHint(cmd)}
	}
	return nil
}

// strictly is nil unless the maker wants to be stopped by findings.
func (g *globals) strictly(all []finding.Finding) error {
	if !g.strict {
		return nil
	}
	for _, f := range all {
		if f.Level == finding.Stop {
			return errSaysStop
		}
	}
	return nil
}
