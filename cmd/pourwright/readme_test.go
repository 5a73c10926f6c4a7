package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The README's commands run, in order, as they stand there.
func TestReadmeCommands(t *testing.T) {
	if testing.Short() {
		t.Skip("plans a whole sample")
	}
	text, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	samples, err := filepath.Abs(filepath.Join("..", "..", "samples"))
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("XDG_CONFIG_HOME", t.TempDir()) // where log keeps what it is told
	t.Chdir(t.TempDir())
	if err := os.Symlink(samples, "samples"); err != nil {
		t.Skip("no symbolic links here")
	}
	ran := 0
	for line := range strings.Lines(string(text)) {
		command, found := strings.CutPrefix(line, "    bin/pourwright ")
		if !found {
			continue
		}
		ran++
		var out, errs bytes.Buffer
		if code := run(context.Background(), &console{out: &out, err: &errs, width: plainWidth}, strings.Fields(command)); code != 0 || out.Len() == 0 {
			t.Errorf("%s gave %d: %s", strings.TrimSpace(line), code, errs.String())
		}
	}
	if ran < 5 {
		t.Errorf("only %d commands found in the README", ran)
	}
}
