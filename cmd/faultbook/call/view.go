package call

import (
	"fmt"
	"time"

	"faultbook/diagnose"
	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/room"
)

// view is everything that follows from the events of a call.
type view struct {
	call   *Call
	words  []string // what the caller said
	who    kb.Who
	set    string            // the symptom set by the agent, "" for none
	before string            // the symptom before a second fault was looked for
	blank  bool              // nobody can say what the symptom is
	again  bool              // the symptom must be asked again, after a found cause
	well   bool              // all is well after a cure, nothing else is wrong
	turned map[string]bool   // symptoms that were looked at already
	facts  []cases.Answer    // in the order they came; the last answer counts
	open   map[string]bool   // questions that could not be told
	said   map[string]int    // question to how many times somebody had spoken when it was answered or could not be
	tried  map[string]string // remedy to result
	order  []cases.Tried     // in the order they were tried
	found  []string          // causes mended so far
	sure   float64           // chance that the last found cause is the one mended
	room   string            // id of the sheet that was named, NoRoom for none
	borne  bool              // bears was looked up
	bears  *room.Bearing     // what the sheet means, nil without
	place  string            // where the last step was done

	evidence []cases.Evidence // in the order in which it came
	measured map[string]int   // question to the evidence that answers it
	fresh    int              // the evidence that came last of all, -1 for none

	blanks   int // what could not be told or done in all
	blankRow int // the same, in a row up to now

	meeting *float64 // minutes until the meeting, when it was said
	// meetingHeard is the same as the words have it, until the agent sets it.
	meetingHeard *float64
	meetingAt    time.Time // when that was
	workaround   string    // "", works, no-help
	notes        []string
	handover     string
	closed       *cases.Close
	cured        bool
	last         time.Time

	compiled *kb.Compiled
	state    diagnose.State
	belief   diagnose.Belief
	plan     diagnose.Plan
	planned  bool
}

// view computes the view from the events that still count.
func (c *Call) view() *view {
	v := &view{call: c, who: kb.WhoCaller, open: map[string]bool{}, said: map[string]int{}, tried: map[string]string{}, turned: map[string]bool{}, last: c.file.Opened,
		measured: map[string]int{}, fresh: -1}
	for _, e := range c.file.Effective() {
		v.take(e)
	}
	for _, e := range c.file.Events {
		v.last = e.At
	}
	return v
}

func (v *view) take(e cases.Event) {
	if e.Note == "" && e.Heard == "" {
		v.fresh = -1
	}
	v.blankness(e)
	switch {
	case e.Say != "":
		v.words = append(v.words, e.Say)
		if m, ok := index.MeetingIn(e.Say); ok && v.meeting == nil {
			v.meetingHeard, v.meetingAt = &m, e.At
		}
	case e.Symptom != "":
		v.goOn()
		v.turned[e.Symptom] = true
		v.set, v.before, v.again, v.blank = e.Symptom, e.Symptom, false, false
	case e.Answer != nil:
		v.fact(*e.Answer)
	case e.Unknown == AskSymptom:
		v.blank, v.well = true, v.cured
	case e.Unknown != "":
		v.drop(e.Unknown)
		v.open[e.Unknown] = true
		v.said[e.Unknown] = len(v.words)
		v.moveToQuestion(e.Unknown)
	case e.Tried != nil:
		v.trial(*e.Tried)
	case e.Who != "":
		v.who = kb.Who(e.Who)
	case e.Meeting != nil:
		v.meeting, v.meetingAt, v.meetingHeard = e.Meeting, e.At, nil
	case e.Workaround != "":
		v.workaround = e.Workaround
	case e.Note != "":
		v.notes = append(v.notes, e.Note)
	case e.Room != "":
		v.room = e.Room
	case e.Handover != "":
		v.handover = e.Handover
	case e.Close != nil:
		v.closed = e.Close
	case e.Evidence != nil:
		v.bring(*e.Evidence)
	}
}

