package demo

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/room"
)

// The year of the calls, and how many each room has.
const (
	callsARoom = 14
	seed       = 7
)

// Start is the first day of the calls; they end 364 days later.
func Start() time.Time { return time.Date(2025, 4, 1, 0, 0, 0, 0, time.UTC) }

// Written says what Write has put in place.
type Written struct{ Rooms, Cases int }

// Write puts sheets and calls below a folder, which must be empty or new, as
// the program keeps them: rooms and cases.
func Write(dir string, b *kb.Book) (Written, error) {
	var out Written
	if list, err := os.ReadDir(dir); err == nil && len(list) > 0 {
		return out, fmt.Errorf("%s is not empty: name a new folder", dir)
	}
	files, err := fs.Sub(Sheets, "rooms")
	if err != nil {
		return out, fmt.Errorf("open the sheets: %w", err)
	}
	sheets, findings := room.Load(files, "rooms")
	if len(findings) > 0 {
		return out, fmt.Errorf("a sheet of the demo is broken: %v", findings[0])
	}
	if err := os.MkdirAll(filepath.Join(dir, "rooms"), 0o755); err != nil {
		return out, fmt.Errorf("make the folder: %w", err)
	}
	for _, s := range sheets {
		data, err := fs.ReadFile(files, s.ID+".yaml")
		if err != nil {
			return out, fmt.Errorf("read sheet: %w", err)
		}
		if err := cases.WriteFile(filepath.Join(dir, "rooms", s.ID+".yaml"), data, true); err != nil {
			return out, fmt.Errorf("write sheet: %w", err)
		}
		out.Rooms++
	}
	if err := cases.WriteFile(filepath.Join(dir, "first-call.yaml"), FirstCall, true); err != nil {
		return out, fmt.Errorf("write the first call: %w", err)
	}
	out.Cases, err = writeCalls(filepath.Join(dir, "cases"), b, sheets)
	return out, err
}

// writeCalls makes the year's calls up, in the order of their days.
func writeCalls(dir string, b *kb.Book, sheets []*room.Sheet) (int, error) {
	at := Start()
	dice := rand.New(rand.NewPCG(seed, 1))
	store := cases.NewStore(dir, func() time.Time { return at }).WithSuffix(func() string { return "demo" })
	n := callsARoom * len(sheets)
	bears := map[string]*room.Bearing{}
	for i := range n {
		day := Start().AddDate(0, 0, i*364/n)
		at = day.Add(time.Duration(8*60+dice.IntN(9*60)) * time.Minute).Add(time.Duration(i%60) * time.Second)
		s := sheets[dice.IntN(len(sheets))]
		if bears[s.ID] == nil {
			lasting := *s
			lasting.Works = nil
			bears[s.ID] = room.Bear(b, &lasting, Start())
		}
		c := caller{book: b, dice: dice, bears: bears[s.ID]}
		for k, e := range c.call() {
			var err error
			if k == 0 {
				c.file, err = store.Create(e)
			} else {
				at = at.Add(time.Duration(20+dice.IntN(70)) * time.Second)
				err = store.Append(c.file, e)
			}
			if err != nil {
				return i, fmt.Errorf("write a call of the demo: %w", err)
			}
		}
	}
	return n, nil
}
