package main

import (
	"io/fs"
	"runtime"
	"testing"
	"time"

	"faultbook/cmd/faultbook/demo"
	"faultbook/kb"
	"faultbook/kb/room"
)

// TestSheetsSaveQuestions plays the same calls about all demo rooms and all
// symptoms with their sheets and without: at least a quarter fewer questions, at
// no loss of share found. It is what `faultbook rehearse --room all --day
// 2026-04-02` plays.
func TestSheetsSaveQuestions(t *testing.T) {
	if testing.Short() {
		t.Skip("plays 3,000 calls twice: run without -short")
	}
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	files, err := fs.Sub(demo.Sheets, "rooms")
	if err != nil {
		t.Fatal(err)
	}
	sheets, findings := room.Load(files, "rooms")
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	set := kb.RehearseSetting{Symptoms: book.IDs(kb.KindSymptom), Who: kb.WhoCaller, Calls: 10, Seed: 1, Workers: runtime.GOMAXPROCS(0)}
	var settings []kb.RoomSetting
	for _, s := range sheets {
		settings = append(settings, room.Rehearsal(book, s, time.Date(2026, 4, 2, 0, 0, 0, 0, time.UTC)))
	}
	report := roomRehearsals{}
	if report.Rooms, err = kb.RehearseRooms(book, settings, set); err != nil {
		t.Fatal(err)
	}
	report.sum()
	t.Logf("%.1f %% fewer questions (%.2f with, %.2f without), found %.1f %% and %.1f %%", 100*report.Fewer, report.With.Questions, report.Without.Questions, 100*report.With.Found, 100*report.Without.Found)
	if report.Fewer < 0.25 {
		t.Errorf("%.1f %% fewer questions, at least 25 are wanted", 100*report.Fewer)
	}
	if report.With.Found < report.Without.Found {
		t.Errorf("found %.1f %% with the sheets, %.1f %% without", 100*report.With.Found, 100*report.Without.Found)
	}
}

// TestRehearsalIsTheSame: the same seed gives the same figures, whatever the
// number of workers.
func TestRehearsalIsTheSame(t *testing.T) {
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	d := demoDesk(t, "2026-04-02")
	setting := room.Rehearsal(book, d.Rooms()[0], time.Date(2026, 4, 2, 0, 0, 0, 0, time.UTC))
	var got []kb.RoomRehearsal
	for _, workers := range []int{1, 3} {
		r, err := kb.RehearseRooms(book, []kb.RoomSetting{setting}, kb.RehearseSetting{Symptoms: []string{"F-11", "F-16"}, Who: kb.WhoCaller, Calls: 5, Seed: 4, Workers: workers})
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, r...)
	}
	if got[0].With != got[1].With || got[0].Without != got[1].Without || got[0].With.Calls != 10 {
		t.Errorf("%+v\n%+v", got[0], got[1])
	}
}
