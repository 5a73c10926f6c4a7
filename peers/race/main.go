//go:build linux

// Race runs programs that do the same work, one after the other and round by
// round, so that whatever else the machine does falls on all of them, and writes
// a table of medians and ratios.
//
// Usage: race ROUNDS PLAN HEAD OUT.md
//
// PLAN has a run a line, five fields between tabs: table, case, program, input
// file, command. The first program of a case is the one the others are compared
// with. HEAD is text for the top of OUT.md.
//
// A program may print figures as a name and a number, here "seconds" (its own
// time, taken in place of the whole process), "voxels", "near" and "far" (errors
// in voxels) and "volume".
package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// longest is how long a run may take.
const longest = 20 * time.Minute

// entry is a line of the plan and what came of it.
type entry struct {
	table, scene, program, file string
	command                     []string

	seconds  []float64 // of each round
	work     []float64 // seconds that processors spent on the whole process, of each round
	peakMB   float64   // greatest resident memory of the process; 10 is the least seen, see warm
	figures  map[string]float64
	inside   bool   // the program timed itself
	trouble  string // why it is out of the race
	fileSize float64
}

func main() {
	if len(os.Args) != 5 {
		fmt.Fprintln(os.Stderr, "usage: race ROUNDS PLAN HEAD OUT.md")
		os.Exit(2)
	}
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "race:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	rounds, err := strconv.Atoi(args[0])
	if err != nil || rounds < 1 {
		return fmt.Errorf("%q is no number of rounds", args[0])
	}
	plan, err := readPlan(args[1])
	if err != nil {
		return err
	}
	head, err := os.ReadFile(args[2])
	if err != nil {
		return err
	}
	var text string
	for round := range rounds {
		for i := range plan {
			e := &plan[i]
			if e.trouble != "" {
				continue
			}
			e.measure()
			if e.trouble != "" {
				fmt.Fprintf(os.Stderr, "%s, %s: %s is out: %s\n", e.table, e.scene, e.program, e.trouble)
				continue
			}
			fmt.Fprintf(os.Stderr, "round %d of %d: %-12s %-24s %7.3f s\n", round+1, rounds, e.scene, e.program, e.seconds[round])
		}
		// After each round, so that a race that is broken off leaves something.
		text = fmt.Sprintf("%s\nRounds: %d.\n%s", head, round+1, tables(plan))
		if err := os.WriteFile(args[3], []byte(text), 0o644); err != nil {
			return err
		}
	}
	_, err = fmt.Print(text)
	return err
}

func readPlan(path string) ([]entry, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var plan []entry
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		fields := strings.Split(lines.Text(), "\t")
		if len(fields) != 5 {
			return nil, fmt.Errorf("%s: a line has %d fields, not 5: %s", path, len(fields), lines.Text())
		}
		info, err := os.Stat(fields[3])
		if err != nil {
			return nil, err
		}
		plan = append(plan, entry{
			table: fields[0], scene: fields[1], program: fields[2], file: fields[3],
			command: strings.Fields(fields[4]), fileSize: float64(info.Size()),
		})
	}
	return plan, lines.Err()
}

// figure finds a name and its number, as the programs write them.
var figure = regexp.MustCompile(`(?i)\b(seconds|voxels|near|far|volume)(?:_mm3)?"?\s*:?\s+(-?[0-9][0-9.e+-]*)`)

// measure runs the program once.
func (e *entry) measure() {
	if err := warm(e.file); err != nil {
		e.trouble = err.Error()
		return
	}
	ctx, cancel := context.WithTimeout(context.Background(), longest)
	defer cancel()
	cmd := exec.CommandContext(ctx, e.command[0], e.command[1:]...)
	var out, complaints bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaints
	start := time.Now()
	err := cmd.Run()
	took := time.Since(start).Seconds()
	if err != nil {
		last := strings.Split(strings.TrimSpace(complaints.String()), "\n")
		e.trouble = strings.TrimSpace(err.Error() + " " + last[len(last)-1])
		return
	}
	e.figures = map[string]float64{}
	for _, found := range figure.FindAllStringSubmatch(out.String(), -1) {
		if x, err := strconv.ParseFloat(found[2], 64); err == nil {
			e.figures[strings.ToLower(found[1])] = x
		}
	}
	if own, has := e.figures["seconds"]; has {
		took, e.inside = own, true
	}
	e.seconds = append(e.seconds, took)
	e.work = append(e.work, (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds())
	if use, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
		e.peakMB = max(e.peakMB, float64(use.Maxrss)/1024*1.048576)
	}
}

// warm reads a file, so that every program finds it in memory. It keeps none of
// it: the system counts the memory of this process, at the moment it starts
// another, towards the other's peak.
func warm(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	_, err = io.Copy(io.Discard, f)
	return err
}
