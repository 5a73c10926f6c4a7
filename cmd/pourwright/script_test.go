package main

import (
	"os"
	"os/signal"
	"path/filepath"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets scripts run this test binary as pourwright.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"pourwright": func() {
		con := newConsole(os.Stdout, os.Stderr)
		con.watch = pauseAt(os.Getenv("PAUSE_AT"))
		os.Exit(start(con))
	}})
}

// pauseAt makes a file called paused when a stage begins, and waits there for
// Ctrl-C: so a script knows that the program is in the middle of its work.
func pauseAt(stage string) func(string, int64, int64) {
	if stage == "" {
		return nil
	}
	interrupted := make(chan os.Signal, 1)
	signal.Notify(interrupted, os.Interrupt)
	return func(at string, _, _ int64) {
		if at != stage {
			return
		}
		if err := os.WriteFile("paused", nil, 0o666); err != nil {
			panic(err)
		}
		<-interrupted
		interrupted <- os.Interrupt       // later calls pass at once
		time.Sleep(50 * time.Millisecond) // until the program has got it too
	}
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("NO_COLOR", "")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"mkstl":    makeSTL,
			"patch":    patch,
			"cut":      cutFile,
			"waitfor":  waitFor,
			"code":     exitCode,
			"json":     jsonHas,
			"samekeys": sameKeys,
			"listing":  listing,
		},
	})
}

// waitFor waits until a file exists.
func waitFor(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: waitfor file")
	}
	for deadline := time.Now().Add(time.Minute); time.Now().Before(deadline); time.Sleep(10 * time.Millisecond) {
		if _, err := os.Stat(ts.MkAbs(args[0])); err == nil {
			return
		}
	}
	ts.Fatalf("%s did not appear", args[0])
}

// listing checks what a folder holds, hidden files too: listing folder name...
func listing(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: listing folder name...")
	}
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	var have []string
	for _, e := range entries {
		have = append(have, e.Name())
	}
	want := map[string]bool{}
	for _, name := range args[1:] {
		want[name] = true
		if _, err := os.Lstat(filepath.Join(ts.MkAbs(args[0]), name)); err != nil {
			ts.Fatalf("%s is missing from %v", name, have)
		}
	}
	for _, name := range have {
		if !want[name] && name != ".tmp" {
			ts.Fatalf("%s is there too: %v", name, have)
		}
	}
}
