package room

import (
	"time"

	"faultbook/kb"
)

// Rehearsal is what the sheet says for rehearsed calls on a day. Works are
// left out: they are of the day, not of the room.
func Rehearsal(b *kb.Book, s *Sheet, now time.Time) kb.RoomSetting {
	lasting := *s
	lasting.Works = nil
	bears := Bear(b, &lasting, now)
	set := kb.RoomSetting{Room: s.ID, Facts: map[string]string{}, Trust: map[string]float64{}, Weights: bears.Weights, Absent: map[string]bool{}, Walk: bears.Walk}
	for _, f := range bears.Facts {
		set.Facts[f.Question], set.Trust[f.Question] = f.Value, f.Trust
	}
	for id := range bears.Absent {
		set.Absent[id] = true
	}
	return set
}
