package index

import (
	"strings"
	"testing"
	"time"

	"faultbook/kb/cases"
)

// store makes a store with one closed and one open call.
func store(t testing.TB) (s *cases.Store, closed, open *cases.Case) {
	t.Helper()
	clock := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	s = cases.NewStore(t.TempDir(), func() time.Time { clock = clock.Add(time.Second); return clock })
	write := func(events ...cases.Event) *cases.Case {
		c, err := s.Create()
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range events {
			if err := s.Append(c, e); err != nil {
				t.Fatal(err)
			}
		}
		return c
	}
	closed = write(
		cases.Event{Say: "the wobbly webcam dies when it zooms"},
		cases.Event{Symptom: "F-13"},
		cases.Event{Room: "R12"},
		cases.Event{Answer: &cases.Answer{Question: "restarts", Value: "yes"}},
		cases.Event{Answer: &cases.Answer{Question: "lamp", Value: "off"}},
		cases.Event{Undo: true},
		cases.Event{Note: "the grommet was missing"},
		cases.Event{Close: &cases.Close{Note: "fitted a powered hub"}},
	)
	open = write(cases.Event{Say: "the wobbly webcam again"})
	return s, closed, open
}

func TestCaseDocument(t *testing.T) {
	_, closed, _ := store(t)
	d := CaseDocument(smallBook(t), closed)
	if d.ID != closed.ID || d.Kind != "case" || d.State != "closed" || d.When != "2026-11-25" || d.Room != "R12" {
		t.Errorf("%+v", d)
	}
	if d.Title != "the wobbly webcam dies when it zooms" || strings.Join(d.Symptoms, " ") != "F-13" {
		t.Errorf("%+v", d)
	}
	if !strings.Contains(d.Tells, "Camera restarts: Yes, it restarts") || strings.Contains(d.Tells, "Lamp") {
		t.Errorf("tells %q", d.Tells)
	}
	for _, part := range []string{"grommet", "powered hub", "Camera does not work"} {
		if !strings.Contains(d.Notes, part) {
			t.Errorf("notes %q lack %q", d.Notes, part)
		}
	}
}

// TestClosedCasesAreFound: a call is found once it is closed, and again after
// it was written again.
func TestClosedCasesAreFound(t *testing.T) {
	s, closed, open := store(t)
	dir := t.TempDir()
	find := func(words, want string, notes ...string) {
		t.Helper()
		src, err := FromStore(smallBook(t), s)
		if err != nil {
			t.Fatal(err)
		}
		x := opened(t, dir, src)
		wantNotes(t, x, notes...)
		if got := ids(lookUp(t, x, words, Options{Kinds: []string{"case"}}).Hits); got != want {
			t.Errorf("%q: found %q, want %q", words, got, want)
		}
	}
	find("wobbly", closed.ID, "no search index yet")
	find("grommet", closed.ID)
	if err := s.Append(open, cases.Event{Close: &cases.Close{Note: "sprocket"}}); err != nil {
		t.Fatal(err)
	}
	find("sprocket", open.ID)
}
