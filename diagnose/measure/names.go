package measure

import (
	"fmt"
	"strings"
)

// Kind says what an input holds.
type Kind string

// Kinds of inputs. A figure has a unit and a range; a count is a whole number
// with a range; a word is one of a list; a text is read by the sum itself
// (a picture format, a part of a chain, an address).
const (
	KindFigure Kind = "figure"
	KindCount  Kind = "count"
	KindWord   Kind = "word"
	KindText   Kind = "text"
)

// Input describes one thing that a sum is told. Min and Max are in Unit and
// inclusive. Bare lets a figure come without its unit. Many lets it be given
// more than once. Default is used, and shown as an input, when nothing is
// given; an empty default means that the sum does without.
type Input struct {
	Name     string
	Kind     Kind
	Unit     string
	Help     string
	Default  string
	Required bool
	Many     bool
	Bare     bool
	Min, Max float64
	Words    []string
}

// FactName describes a fact that a sum may settle and its possible values.
type FactName struct {
	Name   string
	Values []string
	Help   string
}

// Sum is one calculation by name. Run reads the values as typed and returns an
// error that names the input at fault; it keeps no state.
type Sum struct {
	Name    string
	Summary string
	Example string
	Inputs  []Input
	Facts   []FactName
	Run     func(Values) (Result, error)
}

// Values are inputs as typed, by input name, each with one or more texts.
type Values map[string][]string

// InputError names the input that cannot be used and why.
type InputError struct {
	Input string
	Err   error
}

func (e *InputError) Error() string { return fmt.Sprintf("%s: %v", e.Input, e.Err) }

func (e *InputError) Unwrap() error { return e.Err }

// BadInput makes an InputError from a format.
func BadInput(input, format string, args ...any) error {
	return &InputError{Input: input, Err: fmt.Errorf(format, args...)}
}

// Names lists the sums in the order in which a technician would look for
// them. Package sums holds one Sum for each; a test there keeps the two alike.
func Names() []string {
	return []string{
		"link", "timing", "frame-rate", "dock", "hdcp", "cec", "edid-read",
		"usb-power", "usb-bandwidth", "usb-tiers",
		"poe", "subnet", "throughput", "igmp", "multicast",
		"audio-level", "audio-mix", "audio-distance", "lip-sync", "speaker-line",
		"serial", "parity",
		"voltage-drop", "heat", "rack",
		"picture", "luminance", "legibility",
	}
}

// Nearest returns the name that a mistyped one most likely meant, or "".
func Nearest(typed string, names []string) string {
	typed = strings.ToLower(typed)
	best, least := "", 3 // more than two slips is a guess
	for _, name := range names {
		if d := slips(typed, name); d < least {
			best, least = name, d
		}
	}
	return best
}

// slips counts inserted, left-out and changed letters between two words.
func slips(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		corner := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := corner
			if a[i-1] != b[j-1] {
				change++
			}
			corner = row[j]
			row[j] = min(change, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}
