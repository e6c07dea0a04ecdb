package cases

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
)

// roomsFile keeps the counts of each year by room, beside countsFile: it grows
// with the rooms, so only calls read it that know their room.
const roomsFile = "rooms.json"

// keptRooms is what lies in it.
type keptRooms struct {
	Book  string              `json:"book"`
	Years map[string]yearRoom `json:"years"`
}

// yearRoom are the counts of a year by room; the stamp is that of yearCount.
type yearRoom struct {
	Stamp string            `json:"stamp"`
	Rooms map[string]Counts `json:"rooms"`
}

// RoomCountsOf counts the records as CountsOf does, by room, its name in small
// letters.
func RoomCountsOf(list []Record) map[string]Counts {
	rooms := map[string]Counts{}
	for i := range list {
		r := &list[i]
		if r.Room == "" || !r.Ended() || r.Symptom == "" || r.Cause == "" {
			continue
		}
		name := strings.ToLower(r.Room)
		if rooms[name] == nil {
			rooms[name] = Counts{}
		}
		rooms[name].add(r.Symptom, r.Cause, 1)
	}
	return rooms
}

// ReadRoomCounts gives the counts by room, its name in small letters, as
// ReadCounts gives those of all.
func ReadRoomCounts(folder string, s *Store) (map[string]Counts, error) {
	kept, err := readRooms(filepath.Join(ledgerFolder(folder, s), roomsFile))
	sum := map[string]Counts{}
	for _, y := range kept.Years {
		for name, counts := range y.Rooms {
			if sum[name] == nil {
				sum[name] = Counts{}
			}
			sum[name].join(counts)
		}
	}
	return sum, err
}

func readRooms(path string) (keptRooms, error) {
	var kept keptRooms
	ok, err := readKept(path, &kept)
	if err != nil || !ok || kept.Years == nil {
		return keptRooms{Years: map[string]yearRoom{}}, err
	}
	return kept, nil
}

// ledgerCounts is what the ledger counts of the records.
type ledgerCounts struct {
	counts keptCounts
	rooms  keptRooms
}

func newLedgerCounts(book string) *ledgerCounts {
	return &ledgerCounts{keptCounts{book, map[string]yearCount{}}, keptRooms{book, map[string]yearRoom{}}}
}

// set counts the records of a year.
func (c *ledgerCounts) set(year, stamp string, list []Record) {
	c.counts.Years[year] = yearCount{stamp, CountsOf(list)}
	c.rooms.Years[year] = yearRoom{stamp, RoomCountsOf(list)}
}

// take takes a year over from older counts, with a stamp.
func (c *ledgerCounts) take(year, stamp string, old *ledgerCounts) {
	known, rooms := old.counts.Years[year], old.rooms.Years[year]
	known.Stamp, rooms.Stamp = stamp, stamp
	c.counts.Years[year], c.rooms.Years[year] = known, rooms
}

// knows reports whether both files hold the year as it is.
func (c *ledgerCounts) knows(year, stamp, book string) bool {
	a, ok := c.counts.Years[year]
	b, also := c.rooms.Years[year]
	return ok && also && a.Stamp == stamp && b.Stamp == stamp && c.counts.Book == book && c.rooms.Book == book
}

// oldCounts reads both files; what is damaged counts as nothing known.
func (l *Ledger) oldCounts() *ledgerCounts {
	var c ledgerCounts
	var err error
	if c.counts, err = readCounts(filepath.Join(l.folder, countsFile)); err != nil {
		c.counts = keptCounts{}
	}
	if c.rooms, err = readRooms(filepath.Join(l.folder, roomsFile)); err != nil {
		c.rooms = keptRooms{}
	}
	return &c
}

// keepCounts writes the counts unless they lie there already.
func (l *Ledger) keepCounts(c *ledgerCounts) error {
	if l.folder == "" {
		return nil
	}
	old := l.oldCounts()
	if !reflect.DeepEqual(old.rooms, c.rooms) {
		if err := l.keepJSON(roomsFile, c.rooms); err != nil {
			return err
		}
	}
	if !reflect.DeepEqual(old.counts, c.counts) {
		return l.keepJSON(countsFile, c.counts)
	}
	return nil
}

func (l *Ledger) keepJSON(name string, v any) error {
	data, err := json.Marshal(v)
	if err == nil {
		err = writeSealed(l.folder, name, data)
	}
	if err != nil {
		return fmt.Errorf("%w: %w", ErrNotKept, err)
	}
	return nil
}
