package index

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io/fs"
	"os"
	"strconv"

	"faultbook/kb/cases"
)

// An index is never written once it has its name. The cases that came, changed
// or went since are appended to a file beside it, a line for each: the CRC-32C
// of the rest in eight hexadecimal digits, a blank, and the case as JSON. What
// is damaged or was cut short is passed over: it is found missing when the
// cases are compared, and put in again.
//
// Several programs may append at once: a line is written in one go.
type journal struct {
	path string
	file *os.File
}

// change is a case that came, changed, or went (without a document).
type change struct {
	ID    string    `json:"id"`
	Stamp string    `json:"stamp"`
	Doc   *Document `json:"doc,omitempty"`
	Gone  bool      `json:"gone,omitempty"`
}

// read gives the changes in their order, and how many lines are damaged.
func (j *journal) read() (list []change, damaged int, err error) {
	data, err := cases.ReadPlain(j.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, 0, nil
	}
	if err != nil {
		return nil, 0, fmt.Errorf("read what came since the index: %w", err)
	}
	for line := range bytes.Lines(data) {
		c, ok := decodeChange(line)
		if !ok {
			damaged++
			continue
		}
		list = append(list, c)
	}
	return list, damaged, nil
}

func decodeChange(line []byte) (change, bool) {
	var c change
	text, ok := bytes.CutSuffix(line, []byte("\n"))
	if !ok || len(text) < 10 || text[8] != ' ' {
		return c, false
	}
	sum, err := strconv.ParseUint(string(text[:8]), 16, 32)
	if err != nil || uint32(sum) != crcOf(text[9:]) {
		return c, false
	}
	return c, json.Unmarshal(text[9:], &c) == nil
}

func crcOf(data []byte) uint32 { return crc32.Checksum(data, crc32.MakeTable(crc32.Castagnoli)) }

// append writes changes down.
func (j *journal) append(list ...change) error {
	if j.file == nil {
		f, err := os.OpenFile(j.path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o600)
		if err != nil {
			return err
		}
		j.file = f
		if err := j.endLine(); err != nil {
			return err
		}
	}
	var b bytes.Buffer
	for _, c := range list {
		text, err := json.Marshal(c)
		if err != nil {
			return err
		}
		fmt.Fprintf(&b, "%08x %s\n", crcOf(text), text)
	}
	_, err := j.file.Write(b.Bytes())
	return err
}

// endLine ends a line that was cut short, so that the next one begins anew.
func (j *journal) endLine() error {
	info, err := j.file.Stat()
	if err != nil || info.Size() == 0 {
		return err
	}
	var last [1]byte
	if _, err := j.file.ReadAt(last[:], info.Size()-1); err != nil {
		return err
	}
	if last[0] != '\n' {
		_, err = j.file.Write([]byte("\n"))
	}
	return err
}

func (j *journal) close() error {
	if j == nil || j.file == nil {
		return nil
	}
	return j.file.Close()
}
