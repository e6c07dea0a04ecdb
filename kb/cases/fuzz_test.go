package cases

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"
)

// FuzzRedact takes any text out of any case: afterwards it stands in no text of
// it, the case is read again, and its events are as many and one more.
func FuzzRedact(f *testing.F) {
	said := header + `{"at":"2026-01-05T09:00:01Z","say":"Ann Bell rang, ring 0555 0100"}` + "\n" + `{"at":"2026-01-05T09:00:02Z","note":"ann  bell again"}` + "\n"
	for _, text := range []string{"Ann Bell", "0555 0100", "a", "", "  ", "[removed]", "removed", ".*", "\\E(", "\xff\xfe", "ſ", "rang,"} {
		f.Add([]byte(said), text)
	}
	f.Add([]byte(header+`{"at":"2026-01-05T09:00:01Z","answer":{"question":"bell","value":"bell"}}`+"\n"), "bell")
	f.Add([]byte(header+`{"at":"2026-01-05T09:00:01Z","say":"Ann \u00a0Bell \u2003"}`+"\n"), "ann bell")
	f.Fuzz(func(t *testing.T, data []byte, text string) {
		c, err := Decode(bytes.NewReader(data), "fuzz.jsonl")
		if err != nil || !validID.MatchString(c.ID) {
			return
		}
		s := NewStore(t.TempDir(), newClock().now)
		if err := os.MkdirAll(filepath.Dir(s.path(c.ID)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(s.path(c.ID), data, 0o644); err != nil {
			t.Fatal(err)
		}
		got, err := s.Redact(c.ID, text)
		if err != nil {
			if now, _ := os.ReadFile(s.path(c.ID)); !bytes.Equal(now, data) {
				t.Fatalf("%v, and the case was changed", err)
			}
			return
		}
		after, err := s.Load(c.ID)
		if err != nil {
			t.Fatalf("cannot be read: %v", err)
		}
		if want := len(c.Events) + min(got.Places, 1); len(after.Events) != want {
			t.Fatalf("%d places; %d events, want %d", got.Places, len(after.Events), want)
		}
		for _, e := range after.Events {
			for _, said := range []string{e.Say, e.Note} {
				if stillSays(strings.ReplaceAll(said, Removed, "\x00"), text) {
					t.Fatalf("%q still holds %q", said, text)
				}
			}
		}
	})
}

// stillSays looks for a text as a person would, without regular expressions.
func stillSays(said, text string) bool {
	plain := func(s string) string {
		return strings.Map(func(r rune) rune {
			least := r
			for f := unicode.SimpleFold(r); f != r; f = unicode.SimpleFold(f) {
				least = min(least, f)
			}
			return least
		}, strings.Join(strings.Fields(s), " "))
	}
	return strings.Contains(plain(said), plain(text))
}

// FuzzLedger lays any bytes where the counts and the records of past calls are
// kept, under a true checksum and without: the store's own cases are what counts.
func FuzzLedger(f *testing.F) {
	f.Add([]byte(`{"years":{"2026":{"stamp":"x","counts":{"F-01":{"PW-01":-1}}}}}`), true)
	f.Add([]byte(`{"years":null}`), true)
	f.Add([]byte(`{"years":{"2026":null,"..":{}}}`), true)
	f.Add([]byte{}, false)
	f.Add([]byte("\x00\x01\x02\x03"), false)
	store := NewStore(f.TempDir(), newClock().now)
	if _, err := store.Create(Event{Say: "no picture"}, Event{Symptom: "F-01"}, Event{Close: &Close{Cause: "PW-01"}}); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte, sealed bool) {
		if sealed {
			data = seal(data)
		}
		folder := t.TempDir()
		l := NewLedger(folder, store, "book", (*Case).Record)
		inner := ledgerFolder(folder, store)
		if err := os.MkdirAll(inner, 0o755); err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{countsFile, roomsFile, l.file("2026"), l.file("2025")} {
			if err := os.WriteFile(filepath.Join(inner, name), data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if n, err := ReadCounts(folder, store); err == nil && n.Calls("F-01") < 0 && !sealed {
			t.Fatalf("%v", n)
		}
		if _, err := ReadRoomCounts(folder, store); err != nil && err.Error() == "" {
			t.Fatal("refused without a reason")
		}
		list, errs := l.Records()
		if len(list) != 1 || len(errs) != 0 || list[0].Cause != "PW-01" {
			t.Fatalf("%+v, %v", list, errs)
		}
		if err := l.Refresh(time.Now().Year()); err != nil {
			t.Fatal(err)
		}
	})
}
