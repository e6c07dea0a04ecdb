package main

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"faultbook/cmd/faultbook/call"
)

// Exit statuses.
const (
	exitDone        = 0
	exitFailed      = 1   // the thing asked for failed
	exitUsage       = 2   // wrong use or unreadable input
	exitInternal    = 70  // a fault of the program itself
	exitInterrupted = 130 // interrupted; the case is saved
)

// statusError carries the exit status with the text.
type statusError struct {
	status int
	err    error
}

func (e statusError) Error() string { return e.err.Error() }
func (e statusError) Unwrap() error { return e.err }

// wrongUse is an error of the user or of an input: status 2.
func wrongUse(format string, args ...any) error {
	return statusError{exitUsage, fmt.Errorf(format, args...)}
}

// failed is an honest no: status 1.
func failed(format string, args ...any) error {
	return statusError{exitFailed, fmt.Errorf(format, args...)}
}

// errQuiet ends with status 1 where everything has been printed already.
var errQuiet = errors.New("")

// run executes the command line and turns errors and panics into
// an exit status. It is the whole program but for the process.
func run(args []string, s streams) (code int) {
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintf(s.Err, "faultbook: a fault of the program itself: %v\n%s\n", p, stack())
			fmt.Fprintln(s.Err, "Nothing that was answered is lost: `faultbook call --resume` goes on where the call stood.")
			code = exitInternal
		}
	}()
	entered := false
	root := newRootCommand(s, &entered)
	root.SetArgs(args)
	return report(s.Err, root.Execute(), entered)
}

// report prints an error and picks the status. An error that came before any
// command was entered is wrong use: unknown commands, flags, arguments.
func report(w io.Writer, err error, entered bool) int {
	if err == nil {
		return exitDone
	}
	if errors.Is(err, call.ErrInterrupted) {
		return exitInterrupted
	}
	if text := err.Error(); text != "" {
		fmt.Fprintf(w, "faultbook: %s\n", text)
	}
	var coded statusError
	switch {
	case errors.As(err, &coded):
		return coded.status
	case !entered:
		return exitUsage
	}
	return exitFailed
}

// stack is the part of the trace that helps, without the machine's paths.
func stack() string {
	var kept []string
	for _, line := range strings.Split(string(debug.Stack()), "\n") {
		if !strings.HasPrefix(line, "\t") {
			kept = append(kept, line)
		}
	}
	return strings.Join(kept[:min(len(kept), 24)], "\n")
}
