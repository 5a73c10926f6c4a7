// Command pourwright plans a block mold from the 3D scan of an original: the
// box, the rubber, which way up, where to pour, where to cut.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"syscall"
)

// version is set by the linker.
var version = "dev"

func main() {
	putOffFirstCollection()
	os.Exit(start(newConsole(os.Stdout, os.Stderr)))
}

// putOffFirstCollection lets the heap of a short run grow to four times what it
// usually may before garbage is collected for the first time. A small scan is
// done by then.
func putOffFirstCollection() {
	usual := debug.SetGCPercent(4 * usualGCPercent)
	if usual != usualGCPercent { // the user has asked for something else
		debug.SetGCPercent(usual)
		return
	}
	mark := new([64]byte) // its end is the first collection
	runtime.AddCleanup(mark, func(percent int) { debug.SetGCPercent(percent) }, usual)
}

// usualGCPercent is how much the heap grows between collections unless GOGC says
// otherwise.
const usualGCPercent = 100

// start runs the program with Ctrl-C as a request to stop.
func start(con *console) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program at once
	return run(ctx, con, os.Args[1:])
}

// run runs one command line and returns the exit code.
func run(ctx context.Context, con *console, args []string) int {
	root := newRootCmd(con)
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	return con.explain(ctx, err)
}
