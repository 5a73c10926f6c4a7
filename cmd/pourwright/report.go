package main

import (
	"slices"
	"strings"
	"unicode/utf8"

	"pourwright/analysis"
	"pourwright/analysis/finding"
	"pourwright/render/say"
)

// report is an answer for people: the verdict first, then figures in aligned
// columns, doubts with what to do, cautions last.
type report struct {
	strings.Builder
	con    *console
	style  say.Style
	two    *analysis.TwoPart // of a mold in two parts
	framed bool              // it was said what places are measured from
}

func (con *console) newReport(style say.Style) *report { return &report{con: con, style: style} }

// of tells the report what job it is about.
func (r *report) of(s *solved) *report {
	r.two = s.TwoPart
	return r
}

// print sends the report to the console.
func (r *report) print() error { return r.con.print([]byte(r.String())) }

// Codes of ECMA-48 "select graphic rendition".
const (
	bold   = "1"
	red    = "1;31"
	yellow = "1;33"
)

func (r *report) paint(code, text string) string {
	if !r.con.styled {
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}

// verdict is the line to read first.
func (r *report) verdict(text string) { r.wrap("", text, bold) }

// answer is the verdict of one question, which says so when the job as a whole
// must not go on.
func (r *report) answer(text string, all []finding.Finding) {
	if outcome, _, _ := finding.Judge(all); outcome == finding.Settle {
		text += " But " + judgement(all) + "."
	}
	r.verdict(text)
}

// heading starts a part of the report.
func (r *report) heading(text string) {
	r.WriteString("\n" + r.paint(bold, text) + "\n")
}

// indent is before everything below a heading, gutter between columns.
const (
	indent = "  "
	gutter = "  "
)

// rows prints labels and what they say, aligned and wrapped.
func (r *report) rows(rows [][2]string) {
	width := 0
	for _, row := range rows {
		width = max(width, utf8.RuneCountInString(row[0]))
	}
	for _, row := range rows {
		r.wrap(indent+pad(row[0], width)+gutter, row[1], "")
	}
}

// table prints columns, the last one wrapped; the first row heads them.
func (r *report) table(rows [][]string) {
	var widths []int
	for _, row := range rows {
		for i := range row {
			row[i] = r.style.Prose(row[i])
		}
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range rows {
		line := indent
		last := len(row) - 1
		for i, cell := range row[:last] {
			line += pad(cell, widths[i]) + gutter
		}
		r.wrap(line, row[last], "")
	}
}

func pad(text string, width int) string {
	return text + strings.Repeat(" ", max(0, width-utf8.RuneCountInString(text)))
}

// wrap prints text after a lead, in the units that were asked for; further lines
// stand below its start.
func (r *report) wrap(lead, text, code string) {
	start := utf8.RuneCountInString(lead)
	room := max(r.con.width-start, leastWidth/2)
	line := ""
	var lines []string
	for _, word := range words(r.style.Prose(text)) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > room {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	for i, line := range append(lines, line) {
		if i > 0 {
			lead = strings.Repeat(" ", start)
		}
		if code != "" {
			line = r.paint(code, line)
		}
		r.WriteString(strings.TrimRight(lead+line, " ") + "\n")
	}
}

// words splits a text where a line may end: not between a figure and its unit.
func words(text string) []string {
	var out []string
	for word := range strings.FieldsSeq(text) {
		if n := len(out); n > 0 && endsInDigit(out[n-1]) && utf8.RuneCountInString(word) <= 3 {
			out[n-1] += " " + word
		} else {
			out = append(out, word)
		}
	}
	return out
}

func endsInDigit(word string) bool {
	last := word[len(word)-1]
	return '0' <= last && last <= '9'
}

// levels of findings, worst first, as a report words them.
var levels = []struct {
	level      finding.Level
	head, code string
}{
	{finding.Stop, "Settle before you pour", red},
	{finding.Warn, "Check before you go on", yellow},
	{finding.Note, "Worth knowing", bold},
}

// findings prints doubts with what to do about them.
func (r *report) findings(all []finding.Finding) {
	placed := false
	for _, l := range levels {
		headed := false
		for _, f := range all {
			if f.Level != l.level {
				continue
			}
			if !headed {
				r.WriteString("\n" + r.paint(l.code, l.head) + "\n")
				headed = true
			}
			r.finding(f)
			placed = placed || f.AtMM != nil
		}
	}
	if placed {
		r.frame()
	}
}

// frame says what places are measured from, once.
func (r *report) frame() {
	if r.framed {
		return
	}
	r.framed = true
	r.WriteByte('\n')
	words := inBox
	if r.two != nil {
		words = inBlock
	}
	r.wrap(indent, words, "")
}

// What places are measured from.
const (
	inBox   = "Places are measured from the middle of the box floor, z upwards, the box's longer side along x."
	inBlock = "Places are measured in the finished block, spout down: from the middle of its spout side, z away from it, its longer side along x."
)

func (r *report) finding(f finding.Finding) {
	text := f.Text
	if f.AtMM != nil {
		text = strings.TrimSuffix(text, ".") + ", at " + r.style.Point(*f.AtMM) + "."
	}
	r.wrap(indent+"- ", text, "")
	if f.Action != "" {
		r.wrap(indent+"  > ", f.Action, "")
	}
}

// about returns the findings of some questions, and all that say stop.
func about(all []finding.Finding, questions ...string) []finding.Finding {
	var some []finding.Finding
	for _, f := range all {
		if f.Level == finding.Stop || slices.Contains(questions, f.Question) {
			some = append(some, f)
		}
	}
	return some
}

// cautions end every answer about work that can hurt.
func (r *report) cautions(all []string) {
	if len(all) == 0 {
		return
	}
	r.heading("Cautions")
	for _, c := range all {
		r.wrap(indent+"- ", c, "")
	}
}

// judgement sums findings up in a few words, as the head of the job sheet does.
func judgement(all []finding.Finding) string {
	switch outcome, stops, warns := finding.Judge(all); outcome {
	case finding.Settle:
		return "not yet: " + say.Count(stops, "thing", "things") + " must be settled before you pour"
	case finding.Much:
		return "much to check first: " + say.Count(warns, "thing", "things") + " before you go on"
	case finding.Check:
		return "good to go, once " + say.Count(warns, "thing is", "things are") + " checked"
	}
	return "good to go"
}
