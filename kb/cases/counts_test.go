package cases

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// madeUp gives n records by dice with a fixed seed.
func madeUp(n int, seed uint64) []Record {
	dice := rand.New(rand.NewPCG(seed, 2))
	start := time.Date(2024, 12, 1, 0, 0, 0, 0, time.UTC)
	list := make([]Record, n)
	for i := range list {
		at := start.Add(time.Duration(i) * 7 * time.Hour)
		list[i] = Record{ID: at.Format("20060102-150405") + "-tstx", Opened: at, Minutes: float64(dice.IntN(300)) / 7,
			End:     []string{EndOpen, EndCured, EndHandover, EndClosed}[dice.IntN(4)],
			Symptom: []string{"", "F-01", "F-02", "F-03"}[dice.IntN(4)], Cause: []string{"", "A", "B", "C"}[dice.IntN(4)],
			Room: []string{"", "north", "south"}[dice.IntN(3)]}
		if list[i].End == EndHandover {
			list[i].Handover = "visit"
		}
	}
	return list
}

// TestCountsOrder counts the same records in many orders, and in parts.
func TestCountsOrder(t *testing.T) {
	list := madeUp(400, 1)
	want := CountsOf(list)
	if want.Calls("F-01") < 10 || want.Of("F-01", "A") == 0 || want[""] != nil || want["F-01"][""] != 0 {
		t.Fatalf("the records say too little: %v", want)
	}
	dice := rand.New(rand.NewPCG(3, 3))
	for range 20 {
		dice.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		if diff := cmp.Diff(want, CountsOf(list)); diff != "" {
			t.Fatalf("another order (-want +got):\n%s", diff)
		}
	}
	for i := range list {
		if list[i].End == EndOpen {
			list[i].Cause = "Z"
		}
	}
	if got := CountsOf(list); got.Of("F-01", "Z") != 0 {
		t.Error("a call that goes on was counted")
	}
}

// desk is a store with a ledger beside it; judged lists what was judged.
type desk struct {
	*Store
	cache  string
	book   string
	judged []string
	times  int
}

func newLedgerDesk(t *testing.T) *desk {
	t.Helper()
	dir := t.TempDir()
	c := newClock()
	n := 0
	return &desk{cache: filepath.Join(dir, "cache"), book: "one", Store: NewStore(filepath.Join(dir, "cases"), func() time.Time {
		c.at = c.at.Add(time.Second)
		return c.at
	}).WithSuffix(func() string { n++; return fmt.Sprintf("t%d", n) })}
}

func (d *desk) ledger() *Ledger {
	return NewLedger(d.cache, d.Store, d.book, func(c *Case) Record {
		d.judged = append(d.judged, c.ID)
		r := c.Record()
		r.Judged = r.Symptom == "F-02" // as if the book had been asked
		return r
	})
}

// add makes a closed case.
func (d *desk) add(t *testing.T, symptom, cause string) *Case {
	t.Helper()
	c, err := d.Create()
	if err != nil {
		t.Fatal(err)
	}
	d.change(t, c, Event{Symptom: symptom})
	d.change(t, c, closed(cause))
	return c
}

// change adds an event. The folder gets a time of its own, as it does when
// calls are taken: a file system counts time in steps of some milliseconds,
// and the tests are faster than that.
func (d *desk) change(t *testing.T, c *Case, e Event) {
	t.Helper()
	if err := d.Append(c, e); err != nil {
		t.Fatal(err)
	}
	d.times++
	at := time.Date(2020, 1, 1, 0, 0, d.times, 0, time.UTC)
	if err := os.Chtimes(filepath.Dir(d.Path(c)), at, at); err != nil {
		t.Fatal(err)
	}
}

// all brings the ledger up to date and reports what it judged for that.
func (d *desk) all(t *testing.T) (list []Record, judged int) {
	t.Helper()
	d.judged = nil
	list, errs := d.ledger().Records()
	if len(errs) > 0 {
		t.Fatal(errs)
	}
	return list, len(d.judged)
}

