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
	none := func(string, string) float64 { return 0 }
	counts, step := StepCounts(b, all, group, none, none)
	return counts, func(symptom string) bool { return step(symptom) != StepAll }
}

// The groups of rooms whose calls the chances of a symptom rest on, see
// StepCounts.
const (
	StepAll    = iota // all rooms
	StepWide          // the wide group, such as a site
	StepNarrow        // the narrow group, such as the rooms of a type
)

// StepCounts narrows counts in two steps, as GroupCounts does in one: from all
// rooms to a wide group, and from there to a narrow one, which need not lie
// within it. What each step makes of the book counts as 20 calls for the next, a
// group without EnoughCalls is passed over, and no call counts twice: it counts
// with the narrowest group that is used. all, wide, narrow and both give the
// counts of all calls, of the groups, and of the rooms that are in both; step is
// the narrowest group that is used for a symptom.
func StepCounts(b *Book, all, wide, narrow, both func(symptom, cause string) float64) (counts func(symptom, cause string) float64, step func(symptom string) int) {
	steps := map[string]steps{}
	for _, s := range All[Symptom](b) {
		sum := func(of func(symptom, cause string) float64) float64 {
			n := 0.0
			for _, w := range Priors(b, s.ID, nil) {
				n += of(s.ID, w.ID)
			}
			return n
		}
		steps[s.ID] = stepsOf(sum(all), sum(wide), sum(narrow), sum(both))
	}
	counts = func(symptom, cause string) float64 {
		k := steps[symptom]
		n := all(symptom, cause)
		if k.narrow > 0 {
			n += (k.narrow - 1) * narrow(symptom, cause)
		}
		if k.wide > 0 {
			n += (k.wide - 1) * wide(symptom, cause)
		}
		if k.narrow > 0 && k.wide > 0 {
			n -= (k.wide - 1) * both(symptom, cause)
		}
		return n
	}
	return counts, func(symptom string) int {
		switch k := steps[symptom]; {
		case k.narrow > 0:
			return StepNarrow
		case k.wide > 0:
			return StepWide
		}
		return StepAll
	}
}

// steps are what a call of each group counts for; 0 where it is not used.
type steps struct{ wide, narrow float64 }

// stepsOf scales the groups by their numbers of calls. Priors adds counts to the
// book's 20 calls; multiplied so, a group weighs against 20 calls of what lies
// under it, and not against all calls there.
func stepsOf(all, wide, narrow, both float64) steps {
	var k steps
	rest, ownWide := pseudoCalls+all, wide // without the groups; of the wide one alone
	if narrow >= EnoughCalls {
		rest -= narrow
		ownWide -= both
	}
	under := rest
	if wide >= EnoughCalls {
		rest -= ownWide
		k.wide = rest / pseudoCalls
		under = rest + k.wide*ownWide
	}
	if narrow >= EnoughCalls {
		k.narrow = under / pseudoCalls
	}
	return k
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
