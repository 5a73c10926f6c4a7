package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pourwright/analysis/finding"
	"pourwright/render/say"
)

// full is a disk without room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

// hinted is an error with something to try.
type hinted struct{ what, try string }

func (e hinted) Error() string { return e.what }
func (e hinted) Hint() string  { return e.try }

func TestExplain(t *testing.T) {
	stopped, stop := context.WithCancel(context.Background())
	stop()
	for _, c := range []struct {
		ctx  context.Context
		err  error
		code int
		text string
	}{
		{context.Background(), nil, 0, ""},
		{context.Background(), errSaysStop, 1, "pourwright: a finding says stop: settle it before you pour\n"},
		{context.Background(), errors.New("no."), 2, "pourwright: no\n"},
		{context.Background(), hinted{"two\nlines.", "Do this."}, 2, "pourwright: two lines\n  try: do this\n"},
		{context.Background(), fmt.Errorf("so: %w", hinted{"no", "STL is best."}), 2, "pourwright: so: no\n  try: STL is best\n"},
		{stopped, fmt.Errorf("reading: %w", context.Canceled), 2, "pourwright: stopped; nothing was written\n"},
		{stopped, nil, 0, ""},
	} {
		var errs bytes.Buffer
		con := &console{err: &errs}
		if code := con.explain(c.ctx, c.err); code != c.code || errs.String() != c.text {
			t.Errorf("%v: exit code %d, %q; want %d, %q", c.err, code, errs.String(), c.code, c.text)
		}
	}
}

func TestStrictly(t *testing.T) {
	warned := []finding.Finding{{Level: finding.Note}, {Level: finding.Warn}}
	stopped := append(warned, finding.Finding{Level: finding.Stop})
	for _, c := range []struct {
		strict bool
		all    []finding.Finding
		want   error
	}{{false, stopped, nil}, {true, warned, nil}, {true, nil, nil}, {true, stopped, errSaysStop}} {
		if err := (&globals{strict: c.strict}).strictly(c.all); err != c.want {
			t.Errorf("strict %v, %v: %v", c.strict, c.all, err)
		}
	}
}

// An answer that cannot be written is no success.
func TestNoRoomForTheAnswer(t *testing.T) {
	for _, args := range [][]string{{"shelf"}, {"shelf", "--json"}, {"mix", "--box", "15x8x3in"}, {"mix", "--box", "15x8x3in", "--json"}} {
		var errs bytes.Buffer
		con := &console{out: full{}, err: &errs, width: plainWidth}
		if code := run(context.Background(), con, args); code != exitCannot || !strings.Contains(errs.String(), "no space left") {
			t.Errorf("%v: exit code %d, %q", args, code, errs.String())
		}
	}
}

func TestMayStyle(t *testing.T) {
	for _, c := range []struct {
		noColor, term string
		want          bool
	}{{"", "xterm", true}, {"1", "xterm", false}, {"", "dumb", false}} {
		t.Setenv("NO_COLOR", c.noColor)
		t.Setenv("TERM", c.term)
		t.Setenv("WT_SESSION", "1")
		if got := mayStyle(); got != c.want {
			t.Errorf("NO_COLOR=%q TERM=%q: %v", c.noColor, c.term, got)
		}
	}
}

// A bar leaves nothing on the line when it is done.
func TestBar(t *testing.T) {
	var screen bytes.Buffer
	b := (&console{err: &screen, live: true}).newBar()
	b.tell("reading the scan", 1, 2)
	if screen.Len() > 0 {
		t.Errorf("a bar for short work: %q", screen.String())
	}
	b.next = time.Time{}
	b.tell("reading the scan", 1, 2)
	if !strings.Contains(screen.String(), "reading the scan") || !strings.Contains(screen.String(), " 50 %") {
		t.Errorf("no bar: %q", screen.String())
	}
	drawn := utf8.RuneCountInString(screen.String())
	b.next = time.Time{}
	b.tell("looking", 0, 0)
	b.erase()
	if !strings.HasSuffix(screen.String(), "\r"+strings.Repeat(" ", drawn)+"\r") {
		t.Errorf("not erased: %q", screen.String())
	}

	var plain bytes.Buffer
	b = (&console{err: &plain}).newBar()
	b.next = time.Time{}
	b.tell("reading the scan", 1, 2)
	b.erase()
	if plain.Len() > 0 {
		t.Errorf("a bar without a terminal: %q", plain.String())
	}
}

func TestReport(t *testing.T) {
	findings := []finding.Finding{
		{Question: "mix", Level: finding.Note, Text: "Note this.", Action: "Do nothing."},
		{Question: "stand", Level: finding.Stop, Text: "It falls.", Action: "Hold it.", AtMM: &[3]float64{1, 2, 30}},
		{Question: "box", Level: finding.Warn, Text: "Thin.", Action: "Move it."},
	}
	con := &console{width: 48}
	r := con.newReport(say.Metric)
	r.verdict("A verdict.")
	r.rows([][2]string{{"Short", "one"}, {"Much longer", "a text that is too long for one line of 12 mm only"}})
	r.table([][]string{{"", "b"}, {"ä", "c"}})
	r.findings(findings)
	want := `A verdict.
  Short        one
  Much longer  a text that is too long for one
               line of 12 mm only
     b
  ä  c

Settle before you pour
  - It falls, at x 1, y 2, z 30 mm.
    > Hold it.

Check before you go on
  - Thin.
    > Move it.

Worth knowing
  - Note this.
    > Do nothing.

  Places are measured from the middle of the box
  floor, z upwards, the box's longer side along
  x.
`
	if r.String() != want {
		t.Errorf("got:\n%s\nwant:\n%s", r.String(), want)
	}
	if got := about(findings, "mix"); len(got) != 2 || got[0].Question != "mix" || got[1].Level != finding.Stop {
		t.Errorf("about mix: %v", got)
	}

	con.styled = true
	styled := con.newReport(say.Metric)
	styled.verdict("Bold.")
	if styled.String() != "\x1b[1mBold.\x1b[0m\n" {
		t.Errorf("styled: %q", styled.String())
	}
}

func TestLies(t *testing.T) {
	cane, ball := [3]float64{400, 80, 40}, [3]float64{100, 95, 90}
	oblique := [3]float64{-0.6, 0.64, 0.48}
	for _, c := range []struct {
		down   [3]float64
		height float64
		box    [3]float64
		want   string
	}{
		{[3]float64{0, 0, -1}, 400, cane, "on its −z side"}, {[3]float64{0.01, 0.9999, 0}, 80, cane, "on its +y side"},
		{oblique, 398, cane, "on end"}, {oblique, 45, cane, "lying down"}, {oblique, 250, cane, "leaning"},
		{oblique, 95, ball, "turned as the picture shows"},
	} {
		if got := lies(c.down, c.height, c.box); got != c.want {
			t.Errorf("%v, %g high: %q, want %q", c.down, c.height, got, c.want)
		}
	}
	if got := typedDirection([3]float64{-1e-9, 0.6, -0.8}); got != "0,0.6,-0.8" {
		t.Errorf("typed direction %q", got)
	}
}
