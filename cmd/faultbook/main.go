// Command faultbook finds out what is wrong with a meeting room, over the
// phone or on site, without a connection to anywhere.
//
// Each command stands in a file of its own name: newXCommand binds flags and
// runX does the work through the packages below.
package main

import (
	"os"
	"os/signal"
	"syscall"

	"golang.org/x/term"
)

func main() {
	var screen terminalState
	screen.keep()
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	var broken breakOff
	go func() {
		for range signals {
			if broken.signalled() {
				continue // the command stops by itself and says how far it came
			}
			// Whatever is being done is broken off: every answer is on disk
			// already, and a read from a terminal or pipe cannot be interrupted.
			screen.restore()
			os.Exit(exitInterrupted)
		}
	}()
	os.Exit(run(os.Args[1:], streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Halt: broken.take}))
}

// terminalState is the state of the terminal on standard input, to put it back
// when the program is broken off while it reads single keys.
type terminalState struct{ old *term.State }

func (t *terminalState) keep() {
	if term.IsTerminal(int(os.Stdin.Fd())) {
		t.old, _ = term.GetState(int(os.Stdin.Fd())) // nil where it cannot be had: nothing to put back
	}
}

func (t *terminalState) restore() {
	if t.old != nil {
		term.Restore(int(os.Stdin.Fd()), t.old)
	}
}
