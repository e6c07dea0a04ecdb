package demo

import (
	"math/rand/v2"

	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/room"
)

// caller makes up one call of a room after the other.
type caller struct {
	book  *kb.Book
	dice  *rand.Rand
	bears *room.Bearing
	file  *cases.Case
}

// rung are the symptoms that the demo's callers ring about, the common ones
// more often.
func rung() []string {
	return []string{"F-01", "F-01", "F-01", "F-02", "F-03", "F-04", "F-06", "F-06", "F-07", "F-08", "F-08", "F-10", "F-10", "F-10", "F-11",
		"F-12", "F-13", "F-13", "F-14", "F-15", "F-16", "F-17", "F-18", "F-20", "F-21"}
}

// call is the events of one call.
func (c *caller) call() []cases.Event {
	symptom := rung()[c.dice.IntN(len(rung()))]
	y := kb.Get[kb.Symptom](c.book, symptom)
	events := []cases.Event{{Room: c.bears.Sheet.ID}, {Say: y.Words[c.dice.IntN(len(y.Words))]}, {Symptom: symptom}}
	e := kb.Get[kb.Cause](c.book, c.cause(symptom))
	if e == nil {
		return append(events, cases.Event{Handover: "visit"})
	}
	events = append(events, c.answers(e)...)
	return append(events, c.end(e)...)
}

// cause draws one as the sheet of the room lets expect it.
func (c *caller) cause(symptom string) string {
	sum := 0.0
	list := kb.Priors(c.book, symptom, nil)
	for i, w := range list {
		if f, ok := c.bears.Weights[w.ID]; ok {
			list[i].Chance *= f
		}
		if c.bears.Absent[w.ID] != "" {
			list[i].Chance = 0
		}
		sum += list[i].Chance
	}
	x := c.dice.Float64() * sum
	for _, w := range list {
		if x -= w.Chance; x < 0 {
			return w.ID
		}
	}
	return list[len(list)-1].ID
}

// mostAnswers is how many answers a made-up call has.
const mostAnswers = 4

// answers are drawn from the rows of the cause.
func (c *caller) answers(e *kb.Cause) []cases.Event {
	var events []cases.Event
	for _, i := range c.dice.Perm(len(e.Tells))[:min(mostAnswers, len(e.Tells))] {
		q := kb.Get[kb.Question](c.book, e.Tells[i].Question)
		if q == nil || q.Who != kb.WhoCaller {
			continue
		}
		x := c.dice.Float64()
		for a, p := range q.FullRow(e.Tells[i].Row) {
			if x -= p; x < 0 {
				events = append(events, cases.Event{Answer: &cases.Answer{Question: q.ID, Value: q.Answers[a].Value}})
				break
			}
		}
	}
	return events
}

// end cures the call on the line where a caller can, else hands it over; most
// calls are closed with their cause.
func (c *caller) end(e *kb.Cause) []cases.Event {
	for _, r := range e.Remedies {
		if remedy := kb.Get[kb.Remedy](c.book, r.ID); remedy != nil && remedy.Who == kb.WhoCaller && c.dice.Float64() < float64(r.CureChance()) {
			return []cases.Event{{Tried: &cases.Tried{Remedy: r.ID, Result: cases.Cured}}, {Close: &cases.Close{Cause: e.ID}}}
		}
	}
	events := []cases.Event{{Handover: e.Owner}}
	if c.dice.IntN(10) > 0 {
		events = append(events, cases.Event{Close: &cases.Close{Cause: e.ID}})
	}
	return events
}