func (d *desk) counts(t *testing.T) Counts {
	t.Helper()
	c, err := ReadCounts(d.cache, d.Store)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestLedger reads each case once, those that changed again, and forgets
// those that are gone.
func TestLedger(t *testing.T) {
	d := newLedgerDesk(t)
	if list, n := d.all(t); len(list) != 0 || n != 0 || len(d.counts(t)) != 0 {
		t.Errorf("without a case: %v", list)
	}
	a, b := d.add(t, "F-01", "A"), d.add(t, "F-02", "B")
	if list, n := d.all(t); len(list) != 2 || n != 2 || list[0].ID != a.ID || list[1].Cause != "B" {
		t.Fatalf("%d judged, records %+v", n, list)
	}
	if _, n := d.all(t); n != 0 {
		t.Errorf("nothing changed, yet %d were judged", n)
	}
	d.change(t, a, closed("C"))
	if _, n := d.all(t); n != 1 {
		t.Errorf("one changed, %d were judged", n)
	}
	if diff := cmp.Diff(Counts{"F-01": {"C": 1}, "F-02": {"B": 1}}, d.counts(t)); diff != "" {
		t.Errorf("counts (-want +got):\n%s", diff)
	}
	if err := os.Remove(d.Path(b)); err != nil {
		t.Fatal(err)
	}
	if list, _ := d.all(t); len(list) != 1 || d.counts(t).Calls("F-02") != 0 {
		t.Errorf("a case that is gone still counts: %v, %v", list, d.counts(t))
	}
}

// TestLedgerBook judges again, when the book changes, what needed the book.
func TestLedgerBook(t *testing.T) {
	d := newLedgerDesk(t)
	d.add(t, "F-01", "A")
	b := d.add(t, "F-02", "B")
	d.all(t)
	d.book = "two"
	if _, n := d.all(t); n != 1 || d.judged[0] != b.ID {
		t.Errorf("judged again: %v, want %s alone", d.judged, b.ID)
	}
	if _, n := d.all(t); n != 0 {
		t.Errorf("judged once more: %v", d.judged)
	}
}

// TestLedgerClock sets the times of the case files back: what is newer or
// older does not matter, only what is different.
func TestLedgerClock(t *testing.T) {
	d := newLedgerDesk(t)
	a := d.add(t, "F-01", "A")
	d.all(t)
	d.change(t, a, closed("B"))
	past := time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)
	if err := os.Chtimes(d.Path(a), past, past); err != nil {
		t.Fatal(err)
	}
	if _, n := d.all(t); n != 1 || d.counts(t).Of("F-01", "B") != 1 {
		t.Errorf("a file from the past was not read: %v", d.counts(t))
	}
}

// TestLedgerDamage damages each file of the cache in several ways: the records
// and the counts are as before, made anew.
func TestLedgerDamage(t *testing.T) {
	d := newLedgerDesk(t)
	for _, cause := range []string{"A", "A", "B"} {
		d.add(t, "F-01", cause)
	}
	want, _ := d.all(t)
	counts := d.counts(t)
	files, err := filepath.Glob(filepath.Join(d.cache, "calls-*", "*"))
	if err != nil || len(files) != 3 {
		t.Fatalf("files in the cache: %v, %v", files, err)
	}
	for _, path := range files {
		whole, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		flipped := append([]byte{}, whole...)
		flipped[len(flipped)-9] ^= 4
		for name, data := range map[string][]byte{"empty": nil, "cut": whole[:len(whole)/2], "a flipped bit": flipped,
			"not ours": []byte("hello\nworld\n"), "no line": []byte("hello"), "another format": append([]byte("x"), whole...)} {
			if err := os.WriteFile(path, data, 0o644); err != nil {
				t.Fatal(err)
			}
			if filepath.Base(path) == countsFile {
				if c, err := ReadCounts(d.cache, d.Store); err == nil || len(c) != 0 {
					t.Errorf("%s counts are read as %v, %v", name, c, err)
				}
			}
			got, _ := d.all(t)
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%s %s (-want +got):\n%s", name, filepath.Base(path), diff)
			}
			if diff := cmp.Diff(counts, d.counts(t)); diff != "" {
				t.Errorf("%s %s: counts (-want +got):\n%s", name, filepath.Base(path), diff)
			}
			if rooms, err := ReadRoomCounts(d.cache, d.Store); err != nil || len(rooms) != 0 {
				t.Errorf("%s %s: counts by room %v, %v", name, filepath.Base(path), rooms, err)
			}
		}
	}
}

// TestLedgerDamagedCases names each case file that cannot be used and goes on
// with the rest, also when it comes that way again.
func TestLedgerDamagedCases(t *testing.T) {
	d := newLedgerDesk(t)
	good, bad := d.add(t, "F-01", "A"), d.add(t, "F-01", "B")
	copied := filepath.Join(filepath.Dir(d.Path(good)), "20260105-090000-copy.jsonl")
	data, err := os.ReadFile(d.Path(good))
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.WriteFile(d.Path(bad), []byte("hello\n"), 0o644), os.WriteFile(copied, data, 0o644)); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		list, errs := d.ledger().Records()
		if len(list) != 1 || list[0].ID != good.ID || len(errs) != 2 {
			t.Fatalf("records %v, errors %v", list, errs)
		}
		if text := errors.Join(errs...).Error(); !strings.Contains(text, d.Path(bad)+":1: not a case file") || !strings.Contains(text, copied+":1: holds case "+good.ID) {
			t.Errorf("errors: %s", text)
		}
		if diff := cmp.Diff(Counts{"F-01": {"A": 1}}, d.counts(t)); diff != "" {
			t.Errorf("counts (-want +got):\n%s", diff)
		}
	}
}

