package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"runtime"

	"golang.org/x/term"

	"pourwright/analysis"
)

// console is where the program talks to people.
type console struct {
	out, err io.Writer
	width    int  // columns of text
	styled   bool // bold and colour on out
	live     bool // a progress bar on err

	watch analysis.Progress // told of all progress; nil but in tests
}

// Without a terminal, text is this wide; with one, at most mostWidth.
const (
	plainWidth = 80
	mostWidth  = 100
	leastWidth = 40
)

func newConsole(out, err *os.File) *console {
	con := &console{out: out, err: err, width: plainWidth}
	if fd := int(out.Fd()); term.IsTerminal(fd) {
		con.styled = mayStyle()
		if w, _, err := term.GetSize(fd); err == nil && w > 0 {
			con.width = min(max(w, leastWidth), mostWidth)
		}
	}
	con.live = term.IsTerminal(int(err.Fd())) && os.Getenv("TERM") != "dumb"
	return con
}

// mayStyle tells whether a terminal may be sent bold and colour.
func mayStyle() bool {
	if os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb" {
		return false
	}
	// An old Windows console would print the control codes.
	return runtime.GOOS != "windows" || os.Getenv("WT_SESSION") != ""
}

// printJSON prints an answer for programs.
func (con *console) printJSON(v any) error {
	data, err := encode(v)
	if err != nil {
		return err
	}
	return con.print(data)
}

// print writes an answer in one go.
func (con *console) print(data []byte) error {
	if _, err := con.out.Write(data); err != nil {
		return fmt.Errorf("the answer could not be written: %w", err)
	}
	return nil
}

// encode is how everything is written as JSON, plan.json too.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, fmt.Errorf("the answer cannot be written as JSON: %w", err)
	}
	return b.Bytes(), nil
}
