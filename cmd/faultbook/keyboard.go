package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"

	"faultbook/cmd/faultbook/call"

	"golang.org/x/term"
)

// keyboard reads single keys and lines from a terminal.
type keyboard struct {
	in  *os.File
	out io.Writer
}

func newKeyboard(s streams) *keyboard {
	f, _ := s.In.(*os.File)
	return &keyboard{in: f, out: s.Out}
}

const (
	keyInterrupt = 3 // Ctrl-C
	keyEnd       = 4 // Ctrl-D
)

// Key waits for one key, unseen.
func (k *keyboard) Key() (rune, error) {
	old, err := term.MakeRaw(int(k.in.Fd()))
	if err != nil {
		return 0, fmt.Errorf("read a key: %w", err)
	}
	defer term.Restore(int(k.in.Fd()), old)
	r, _, err := bufio.NewReaderSize(k.in, 16).ReadRune()
	switch {
	case err != nil:
		return 0, err
	case r == keyInterrupt:
		return 0, call.ErrInterrupted
	case r == keyEnd:
		return 0, io.EOF
	}
	return r, nil
}

// Line reads a line with the usual editing keys.
func (k *keyboard) Line(prompt string) (string, error) {
	old, err := term.MakeRaw(int(k.in.Fd()))
	if err != nil {
		return "", fmt.Errorf("read a line: %w", err)
	}
	defer term.Restore(int(k.in.Fd()), old)
	line, err := term.NewTerminal(struct {
		io.Reader
		io.Writer
	}{byteByByte{k.in}, k.out}, prompt).ReadLine()
	if errors.Is(err, io.EOF) { // Ctrl-C and Ctrl-D both end a line here
		return "", call.ErrInterrupted
	}
	if err != nil && !errors.Is(err, term.ErrPasteIndicator) {
		return "", fmt.Errorf("read a line: %w", err)
	}
	return line, nil
}

// byteByByte reads no further than it must, so that what was typed ahead is
// there for the next prompt.
type byteByByte struct{ io.Reader }

func (r byteByByte) Read(p []byte) (int, error) { return r.Reader.Read(p[:min(1, len(p))]) }
