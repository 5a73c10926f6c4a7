// Command pourwright plans a block mold from the 3D scan of an original: the
// box, the rubber, which way up, where to pour, where to cut.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

// version is set by the linker.
var version = "dev"

func main() { os.Exit(start(newConsole(os.Stdout, os.Stderr))) }

// start runs the program with Ctrl-C as a request to stop.
func start(con *console) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
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
