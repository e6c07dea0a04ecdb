package call

import (
	"faultbook/kb"
	"faultbook/kb/cases"
)

// MovedCalls is how many calls are played again to see which questions helped.
const MovedCalls = 2000

// Moves plays the newest ended calls again, at most so many, to see which answers
// changed the likeliest cause.
func Moves(desk *Desk, list []cases.Record, most int) (moves []cases.Move, replayed int) {
	judge := NewJudge(desk)
	for i := len(list) - 1; i >= 0 && replayed < most; i-- {
		if !list[i].Ended() {
			continue
		}
		if file, err := desk.Store.Load(list[i].ID); err == nil { // gone meanwhile otherwise
			moves = append(moves, judge.Moves(file)...)
			replayed++
		}
	}
	return moves, replayed
}

// Trade tells the statistics what they must know of the book.
func Trade(desk *Desk) cases.Trade {
	judge := NewJudge(desk)
	type key struct {
		symptom    string
		technician bool
	}
	type minutes struct {
		expected float64
		known    bool
	}
	kept := map[key]minutes{}
	handover := func(id string) kb.Handover {
		if h := kb.Get[kb.Handover](desk.Book, id); h != nil {
			return *h
		}
		return kb.Handover{}
	}
	return cases.Trade{
		Title: func(id string) string { return TitleOf(desk.Book, id) },
		Visit: func(id string) bool { return handover(id).Visit },
		Cost:  func(id string) float64 { return handover(id).Minutes },
		Expected: func(symptom string, technician bool) (float64, bool) {
			k := key{symptom, technician}
			m, ok := kept[k]
			if !ok {
				m.expected, m.known = judge.Expected(symptom, technician)
				kept[k] = m
			}
			return m.expected, m.known
		},
		Entries: usable(desk.Book),
	}
}

// usable are the entries that a call can use.
func usable(book *kb.Book) []cases.UnusedEntry {
	var list []cases.UnusedEntry
	for _, kind := range []kb.Kind{kb.KindSymptom, kb.KindCause, kb.KindQuestion, kb.KindRemedy, kb.KindHandover} {
		for _, id := range book.IDs(kind) {
			for _, e := range book.Find(id) {
				if h := kb.HeadOf(e); h.Kind == kind {
					list = append(list, cases.UnusedEntry{Kind: string(kind), ID: id, Title: h.Title})
				}
			}
		}
	}
	return list
}
