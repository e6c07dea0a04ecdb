package exchange

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"faultbook/kb/cases"
)

// Choice says what is exported.
type Choice struct {
	Book, Cases, Rooms bool // none for all; visits go with the rooms, old revisions with what they are of
	// Since leaves out cases that were opened before that day, and entries and
	// room sheets whose line `by` names an earlier day; zero for none.
	Since time.Time
}

func (c Choice) picks(r *Record) bool {
	all := !c.Book && !c.Cases && !c.Rooms
	kind := c.Book
	switch r.Kind {
	case KindCase:
		kind = c.Cases
	case KindRoom, KindVisit:
		kind = c.Rooms
	case KindHistory:
		of, _, _ := strings.Cut(r.ID, "/")
		return c.picks(&Record{Kind: of, ID: r.ID, Data: r.Data})
	}
	return (all || kind) && (c.Since.IsZero() || r.since(c.Since))
}

// Records gives what a data folder holds and the choice picks, sorted by path,
// and notes on the files that were left out. Nothing is changed; what lies in
// the wrong place is given the right one.
func Records(home string, c Choice) (list []Record, notes []string, err error) {
	if _, err := os.Stat(home); errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil
	}
	f, err := openFolder(home)
	if err != nil {
		return nil, nil, err
	}
	defer f.close()
	s, err := f.load(nil)
	if err != nil {
		return nil, nil, err
	}
	for _, key := range s.keys() {
		for _, r := range reduce(s.versions(key)) {
			if c.picks(&r) {
				list = append(list, r)
			}
		}
	}
	sortRecords(list)
	return list, s.notes(), nil
}

// Result is what a merge did, in records. Conflicts are those that the folder
// holds of the records that were merged, old ones too; never nil.
type Result struct {
	Added     int        `json:"added"`
	Updated   int        `json:"updated"`
	Unchanged int        `json:"unchanged"`
	Removed   int        `json:"removed"` // by Sync alone
	Conflicts []Conflict `json:"conflicts"`
	// Redacted says that a text that was removed elsewhere was removed here: what
	// is derived from the cases, such as an index, should go.
	Redacted bool `json:"redacted"`
	// Skipped are records that were not merged because a file that cannot be
	// read lies in their place; with the reason.
	Skipped []string `json:"skipped,omitempty"`
}

// Conflict is a record with versions that exclude each other.
type Conflict struct {
	Kind  string   `json:"kind"`
	ID    string   `json:"id"`
	Kept  string   `json:"kept"`  // path below the data folder of the one that is in place
	Aside []string `json:"aside"` // paths of the others
}

// tries is how often a merge begins anew when somebody else writes meanwhile.
const tries = 5

// Import merges records, as Read gives them, into the data folder. After an
// error or a kill each record is as before or merged; importing again goes on.
func Import(home string, list []Record) (Result, error) {
	return ImportShown(context.Background(), home, list, nil)
}

// ImportShown is Import that its context breaks off between two changes on disk,
// with the context's error, and that tells progress, where it is given, how many
// of all records are done.
func ImportShown(ctx context.Context, home string, list []Record, progress func(done, all int)) (Result, error) {
	f, err := openFolder(home)
	if err != nil {
		return Result{}, err
	}
	defer f.close()
	f.step, f.progress = ctx.Err, progress
	return f.merge(list)
}

func (f *folder) merge(list []Record) (Result, error) {
	theirs := byKey(list)
	seen := map[string]string{} // what was done to a record before the merge began anew
	for n := 1; ; n++ {
		s, err := f.load(func(id string) bool { return theirs[KindCase+"/"+id] != nil })
		if err != nil {
			return Result{}, err
		}
		r := Result{Conflicts: []Conflict{}}
		var list []change
		for _, key := range sortedKeys(theirs) {
			c := change{key: key, have: s.files[key], want: reduce(append(s.versions(key), theirs[key]...))}
			if !r.skip(s, c) {
				list = append(list, c)
			}
		}
		err = r.carryOutAll(f, list, seen)
		if err == nil || n == tries || !errors.Is(err, errChanged) {
			return r, err
		}
	}
}

