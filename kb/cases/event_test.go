package cases

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"
)

const header = `{"faultbook_case":1,"id":"20260105-090000-tstx","opened":"2026-01-05T09:00:00Z"}` + "\n"

func TestDecodeErrors(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "x.jsonl:1: empty"},
		{"not a case", "hello\n", "x.jsonl:1: not a case file"},
		{"other JSON", `{"kind":"cause"}`, "x.jsonl:1: not a case file"},
		{"no id", `{"faultbook_case":1,"opened":"2026-01-05T09:00:00Z"}`, `x.jsonl:1: "" is no id`},
		{"id that leaves the folder", `{"faultbook_case":1,"id":"../../evil","opened":"2026-01-05T09:00:00Z"}`, "is no id"},
		{"half a line", header + `{"at":"2026-01-05T09:00:01Z","say":"the scr`, "x.jsonl:2: not an event"},
		{"unknown key", header + `{"at":"2026-01-05T09:00:01Z","shout":"x"}`, `x.jsonl:2: not an event of a call: json: unknown field "shout"`},
		{"two things", header + `{"at":"2026-01-05T09:00:01Z","say":"x","note":"y"}`, "x.jsonl:2: an event says one thing, this one says 2"},
		{"nothing", header + `{"at":"2026-01-05T09:00:01Z"}`, "says 0"},
		{"bad result", header + `{"at":"2026-01-05T09:00:01Z","tried":{"remedy":"r","result":"fine"}}`, `result "fine"`},
		{"evidence and a note", header + `{"at":"2026-01-05T09:00:01Z","note":"n","evidence":{"from":"sum","name":"dock"}}`, "says 2"},
		{"evidence from nowhere", header + `{"at":"2026-01-05T09:00:01Z","evidence":{"from":"guess","name":"dock"}}`, `evidence from "guess": must be read or sum`},
		{"evidence without a name", header + `{"at":"2026-01-05T09:00:01Z","evidence":{"from":"read"}}`, "must name the file or the sum"},
		{"evidence with a bare fact", header + `{"at":"2026-01-05T09:00:01Z","evidence":{"from":"sum","name":"dock","facts":[{"value":"no"}]}}`, "a fact has no name"},
		{"evidence with half an answer", header + `{"at":"2026-01-05T09:00:01Z","evidence":{"from":"sum","name":"dock","answers":[{"question":"q"}]}}`, "needs question and value"},
		{"evidence with an unknown key", header + `{"at":"2026-01-05T09:00:01Z","evidence":{"from":"sum","name":"dock","trust":1}}`, `unknown field "trust"`},
	} {
		_, err := Decode(strings.NewReader(c.text), "x.jsonl")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q in it", c.name, err, c.want)
		}
	}
}

func TestDecodeNewer(t *testing.T) {
	_, err := Decode(strings.NewReader(`{"faultbook_case":2,"id":"x","colour":"blue"}`), "x.jsonl")
	var newer ErrNewer
	if !errors.As(err, &newer) || newer.Version != 2 || !strings.Contains(err.Error(), "update faultbook") {
		t.Errorf("a case of version 2: %v", err)
	}
}

func TestEffective(t *testing.T) {
	say := func(s string) Event { return Event{Say: s} }
	note, undo := Event{Note: "n"}, Event{Undo: true}
	for _, c := range []struct {
		name   string
		events []Event
		want   string
	}{
		{"none", []Event{say("a"), say("b")}, "ab"},
		{"the last one", []Event{say("a"), say("b"), undo}, "a"},
		{"two", []Event{say("a"), say("b"), undo, undo, say("c")}, "c"},
		{"a note stays", []Event{say("a"), note, undo, say("b")}, "nb"},
		{"evidence is one thing", []Event{say("a"), {Evidence: &Evidence{From: FromSum, Name: "dock"}}, undo, say("b")}, "ab"},
		{"more undos than events", []Event{undo, undo, say("a")}, "a"},
	} {
		got := ""
		for _, e := range (&Case{Events: c.events}).Effective() {
			got += e.Say + e.Note
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte(header))
	f.Add([]byte(header + `{"at":"2026-01-05T09:00:01Z","answer":{"question":"q","value":"v"}}` + "\n"))
	f.Add([]byte(header + `{"at":"2026-01-05T09:00:01Z","meeting":0}` + "\n" + `{"at":"2026-01-05T09:00:02Z","undo":true}` + "\n"))
	f.Add([]byte(header + `{"at":"2026-01-05T09:00:01Z","evidence":{"from":"sum","name":"dock","facts":[{"name":"dock-lanes-fit","value":"no","text":"8.64 Gbit/s"}],` +
		`"answers":[{"question":"dock-lane-sum","value":"over","by":["dock-lanes-fit"]}],"text":["fail: they do not fit"]}}` + "\n"))
	f.Add([]byte(header + `{"at":"2026-01-05T09:00:01Z","evidence":{"from":"read","name":"a.bin","facts":[],"text":null}}` + "\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := Decode(bytes.NewReader(data), "fuzz.jsonl")
		if err != nil {
			return
		}
		first, err := c.Encode()
		if err != nil {
			t.Fatalf("accepted case cannot be written: %v", err)
		}
		again, err := Decode(bytes.NewReader(first), "fuzz.jsonl")
		if err != nil {
			t.Fatalf("written case is refused: %v\n%s", err, first)
		}
		second, err := again.Encode()
		if err != nil || !bytes.Equal(first, second) {
			t.Fatalf("round trip: %v\n%s\n%s", err, first, second)
		}
	})
}

// clock gives a time that a test moves on.
type clock struct{ at time.Time }

func (c *clock) now() time.Time { return c.at }

func newClock() *clock { return &clock{time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)} }

// TestTooLarge refuses the event that would make a case file that cannot be
// read again.
func TestTooLarge(t *testing.T) {
	s := NewStore(t.TempDir(), newClock().now)
	c, err := s.Create()
	if err != nil {
		t.Fatal(err)
	}
	line := strings.Repeat("x", 300<<10)
	for i := range 4 {
		err := s.Append(c, Event{Evidence: &Evidence{From: FromRead, Name: "f", Text: []string{line}}})
		if (err != nil) != (i == 3) {
			t.Fatalf("event %d of 300 KiB: %v", i, err)
		}
	}
	if again, err := s.Load(c.ID); err != nil || len(again.Events) != 3 {
		t.Errorf("read back: %v", err)
	}
}