// bring takes the answers of evidence, which are trusted as an instrument's
// until somebody answers otherwise.
func (v *view) bring(e cases.Evidence) {
	v.evidence = append(v.evidence, e)
	v.fresh = len(v.evidence) - 1
	for _, a := range e.Answers {
		v.fact(cases.Answer{Question: a.Question, Value: a.Value, From: e.From})
		v.measured[a.Question] = v.fresh
	}
}

// fact notes an answer; a later one to the same question replaces it.
func (v *view) fact(a cases.Answer) {
	v.drop(a.Question)
	delete(v.open, a.Question)
	v.said[a.Question] = len(v.words)
	v.facts = append(v.facts, a)
	if a.From == "" {
		v.moveToQuestion(a.Question)
	}
}

func (v *view) moveToQuestion(id string) {
	if q := kb.Get[kb.Question](v.call.desk.Book, id); q != nil && q.Place != "" {
		v.place = q.Place
	}
}

func (v *view) drop(question string) {
	delete(v.measured, question)
	for i, f := range v.facts {
		if f.Question == question {
			v.facts = append(v.facts[:i:i], v.facts[i+1:]...)
			return
		}
	}
}

// trial notes what came of a remedy. One that changed something without
// curing has found a cause, and the search goes on for a second.
func (v *view) trial(t cases.Tried) {
	if r := kb.Get[kb.Remedy](v.call.desk.Book, t.Remedy); r != nil && r.Place != "" {
		v.place = r.Place
	}
	switch t.Result {
	case cases.Cured:
		v.found = append(v.found, v.likeliestCured(t.Remedy))
		v.cured, v.well = true, false
		v.turned[v.main()] = true
	case cases.Changed:
		v.second(v.likeliestCured(t.Remedy))
	}
	v.compiled = nil // what was known then is not what is known now
	v.tried[t.Remedy] = t.Result
	v.order = append(v.order, t)
}

// likeliestCured is the cause that the remedy most probably mended, as the
// belief stood before it; "" where the remedy cures nothing in play.
func (v *view) likeliestCured(remedy string) string {
	if !v.think() {
		return ""
	}
	for r, rem := range v.compiled.Remedies {
		if rem.ID != remedy {
			continue
		}
		sum := map[string]float64{}
		best, total := "", 0.0
		for c, p := range v.belief.P {
			group := v.compiled.Model.Causes[c].Group
			x := p * v.compiled.Model.Repairs[r].Fixes[c]
			sum[group] += x
			total += x
			if sum[group] > sum[best] {
				best = group
			}
		}
		v.sure = sum[best] / total
		return best
	}
	return ""
}

// second takes a cause as found. Facts that it explains may no longer hold
// and are asked again where they matter; the symptom is asked again.
func (v *view) second(cause string) {
	if cause != "" {
		v.found = append(v.found, cause)
	}
	v.forget(cause)
	if list := v.symptoms(); len(list) > 0 {
		v.before = list[0].ID
	}
	v.again, v.set, v.blank = true, "", false
}

// forget takes back the answers that a found cause explains; they may no longer
// hold.
func (v *view) forget(cause string) {
	if e := kb.Get[kb.Cause](v.call.desk.Book, cause); e != nil {
		for _, t := range e.Tells {
			v.drop(t.Question)
		}
	}
}

// modelCache keeps the last compiled model: between two answers the setting
// seldom changes.
type modelCache struct {
	key      string
	compiled *kb.Compiled
}

// think compiles the model for what is known, fills the state and computes
// the belief. It reports false where no symptom can be told yet.
func (v *view) think() bool {
	symptoms := v.symptoms()
	if len(symptoms) == 0 {
		v.compiled = nil
		return false
	}
	compiled, err := v.compile(symptoms)
	if err != nil {
		return false
	}
	v.compiled = compiled
	v.fillState()
	v.belief = compiled.Model.Believe(v.state)
	return true
}

