package reading

import (
	"bytes"
	"errors"
	"fmt"
	"sort"
	"unicode/utf8"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/edid"
)

// Kind says what a reading was made from.
type Kind string

// The kinds of readings.
const (
	KindEDID    Kind = "edid"
	KindUSB     Kind = "usb"
	KindEthtool Kind = "ethtool"
	KindIP      Kind = "ip"
	KindPing    Kind = "ping"
	KindPoE     Kind = "poe"
	KindSerial  Kind = "serial"
)

// Reading is what was found in one part of a file.
type Reading struct {
	Kind Kind `json:"kind"`
	// Part names the part of the file: a connector or an interface, "" if the
	// file names none.
	Part    string   `json:"part"`
	Line    int      `json:"line"` // where it begins, from 1
	Facts   []Fact   `json:"facts"`
	Remarks []Remark `json:"remarks"`
	Decoded any      `json:"decoded"`
	// Summary is for people: labels and figures with units.
	Summary []Row `json:"-"`
}

// Fact is a named value for a call. Value is a bool, a number or a string, as
// Names says; Unit is "" for words and plain numbers. Text is a sentence part
// with the figures.
type Fact struct {
	Name  string `json:"name"`
	Value any    `json:"value"`
	Unit  string `json:"unit"`
	Text  string `json:"text"`
}

// Remark says what a figure means, and on what ground.
type Remark struct {
	Text string `json:"text"`
	measure.Source
}

// Row is one line of a summary; an empty label continues the row above.
type Row struct {
	Label string
	Text  string
}

// Fact returns the value of a fact, nil if the reading does not have it.
func (r *Reading) Fact(name string) any {
	for _, f := range r.Facts {
		if f.Name == name {
			return f.Value
		}
	}
	return nil
}

func (r *Reading) fact(name string, value any, unit, format string, args ...any) {
	r.Facts = append(r.Facts, Fact{Name: name, Value: value, Unit: unit, Text: fmt.Sprintf(format, args...)})
}

func (r *Reading) remark(checkValue, source, format string, args ...any) {
	r.Remarks = append(r.Remarks, Remark{
		Text: fmt.Sprintf(format, args...), Source: measure.Source{CheckValue: checkValue, Words: source},
	})
}

func (r *Reading) row(label, format string, args ...any) {
	r.Summary = append(r.Summary, Row{label, fmt.Sprintf(format, args...)})
}

// rows adds lines under one label.
func (r *Reading) rows(label string, lines []string) {
	for _, line := range lines {
		r.row(label, "%s", line)
		label = ""
	}
}

func newReading(kind Kind, part string, line int) *Reading {
	return &Reading{Kind: kind, Part: part, Line: line, Facts: []Fact{}, Remarks: []Remark{}}
}

// ErrUnknown says that nothing in the file was recognised.
var ErrUnknown = errors.New("not recognised as EDID, lsusb, ethtool, ip, ping, a PoE table or serial bytes")

// Longest is the most that Read takes, in bytes.
const Longest = 16 << 20

// Read recognises what a file holds and reads it. There is at least one reading
// if the error is nil; where only a part of the file is bad, the readings of the
// rest come with the error. Errors say what is wrong and, where it helps, the
// line.
func Read(file []byte) ([]Reading, error) {
	switch {
	case len(file) == 0:
		return nil, errors.New("the file is empty; an empty EDID means that nothing is connected or that it could not be read")
	case len(file) > Longest:
		return nil, fmt.Errorf("the file has %d bytes, %d are read at most; cut out the part that matters", len(file), Longest)
	}
	var found []*Reading
	var bad []error
	for _, dump := range edid.Find(file) {
		r, err := readEDID(dump)
		if err != nil {
			bad = append(bad, fmt.Errorf("line %d: %w", dump.Line, err))
			continue
		}
		found = append(found, r)
	}
	if isText(file) {
		lines := newText(file)
		found = append(found, readTools(lines)...)
		if len(found) == 0 && len(bad) == 0 {
			r, err := readSerial(lines)
			if err != nil {
				return nil, err
			}
			found = append(found, r)
		}
	}
	if len(found) == 0 && len(bad) == 0 {
		return nil, explainBinary(file)
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].Line < found[j].Line })
	out := make([]Reading, len(found))
	for i, r := range found {
		out[i] = *r
	}
	return out, errors.Join(bad...)
}

// readTools tries the readers of tools' output on a text. A reader is only tried
// if the text has a word that its tool always writes.
func readTools(t *text) []*Reading {
	var found []*Reading
	try := func(read func(*text) *Reading, words ...string) {
		if !t.has(words...) {
			return
		}
		if r := read(t); r != nil {
			found = append(found, r)
		}
	}
	try(readUSB, "Bus ")
	try(readEthtool, "Settings for ", "NIC statistics")
	try(readIP, "> mtu ")
	try(readPing, "packets transmitted", "Packets: Sent")
	try(readPoE, "ower", "OWER", "lass", "CLASS", "att")
	return found
}

// isText says whether a file is text: UTF-8 without control bytes other than
// those of lines and tabs. Terminal colour codes are let pass.
func isText(file []byte) bool {
	if !utf8.Valid(file) {
		return false
	}
	for _, b := range file {
		if b < 0x20 && b != '\n' && b != '\r' && b != '\t' && b != '\f' && b != 0x1B {
			return false
		}
	}
	return true
}

// explainBinary says why binary data is no EDID.
func explainBinary(file []byte) error {
	for _, fill := range []byte{0x00, 0xFF} {
		if bytes.Count(file, []byte{fill}) == len(file) {
			return fmt.Errorf("%d bytes of %02X: the read itself failed; look at the DDC wires, the cable and whether the display is on", len(file), fill)
		}
	}
	if bytes.HasPrefix(file, []byte{0x00, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0x00}) {
		_, err := edid.Decode(file)
		return err
	}
	return fmt.Errorf("%w; binary files must begin with an EDID header (00 FF FF FF FF FF FF 00)", ErrUnknown)
}
