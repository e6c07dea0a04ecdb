package call

import (
	"errors"
	"io"
	"strings"
	"testing"
)

// TestEndInOwnWords ends calls by the key e with the id of a cause, with words,
// and with both.
func TestEndInOwnWords(t *testing.T) {
	d := newDesk(t)
	for _, c := range []struct {
		typed, cause, note string
		refused            string
	}{
		{"pw-01", "PW-01", "", ""},
		{"PW-01: the strip under the table", "PW-01", "the strip under the table", ""},
		{"the strip was off", "", "the strip was off", ""},
		{"", "", "", ""},
		{"USB-C lead was the wrong one", "", "USB-C lead was the wrong one", ""},
		{"PW-99 strip", "", "", "there is no cause PW-99"},
	} {
		call := d.open(t, "the screen is black")
		var screen strings.Builder
		term := Terminal{Call: call, Screen: &Screen{Out: &screen, Width: 80}, Keys: &typed{t: t, keys: "e", lines: []string{c.typed}}}
		o, err := call.Out()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := term.Run(o); err != nil && !errors.Is(err, io.EOF) {
			t.Fatal(err)
		}
		got := call.view().closed
		if c.refused != "" {
			if got != nil || !strings.Contains(screen.String(), c.refused) {
				t.Errorf("%q: closed as %+v\n%s", c.typed, got, screen.String())
			}
			continue
		}
		if got == nil || got.Cause != c.cause || got.Note != c.note {
			t.Errorf("%q: closed as %+v", c.typed, got)
		}
		if c.cause != "" && strings.Contains(call.Ticket(), "Left to do") {
			t.Errorf("%q: something is left to do:\n%s", c.typed, call.Ticket())
		}
		if c.note != "" && !strings.Contains(call.Ticket(), "- "+c.note) {
			t.Errorf("%q is not in the ticket:\n%s", c.note, call.Ticket())
		}
	}
}
