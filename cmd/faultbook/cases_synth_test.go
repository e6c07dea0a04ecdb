package main

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// synth makes up closed calls by dice with a fixed seed: a symptom, a cause by
// the chances of the book, answers by its rows, and an end.
type synth struct {
	book     *kb.Book
	dice     *rand.Rand
	symptoms []*kb.Symptom
	priors   map[string][]kb.Weighted
	// cause turns a drawn cause into another, to make rooms unlike the book.
	cause func(symptom, drawn string) string
	// value turns a drawn answer into another, to contradict a row.
	value func(cause, question, drawn string) string
}

func newSynth(t testing.TB, seed uint64) *synth {
	t.Helper()
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	s := &synth{book: book, dice: rand.New(rand.NewPCG(seed, 1)), symptoms: kb.All[kb.Symptom](book), priors: map[string][]kb.Weighted{},
		cause: func(_, c string) string { return c }, value: func(_, _, v string) string { return v }}
	for _, y := range s.symptoms {
		s.priors[y.ID] = kb.Priors(book, y.ID, nil)
	}
	return s
}

// write puts n case files into the folder of a store, an hour apart.
func (s *synth) write(t testing.TB, dir string, n int) {
	t.Helper()
	start := time.Date(2019, 1, 7, 8, 0, 0, 0, time.UTC)
	for i := range n {
		c := s.call(start.Add(time.Duration(i) * 40 * time.Minute))
		writeCase(t, dir, c)
	}
}

func writeCase(t testing.TB, dir string, c *cases.Case) {
	t.Helper()
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	for _, v := range append([]any{c.Header}, anyEvents(c.Events)...) {
		if err := enc.Encode(v); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(dir, c.ID[:4], c.ID+".jsonl")
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, buf.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

func anyEvents(events []cases.Event) []any {
	list := make([]any, len(events))
	for i := range events {
		list[i] = events[i]
	}
	return list
}

// call makes one call up. Half of the callers' words are followed by the
// symptom that the agent sets.
func (s *synth) call(at time.Time) *cases.Case {
	y := s.symptoms[s.dice.IntN(len(s.symptoms))]
	cause := s.cause(y.ID, s.draw(s.priors[y.ID]))
	c := &cases.Case{Header: cases.Header{Version: cases.Version, ID: at.Format("20060102-150405") + "-synt", Opened: at}}
	add := func(e cases.Event) {
		at = at.Add(time.Duration(20+s.dice.IntN(60)) * time.Second)
		e.At = at
		c.Events = append(c.Events, e)
	}
	add(cases.Event{Say: y.Words[s.dice.IntN(len(y.Words))]})
	if s.dice.IntN(2) == 0 {
		add(cases.Event{Symptom: y.ID})
	}
	if s.dice.IntN(3) == 0 {
		add(cases.Event{Room: []string{"north-1", "north-2", "south-1"}[s.dice.IntN(3)]})
	}
	e := kb.Get[kb.Cause](s.book, cause)
	if e == nil {
		add(cases.Event{Handover: "visit"})
		return c
	}
	s.answers(e, add)
	s.end(e, add)
	return c
}

// answers gives five answers by the rows of the cause.
func (s *synth) answers(e *kb.Cause, add func(cases.Event)) {
	for _, i := range s.dice.Perm(len(e.Tells))[:min(5, len(e.Tells))] {
		q := kb.Get[kb.Question](s.book, e.Tells[i].Question)
		row, x := q.FullRow(e.Tells[i].Row), s.dice.Float64()
		for a, p := range row {
			if x -= p; x < 0 || a == len(row)-1 {
				add(cases.Event{Answer: &cases.Answer{Question: q.ID, Value: s.value(e.ID, q.ID, q.Answers[a].Value)}})
				break
			}
		}
	}
}

// end cures the call, closes it, or hands it over.
func (s *synth) end(e *kb.Cause, add func(cases.Event)) {
	cure, chance := s.cure(e)
	switch x := s.dice.IntN(10); {
	case x < 4 && s.dice.Float64() < chance:
		add(cases.Event{Tried: &cases.Tried{Remedy: cure, Result: cases.Cured}})
	case x < 8:
		add(cases.Event{Handover: "visit"})
		add(cases.Event{Close: &cases.Close{Cause: e.ID}})
	default:
		add(cases.Event{Handover: "visit"})
	}
}

// cure is the remedy of a caller that ends the cause most often, and how often;
// chance 0 for none.
func (s *synth) cure(e *kb.Cause) (id string, chance float64) {
	for _, r := range e.Remedies {
		if p := float64(r.CureChance()); p > chance && kb.Get[kb.Remedy](s.book, r.ID).Who == kb.WhoCaller {
			id, chance = r.ID, p
		}
	}
	return id, chance
}

func (s *synth) draw(list []kb.Weighted) string {
	x := s.dice.Float64()
	for _, w := range list {
		if x -= w.Chance; x < 0 {
			return w.ID
		}
	}
	return list[len(list)-1].ID
}
