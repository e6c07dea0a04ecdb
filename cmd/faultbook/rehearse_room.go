package main

import (
	"fmt"
	"time"

	"faultbook/kb"
	"faultbook/kb/room"
)

// roomRehearsals is the comparison over rooms.
type roomRehearsals struct {
	Rooms   []kb.RoomRehearsal `json:"rooms"`
	With    kb.Score           `json:"with"`
	Without kb.Score           `json:"without"`
	// Fewer is the share of questions that the sheets save.
	Fewer float64 `json:"fewer_questions"`
}

// runRehearseRoom plays calls about rooms with their sheets and without.
func runRehearseRoom(s streams, set kb.RehearseSetting, name, day string, asJSON bool) error {
	if set.Calls < 1 || set.Calls > 100000 {
		return wrongUse("--calls %d: must be from 1 to 100000", set.Calls)
	}
	now := time.Now()
	if day != "" {
		var err error
		if now, err = time.Parse(time.DateOnly, day); err != nil {
			return wrongUse("--day %q: write it as 2026-04-01", day)
		}
	}
	book, err := openBook(s)
	if err != nil {
		return err
	}
	for _, id := range set.Symptoms {
		if kb.Get[kb.Symptom](book, id) == nil {
			return wrongUse("there is no symptom %q; `faultbook list --kind symptom` shows them", id)
		}
	}
	sheets, err := roomsNamed(s, name)
	if err != nil {
		return err
	}
	settings := make([]kb.RoomSetting, len(sheets))
	for i, x := range sheets {
		settings[i] = room.Rehearsal(book, x, now)
	}
	report := roomRehearsals{}
	if report.Rooms, err = kb.RehearseRooms(book, settings, set); err != nil {
		return err
	}
	report.sum()
	if asJSON {
		return printJSON(s.Out, report)
	}
	printRoomRehearsals(s, report)
	return nil
}

// roomsNamed gives one sheet, or all.
func roomsNamed(s streams, name string) ([]*room.Sheet, error) {
	if name != "all" {
		x, err := openSheet(s, name)
		return []*room.Sheet{x}, err
	}
	sheets, err := openRooms(s)
	if err == nil && len(sheets) == 0 {
		err = wrongUse("no room has a sheet yet; `faultbook room new ID` makes one")
	}
	return sheets, err
}

// sum puts the rooms together, each counted alike.
func (r *roomRehearsals) sum() {
	var with, without []kb.Score
	for _, x := range r.Rooms {
		with, without = append(with, x.With), append(without, x.Without)
	}
	r.With, r.Without = kb.MeanScore(with), kb.MeanScore(without)
	if r.Without.Questions > 0 {
		r.Fewer = 1 - r.With.Questions/r.Without.Questions
	}
}

func printRoomRehearsals(s streams, r roomRehearsals) {
	fmt.Fprintln(s.Out, "room                calls   found with  without   asked with  without   fewer   minutes with  without")
	row := func(id string, with, without kb.Score, fewer float64) {
		fmt.Fprintf(s.Out, "%-18s %6d     %5.1f %%  %5.1f %%        %5.2f    %5.2f  %5.1f %%          %5.1f    %5.1f\n",
			id, with.Calls, 100*with.Found, 100*without.Found, with.Questions, without.Questions, 100*fewer, with.Minutes, without.Minutes)
	}
	for _, x := range r.Rooms {
		row(x.Room, x.With, x.Without, x.Fewer)
	}
	if len(r.Rooms) > 1 {
		row("all rooms", r.With, r.Without, r.Fewer)
	}
}
