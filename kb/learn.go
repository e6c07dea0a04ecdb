package kb

import "sort"

// Learnt is one cause under one symptom: its chance by the book, and what the
// closed calls make of it.
type Learnt struct {
	Symptom string  `json:"symptom"`
	Cause   string  `json:"cause"`
	Book    float64 `json:"book"`       // 0..1, by the authored weights
	Now     float64 `json:"now"`        // 0..1, with the calls
	Count   int     `json:"calls"`      // closed calls that ended in the cause
	Calls   int     `json:"calls_here"` // closed calls of the symptom with a known cause
}

// Learn compares the book with the counts for every cause of a symptom, the
// largest change first, ties by id. The book's own weights count as 20 calls a
// symptom, see Priors. Counts of causes that the book does not list under the
// symptom are left out, here as there.
func Learn(b *Book, symptom string, counts func(symptom, cause string) float64) []Learnt {
	book, now := Priors(b, symptom, nil), Priors(b, symptom, counts)
	total := 0
	list := make([]Learnt, len(book))
	for i := range book {
		n := int(counts(symptom, book[i].ID))
		total += n
		list[i] = Learnt{symptom, book[i].ID, book[i].Chance, now[i].Chance, n, 0}
	}
	for i := range list {
		list[i].Calls = total
	}
	sort.SliceStable(list, func(i, j int) bool {
		a, b := change(list[i]), change(list[j])
		return a > b || a == b && list[i].Cause < list[j].Cause
	})
	return list
}

func change(l Learnt) float64 { return max(l.Now-l.Book, l.Book-l.Now) }

// EnoughCalls is how many closed calls of a symptom a group of rooms, such as
// a site or a type of room, must have before its own counts are used: as many
// as the book's weights count for. A share out of fewer is uncertain by more
// than 11 points (one standard error of one half in 20 calls), so a group
// below it would learn noise.
const EnoughCalls = pseudoCalls

// GroupCounts narrows counts to a group of rooms, symptom by symptom: where
// the group has EnoughCalls, the chances that all other calls make of the book
// count as 20 calls and the group's own are added to them; where it has not,
// the counts of all calls stand. all and group give the counts of all calls,
// the group's among them, and of the group's; used reports for which symptoms
// the group is used.
func GroupCounts(b *Book, all, group func(symptom, cause string) float64) (counts func(symptom, cause string) float64, used func(symptom string) bool) {
	sum := func(symptom string, of func(symptom, cause string) float64) float64 {
		n := 0.0
		for _, w := range Priors(b, symptom, nil) {
			n += of(symptom, w.ID)
		}
		return n
	}
	scale := map[string]float64{} // by symptom; 0 where the group is not used
	for _, s := range All[Symptom](b) {
		if sum(s.ID, group) >= EnoughCalls {
			// Priors divides by the book's calls; scaled so, the group weighs
			// against 20 calls and not against 20 and all others.
			scale[s.ID] = (pseudoCalls + sum(s.ID, all) - sum(s.ID, group)) / pseudoCalls
		}
	}
	counts = func(symptom, cause string) float64 {
		if scale[symptom] == 0 {
			return all(symptom, cause)
		}
		return all(symptom, cause) + (scale[symptom]-1)*group(symptom, cause)
	}
	return counts, func(symptom string) bool { return scale[symptom] > 0 }
}

// Unlisted is a cause that closed calls had under a symptom where the book
// does not list it, so that no call about it can find it.
type Unlisted struct {
	Symptom string `json:"symptom"`
	Cause   string `json:"cause"`
	Calls   int    `json:"calls"`
	File    string `json:"file"`
	Now     string `json:"now"` // the line of the entry as it stands
	New     string `json:"new"` // and as it would be
}

// NotListed gives the causes of the book that the counts hold under symptoms
// that do not list them, the most calls first, ties by ids.
func NotListed(b *Book, counts func(symptom, cause string) float64) []Unlisted {
	list := []Unlisted{}
	for _, s := range All[Symptom](b) {
		for _, c := range All[Cause](b) {
			n := int(counts(s.ID, c.ID))
			if n == 0 || c.frequencyIn(s.ID) != "" {
				continue
			}
			wider := append(append([]SymptomRef{}, c.Symptoms...), SymptomRef{ID: s.ID})
			list = append(list, Unlisted{s.ID, c.ID, n, b.File(c), symptomsLine(c.Symptoms), symptomsLine(wider)})
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Calls > list[j].Calls })
	return list
}