// TestLedgerNotKept works without a cache folder and with one that cannot be
// written.
func TestLedgerNotKept(t *testing.T) {
	d := newLedgerDesk(t)
	d.add(t, "F-01", "A")
	d.cache = ""
	if list, n := d.all(t); len(list) != 1 || n != 1 {
		t.Errorf("without a folder: %v", list)
	}
	d.cache = filepath.Join(t.TempDir(), "a-file")
	if err := os.WriteFile(d.cache, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	list, errs := d.ledger().Records()
	if len(list) != 1 || len(errs) == 0 {
		t.Errorf("records %v, errors %v", list, errs)
	}
	for _, err := range errs {
		if !errors.Is(err, ErrNotKept) {
			t.Errorf("error %v", err)
		}
	}
}

// TestRefresh counts the case that was just closed without a look at other
// years, leaves a first build to another time where it is told so, and mends
// what is damaged.
func TestRefresh(t *testing.T) {
	d := newLedgerDesk(t)
	d.add(t, "F-01", "A")
	d.all(t)
	b := d.add(t, "F-01", "B")
	refresh := func(most int, want Counts, judged int) {
		t.Helper()
		d.judged = nil
		if err := d.ledger().Refresh(most); err != nil || len(d.judged) != judged {
			t.Errorf("judged %d, want %d; %v", len(d.judged), judged, err)
		}
		if diff := cmp.Diff(want, d.counts(t)); diff != "" {
			t.Errorf("counts (-want +got):\n%s", diff)
		}
	}
	refresh(1, Counts{"F-01": {"A": 1, "B": 1}}, 1)
	refresh(1, Counts{"F-01": {"A": 1, "B": 1}}, 0)
	d.change(t, b, closed("C"))
	refresh(1, Counts{"F-01": {"A": 1, "C": 1}}, 1)
	d.add(t, "F-02", "A")
	d.add(t, "F-02", "A")
	refresh(1, Counts{"F-01": {"A": 1, "C": 1}}, 0) // two wait: as before
	refresh(1, Counts{"F-01": {"A": 1, "C": 1}}, 0)
	refresh(0, Counts{"F-01": {"A": 1, "C": 1}, "F-02": {"A": 2}}, 2)
	d.book = "two"
	refresh(0, Counts{"F-01": {"A": 1, "C": 1}, "F-02": {"A": 2}}, 2)
	files, err := filepath.Glob(filepath.Join(d.cache, "calls-*", countsFile))
	if err != nil || len(files) != 1 {
		t.Fatalf("counts lie in %v, %v", files, err)
	}
	if err := os.WriteFile(files[0], []byte("{}"), 0o644); err != nil {
		t.Fatal(err)
	}
	refresh(1, Counts{"F-01": {"A": 1, "C": 1}, "F-02": {"A": 2}}, 0)
}

// TestLedgerTwoAtOnce lets several programs bring one ledger up to date while
// cases are added: each gets whole records, and the last look finds all.
func TestLedgerTwoAtOnce(t *testing.T) {
	d := newLedgerDesk(t)
	d.add(t, "F-01", "A")
	judge := func(c *Case) Record { return c.Record() }
	var group sync.WaitGroup
	for range 4 {
		group.Add(1)
		go func() {
			defer group.Done()
			for range 10 {
				list, errs := NewLedger(d.cache, d.Store, d.book, judge).Records()
				if len(errs) > 0 || len(list) == 0 {
					t.Errorf("records %v, errors %v", list, errs)
				}
				if c, err := ReadCounts(d.cache, d.Store); err != nil || c.Of("F-01", "A") == 0 {
					t.Errorf("counts %v, %v", c, err)
				}
			}
		}()
	}
	for range 10 {
		d.add(t, "F-01", "A")
	}
	group.Wait()
	if list, _ := d.all(t); len(list) != 11 || d.counts(t).Of("F-01", "A") != 11 {
		t.Errorf("%d records, counts %v", len(list), d.counts(t))
	}
	left, err := filepath.Glob(filepath.Join(d.cache, "*", temporary+"*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// TestRoomCounts counts by room, whatever the letter case of its name, and
// takes years over that did not change.
func TestRoomCounts(t *testing.T) {
	d := newLedgerDesk(t)
	for i, name := range []string{"hall", "Hall", "attic", ""} {
		c := d.add(t, "F-01", [...]string{"A", "B", "A", "A"}[i])
		if name != "" {
			d.change(t, c, Event{Room: name})
		}
	}
	want := map[string]Counts{"hall": {"F-01": {"A": 1, "B": 1}}, "attic": {"F-01": {"A": 1}}}
	for range 2 {
		if err := d.ledger().Refresh(0); err != nil {
			t.Fatal(err)
		}
		got, err := ReadRoomCounts(d.cache, d.Store)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	}
}
