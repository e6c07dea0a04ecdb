package cases

import (
	"errors"
	"fmt"
	"io"
	"os"
)

// OpenPlain opens a plain file, or one that a link leads to, for reading.
// Anything else that bears the name is an error: a pipe without a writer would
// keep the program waiting for ever, and a device may never end.
func OpenPlain(path string) (*os.File, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: %w", path, ErrNotPlain)
	}
	return os.Open(path)
}

// ErrNotPlain says that a name does not stand for a plain file.
var ErrNotPlain = errors.New("not a plain file: move it out of the folder")

// ReadPlain reads a file that OpenPlain opens.
func ReadPlain(path string) ([]byte, error) {
	f, err := OpenPlain(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}
