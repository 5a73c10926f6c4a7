//go:build linux

package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// column is a column of a table; it is left out where no cell has anything.
type column struct {
	title string
	cell  func(e, base *entry) string // empty for nothing
}

var columns = []column{
	{"median, s", func(e, _ *entry) string { return fmt.Sprintf("%.3f", median(e.seconds)) }},
	{"least–most, s", func(e, _ *entry) string {
		return fmt.Sprintf("%.3f–%.3f", slices.Min(e.seconds), slices.Max(e.seconds))
	}},
	{"times ours", func(e, base *entry) string {
		if e == base || base.trouble != "" {
			return ""
		}
		return fmt.Sprintf("%.2f", median(e.ratios(base)))
	}},
	{"processors, s", func(e, _ *entry) string {
		if e.inside {
			return ""
		}
		return fmt.Sprintf("%.3f", median(e.work))
	}},
	{"peak memory, MB", func(e, _ *entry) string { return fmt.Sprintf("%.0f", e.peakMB) }},
	{"memory ÷ file", func(e, _ *entry) string {
		if e.fileSize < 1e6 { // the program itself is all there is
			return ""
		}
		return fmt.Sprintf("%.2f", e.peakMB*1e6/e.fileSize)
	}},
	{"volume off ours", func(e, base *entry) string {
		volume, has := e.figures["volume"]
		if !has || e == base {
			return ""
		}
		return fmt.Sprintf("%.0e", math.Abs(volume/base.figures["volume"]-1))
	}},
	{"voxels, million", func(e, _ *entry) string { return e.show("voxels", 1e-6) }},
	{"error near", func(e, _ *entry) string { return e.show("near", 1) }},
	{"error anywhere", func(e, _ *entry) string { return e.show("far", 1) }},
}

// tables writes a Markdown table for each table of the plan, in its order.
func tables(plan []entry) string {
	var out, trouble strings.Builder
	for rest := plan; len(rest) > 0; {
		n := 1
		for n < len(rest) && rest[n].table == rest[0].table {
			n++
		}
		fmt.Fprintf(&out, "\n## %s\n\n%s", rest[0].table, tableOf(rest[:n]))
		rest = rest[n:]
	}
	for _, e := range plan {
		if e.trouble != "" {
			fmt.Fprintf(&trouble, "\n%s, %s: %s did not finish (%s).\n", e.table, e.scene, e.program, e.trouble)
		}
	}
	return out.String() + trouble.String()
}

// tableOf writes one table.
func tableOf(list []entry) string {
	rows := make([][]string, 0, len(list))
	used := make([]bool, len(columns))
	base := &list[0]
	for i := range list {
		e := &list[i]
		if e.scene != base.scene {
			base = e
		}
		if e.trouble != "" {
			continue
		}
		row := make([]string, len(columns))
		for c, col := range columns {
			row[c] = col.cell(e, base)
			used[c] = used[c] || row[c] != ""
		}
		rows = append(rows, append([]string{e.scene, e.program}, row...))
	}
	var out strings.Builder
	write := func(cells []string) {
		out.WriteString("| " + cells[0] + " | " + cells[1])
		for c, cell := range cells[2:] {
			if used[c] {
				out.WriteString(" | " + cmp.Or(cell, "–"))
			}
		}
		out.WriteString(" |\n")
	}
	titles, rules := []string{"input", "program"}, []string{"---", "---"}
	for _, col := range columns {
		titles, rules = append(titles, col.title), append(rules, "---:")
	}
	write(titles)
	write(rules)
	for _, row := range rows {
		write(row)
	}
	return out.String()
}

// ratios compares round by round, so that a slow minute of the machine weighs on
// both sides.
func (e *entry) ratios(base *entry) []float64 {
	var r []float64
	for i := range min(len(e.seconds), len(base.seconds)) {
		r = append(r, e.seconds[i]/base.seconds[i])
	}
	return r
}

// show writes a figure that the program printed; nothing when it did not.
func (e *entry) show(name string, unit float64) string {
	if x, has := e.figures[name]; has {
		return fmt.Sprintf("%.3f", x*unit)
	}
	return ""
}

func median(x []float64) float64 {
	s := slices.Sorted(slices.Values(x))
	n := len(s)
	if n == 0 {
		return math.NaN()
	}
	return (s[(n-1)/2] + s[n/2]) / 2
}