func (v *view) compile(symptoms []kb.Weighted) (*kb.Compiled, error) {
	excluded, instrument := map[string]bool{}, map[string]bool{}
	key := string(v.who)
	for _, s := range symptoms {
		key += " " + s.ID + "=" + formatChance(s.Chance)
	}
	for _, f := range v.found {
		excluded[f] = true
		key += " -" + f
	}
	for q := range v.measured {
		instrument[q] = true
	}
	for _, q := range sortedIDs(instrument) {
		key += " =" + q
	}
	set := kb.Setting{Symptoms: symptoms, Who: v.who, Counts: v.call.desk.Counts, Excluded: excluded, Instrument: instrument, Told: v.told()}
	key += v.roomSetting(&set)
	if len(set.Told.Unknown) > 0 {
		key += fmt.Sprint(set.Told) // fmt prints maps in the order of their keys
	}
	if v.call.model.key == key {
		return v.call.model.compiled, nil
	}
	compiled, err := kb.Compile(v.call.desk.Book, set)
	if err != nil {
		return nil, err
	}
	v.call.model = modelCache{key, compiled}
	return compiled, nil
}

func (v *view) fillState() {
	m := v.compiled.Model
	v.state = m.NewState()
	v.state.Place = v.compiled.Place(v.place)
	facts := v.answered()
	for _, f := range v.sheetFacts() {
		facts[f.Question] = f.Value
	}
	for i, q := range v.compiled.Questions {
		if value, ok := facts[q.ID]; ok {
			v.state.Answers[i] = int16(v.compiled.Answer(i, value))
		} else if v.open[q.ID] {
			v.state.Answers[i] = diagnose.Unknown
		}
	}
	for i, r := range v.compiled.Remedies {
		switch v.tried[r.ID] {
		case cases.Same:
			v.state.Trials[i] = diagnose.Failed
		case cases.CouldNot, cases.Changed, cases.Cured:
			v.state.Trials[i] = diagnose.CouldNot
		}
	}
	v.state = v.compiled.Closed(v.state)
}

// told counts how the person on the line got on with the questions.
func (v *view) told() kb.Told {
	t := kb.Told{Answered: map[string]int{}, Unknown: map[string]int{}}
	place := func(id string) (string, bool) {
		q := kb.Get[kb.Question](v.call.desk.Book, id)
		if q == nil {
			return "", false
		}
		return q.Place, true
	}
	for _, f := range v.facts {
		if p, ok := place(f.Question); ok && f.From == "" {
			t.Answered[p]++
		}
	}
	for id := range v.open {
		if p, ok := place(id); ok {
			t.Unknown[p]++
		}
	}
	return t
}

// keepSymptom is the chance below which a symptom is left out of the model;
// the agent can still set it, and further words bring it back.
const keepSymptom = 0.02

// understood is the chance that the likeliest symptom must have; below it the
// words said nothing and the symptom is asked.
const understood = 0.15

// symptoms are those in play with their chances, likeliest first.
func (v *view) symptoms() []kb.Weighted {
	if v.set != "" {
		return []kb.Weighted{{ID: v.set, Chance: 1}}
	}
	if v.again && v.blank && v.before != "" {
		return []kb.Weighted{{ID: v.before, Chance: 1}}
	}
	if v.again || len(v.words) == 0 {
		return nil
	}
	heard := v.call.listen(v.words)
	if len(heard.Symptoms) == 0 || heard.Symptoms[0].Chance < understood {
		return nil
	}
	var list []kb.Weighted
	for _, s := range heard.Symptoms {
		if s.Chance >= keepSymptom && len(list) < 6 {
			list = append(list, kb.Weighted{ID: s.ID, Chance: s.Chance})
		}
	}
	return list
}

// listen hears all words together and keeps what it heard.
func (c *Call) listen(words []string) index.Heard {
	all := ""
	for _, w := range words {
		all += w + ". "
	}
	if h, ok := c.heard[all]; ok {
		return h
	}
	h := c.desk.Listen(all)
	if c.heard == nil {
		c.heard = map[string]index.Heard{}
	}
	c.heard[all] = h
	return h
}