// skip leaves a record alone whose place is taken by something else.
func (r *Result) skip(s *state, c change) bool {
	for _, w := range c.want {
		if why, ok := s.odd[w.Path]; ok {
			r.Skipped = append(r.Skipped, fmt.Sprintf("%s lies there but cannot be read and was left as it is: %s; move it away or mend it, and do this again", w.Path, why))
			return true
		}
	}
	return false
}

// atOnce is how many new records are written at a time: nearly all of that is
// waiting for the disk, which flushes several as quickly as one.
const atOnce = 8

// carryOutAll makes the changes, new records first, and counts those that were
// made; it ends at the first error. seen holds what was done before the merge
// began anew.
func (r *Result) carryOutAll(f *folder, list []change, seen map[string]string) error {
	f.begin(len(list))
	err := f.addAll(list)
	for i := range list {
		c := &list[i]
		if err != nil && !c.made {
			continue
		}
		if err == nil && !c.made && c.needed() {
			if err = f.apply(*c); err != nil {
				continue
			}
		}
		if !c.made {
			f.did()
		}
		r.count(*c, seen)
	}
	return err
}

// addAll writes the records of which nothing lies in the folder.
func (f *folder) addAll(list []change) error {
	var all sync.WaitGroup
	var bad atomic.Pointer[error]
	turns := make(chan struct{}, atOnce)
	for i := range list {
		c := &list[i]
		if len(c.have) > 0 || len(c.want) == 0 {
			continue
		}
		if bad.Load() != nil {
			break
		}
		turns <- struct{}{}
		all.Go(func() {
			if err := f.apply(*c); err != nil {
				bad.CompareAndSwap(nil, &err)
			} else {
				c.made = true
				f.did()
			}
			<-turns
		})
	}
	all.Wait()
	if err := bad.Load(); err != nil {
		return *err
	}
	return nil
}

// count counts a change that was made.
func (r *Result) count(c change, seen map[string]string) {
	done := "unchanged"
	switch {
	case !c.needed():
	case len(c.have) == 0:
		done = "added"
	case len(c.want) == 0:
		done = "removed"
	default:
		done = "updated"
	}
	r.Redacted = r.Redacted || done != "unchanged" && c.redacts()
	if before, ok := seen[c.key]; ok && done == "unchanged" {
		done = before
	}
	seen[c.key] = done
	switch done {
	case "added":
		r.Added++
	case "updated":
		r.Updated++
	case "removed":
		r.Removed++
	default:
		r.Unchanged++
	}
	if len(c.want) > 1 {
		r.Conflicts = append(r.Conflicts, conflictOf(c.want))
	}
}

// redacts reports whether a version that lay here goes and one comes from which
// more was removed.
func (c *change) redacts() bool {
	before, after := 0, 0
	for _, h := range c.have {
		before = max(before, bytes.Count(h.Data, []byte(cases.Removed)))
	}
	for _, w := range c.want {
		after = max(after, bytes.Count(w.Data, []byte(cases.Removed)))
	}
	return len(c.have) > 0 && after > before
}

func conflictOf(list []Record) Conflict {
	c := Conflict{Kind: list[0].Kind, ID: list[0].ID, Kept: list[0].Path}
	for _, r := range list[1:] {
		c.Aside = append(c.Aside, r.Path)
	}
	return c
}

// String says it in one line.
func (c Conflict) String() string {
	return fmt.Sprintf("conflict: %s %s: %s is in place, set aside: %s", c.Kind, c.ID, c.Kept, strings.Join(c.Aside, ", "))
}

// Remedy says how people settle it.
func (c Conflict) Remedy() string {
	end := fmt.Sprintf("`faultbook conflicts settle %s '%s'`", c.Kind, c.ID)
	if c.Kind == KindCase {
		return "two people went on with the call; " + end + " puts both sides into one"
	}
	if c.Kind == KindVisit {
		return "two people wrote down the visit of that day; let " + end + " take one, or write it down anew with `faultbook room visit`"
	}
	return "two people changed it; put what is right into the one in place and raise its revision, or let " + end + " take a whole one"
}

func byKey(list []Record) map[string][]Record {
	m := map[string][]Record{}
	for _, r := range list {
		m[r.key()] = append(m[r.key()], r)
	}
	return m
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
