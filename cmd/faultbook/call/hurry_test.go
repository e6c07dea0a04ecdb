package call

import (
	"errors"
	"io"
	"strings"
	"testing"
)

// TestMeetingHeard: minutes until the meeting that the words name are shown and
// count once the agent lets them.
func TestMeetingHeard(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "the client arrives in ten minutes and the screen is black")
	o, err := c.Out()
	if err != nil {
		t.Fatal(err)
	}
	if o.Minutes.Meeting != nil || o.Minutes.Heard == nil || *o.Minutes.Heard > 10 || *o.Minutes.Heard < 9 {
		t.Fatalf("minutes %+v", o.Minutes)
	}
	var screen strings.Builder
	term := Terminal{Call: c, Screen: &Screen{Out: &screen, Width: 80}, Keys: &typed{t: t, keys: "m", lines: []string{""}}}
	term.Screen.Heard(o)
	if !strings.Contains(screen.String(), "Meeting in 10 min, as heard; m lets it count") {
		t.Errorf("the screen says\n%s", screen.String())
	}
	if o, err = term.Run(o); !errors.Is(err, io.EOF) {
		t.Fatal(err)
	}
	if o.Minutes.Meeting == nil || o.Minutes.Heard != nil || o.Step.ID != TryWorkaround {
		t.Errorf("after m: %+v, step %s", o.Minutes, o.Step.ID)
	}
	if o = do(t, d.open(t, "it goes black every ten minutes"), In{Note: "x"}); o.Minutes.Heard != nil {
		t.Errorf("a fault that comes every ten minutes is no meeting: %+v", o.Minutes)
	}
}
