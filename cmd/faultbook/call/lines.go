package call

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// maxLine is the longest input line, in bytes.
const maxLine = 64 << 10

// ReadIn reads one input from JSON, strictly.
func ReadIn(line []byte) (In, error) {
	dec := json.NewDecoder(bytes.NewReader(line))
	dec.DisallowUnknownFields()
	var in In
	if err := dec.Decode(&in); err != nil {
		return in, fmt.Errorf("not an input: %w", err)
	}
	if dec.More() {
		return in, errors.New("not an input: more than one object in the line")
	}
	return in, nil
}

// Lines takes a call as JSON lines: one object in, one out, until the input
// ends. An input that cannot be used gives {"error": …} and changes nothing.
func Lines(c *Call, in io.Reader, out io.Writer) error {
	enc := json.NewEncoder(out)
	enc.SetEscapeHTML(false)
	first, err := c.Out()
	if err != nil {
		return err
	}
	if err := enc.Encode(first); err != nil {
		return fmt.Errorf("write the state: %w", err)
	}
	lines := bufio.NewReaderSize(in, maxLine)
	for {
		line, err := readLine(lines)
		if len(bytes.TrimSpace(line)) > 0 {
			if werr := enc.Encode(c.reply(line)); werr != nil {
				return fmt.Errorf("write the state: %w", werr)
			}
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("read the next input: %w", err)
		}
	}
}

// readLine gives one line; one that is too long is cut, and so refused.
func readLine(r *bufio.Reader) ([]byte, error) {
	line, err := r.ReadSlice('\n')
	line = bytes.Clone(line)
	for errors.Is(err, bufio.ErrBufferFull) {
		_, err = r.ReadSlice('\n')
	}
	return line, err
}

// failure is what an input that cannot be used gives.
type failure struct {
	Error string `json:"error"`
}

func (c *Call) reply(line []byte) any {
	in, err := ReadIn(line)
	if err != nil {
		return failure{err.Error()}
	}
	o, err := c.Do(in)
	if err != nil {
		return failure{err.Error()}
	}
	return o
}
