package main

import (
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"pourwright/analysis"
)

// bar shows the progress of long work on a terminal, in one line that is
// erased at the end.
type bar struct {
	w     io.Writer // nil: show nothing
	watch analysis.Progress
	next  time.Time // when to draw next
	drawn int       // columns to erase
}

// Short work shows no bar, and a bar is not redrawn more often than seen.
const (
	barDelay  = 300 * time.Millisecond
	barRedraw = 80 * time.Millisecond
	barCells  = 24
	barStage  = 26
)

func (con *console) newBar() *bar {
	b := &bar{watch: con.watch, next: time.Now().Add(barDelay)}
	if con.live {
		b.w = con.err
	}
	return b
}

// tell is an analysis.Progress.
func (b *bar) tell(stage string, done, total int64) {
	b.watch.Tell(stage, done, total)
	if b.w == nil {
		return
	}
	now := time.Now()
	if now.Before(b.next) {
		return
	}
	b.next = now.Add(barRedraw)
	b.draw(stage, done, total)
}

func (b *bar) draw(stage string, done, total int64) {
	share := 0.0
	if total > 0 {
		share = min(1, max(0, float64(done)/float64(total)))
	}
	full := int(share * barCells)
	line := fmt.Sprintf("  %-*s [%s%s] %3.0f %%", barStage, stage, strings.Repeat("=", full), strings.Repeat(" ", barCells-full), 100*share)
	b.erase()
	fmt.Fprint(b.w, line)
	b.drawn = utf8.RuneCountInString(line)
}

// erase removes the bar from the screen.
func (b *bar) erase() {
	if b.w != nil && b.drawn > 0 {
		fmt.Fprint(b.w, "\r"+strings.Repeat(" ", b.drawn)+"\r")
		b.drawn = 0
	}
}
