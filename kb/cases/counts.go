package cases

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
)

// Counts is how many closed cases ended in a cause, by symptom and cause. It
// depends on the set of cases alone, never on their order.
type Counts map[string]map[string]int

// CountsOf counts the records that have ended and whose symptom and cause are
// known.
func CountsOf(list []Record) Counts {
	c := Counts{}
	for i := range list {
		if r := &list[i]; r.Ended() && r.Symptom != "" && r.Cause != "" {
			c.add(r.Symptom, r.Cause, 1)
		}
	}
	return c
}

func (c Counts) add(symptom, cause string, n int) {
	if c[symptom] == nil {
		c[symptom] = map[string]int{}
	}
	c[symptom][cause] += n
}

// Of gives the closed cases of a symptom that ended in the cause; it fits
// kb.Setting.Counts.
func (c Counts) Of(symptom, cause string) float64 { return float64(c[symptom][cause]) }

// Calls is the number of closed cases of a symptom whose cause is known.
func (c Counts) Calls(symptom string) int {
	n := 0
	for _, k := range c[symptom] {
		n += k
	}
	return n
}

// countsFile keeps the counts of each year, so that a call can begin with
// them: it reads this one small file, however many cases there are.
const countsFile = "counts.json"

// keptCounts is what lies in it.
type keptCounts struct {
	Book  string               `json:"book"` // by which it was judged
	Years map[string]yearCount `json:"years"`
}

// yearCount are the counts of a year. Stamp changes with the folder of the
// year: whenever this program writes a case there, as it puts a new file in
// place each time. A file that is changed in its place is found by Records.
type yearCount struct {
	Stamp  string `json:"stamp"`
	Counts Counts `json:"counts"`
}

// ReadCounts gives the counts as they were when the ledger in the folder was
// brought up to date last; it looks at no case. Without a ledger they are
// empty; a damaged file is an error that may be ignored, as the next
// Ledger.Records or Refresh writes it anew.
func ReadCounts(folder string, s *Store) (Counts, error) {
	kept, err := readCounts(filepath.Join(ledgerFolder(folder, s), countsFile))
	sum := Counts{}
	for _, y := range kept.Years {
		sum.join(y.Counts)
	}
	return sum, err
}

// join adds other counts.
func (c Counts) join(more Counts) {
	for symptom, causes := range more {
		for cause, n := range causes {
			c.add(symptom, cause, n)
		}
	}
}

func readCounts(path string) (keptCounts, error) {
	var kept keptCounts
	ok, err := readKept(path, &kept)
	if err != nil || !ok || kept.Years == nil {
		return keptCounts{Years: map[string]yearCount{}}, err
	}
	return kept, nil
}

// readKept reads a sealed file of the ledger into v; false where there is none.
func readKept(path string, v any) (bool, error) {
	data, err := ReadPlain(path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, fmt.Errorf("read the counts of past calls: %w", err)
	}
	if data, err = unseal(data); err == nil {
		err = json.Unmarshal(data, v)
	}
	if err != nil {
		return false, fmt.Errorf("counts of past calls, %s: %w", path, errDamaged)
	}
	return true, nil
}
