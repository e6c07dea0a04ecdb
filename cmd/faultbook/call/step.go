package call

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"faultbook/diagnose"
	"faultbook/kb"
)

// step is what to do now; right after evidence its reason says what that
// changed.
func (v *view) step() Step {
	s := v.next()
	if line := v.moved(v.fresh); line != "" && s.Kind != StepDone {
		s.Why = line + " " + s.Why
	}
	return v.dress(s)
}

func (v *view) next() Step {
	switch {
	case v.closed != nil || v.handover != "":
		return v.doneStep()
	case v.cured:
		if list := v.also(); !v.well && len(list) > 0 {
			return v.alsoStep(list)
		}
		return v.doneStep()
	}
	if s, ok := v.stopStep(); ok {
		return s
	}
	if v.compiled == nil && !v.think() {
		if v.blank {
			return v.handoverStep(v.fallback(), nil, "Nobody on the line can say what is wrong, so somebody has to look.")
		}
		return v.symptomStep()
	}
	if v.belief.None {
		return v.handoverStep(v.fallback(), nil, "What is known leaves nothing that this book knows.")
	}
	if err := v.makePlan(); err != nil {
		return v.handoverStep(v.fallback(), nil, "No further step can be planned.")
	}
	if v.meetingFirst() {
		return v.workaroundStep(fmt.Sprintf("Mending it takes about %s, the meeting begins in %s.", minutesText(v.plan.Expected), minutesText(v.meetingLeft())))
	}
	if v.tired() {
		return v.tiredStep()
	}
	return v.planned1()
}

// makePlan plans once for the view.
func (v *view) makePlan() error {
	if v.planned {
		return nil
	}
	m := v.compiled.Model
	p, err := m.Plan(v.state, diagnose.Options{Budget: m.CallBudget()})
	if err != nil {
		return fmt.Errorf("plan the next step: %w", err)
	}
	v.plan, v.planned = p, true
	return nil
}

// planned1 words the first step of the plan.
func (v *view) planned1() Step {
	a := v.plan.First
	switch a.Kind {
	case diagnose.Ask:
		if s, ok := v.sumStep(a.Index); ok {
			return s
		}
		return v.askStep(a.Index)
	case diagnose.Try:
		return v.tryStep(a.Index)
	}
	return v.handoverStep(v.compiled.Handovers[a.Index], a.Extras, "")
}

func (v *view) askStep(i int) Step {
	q := v.compiled.Questions[i]
	s := Step{Kind: StepAsk, ID: q.ID, Title: q.Title, Say: q.Ask, Look: q.Look, Technical: q.Technical,
		Place: q.Place, Minutes: q.Minutes, Why: v.whyAsk(i), Cautions: []Caution{}}
	if v.who == kb.WhoTechnician && q.Technical != "" {
		s.Say, s.Look = q.Technical, ""
	}
	for _, a := range q.Answers {
		s.Answers = append(s.Answers, Option{a.Value, a.Say})
	}
	return s
}

// results are the answers to a remedy.
func results() []Option {
	return []Option{{"cured", "Yes, it works now"}, {"changed", "Something changed, but it is not right yet"},
		{"same", "No change"}, {"could-not", "Could not do it"}}
}

func (v *view) tryStep(i int) Step {
	r := v.compiled.Remedies[i]
	return Step{Kind: StepTry, ID: r.ID, Title: r.Title, Say: r.Say, Steps: r.Steps, Check: r.Check, Back: r.Undo,
		Technical: r.Technical, Place: r.Place, Minutes: r.Minutes, Why: v.whyTry(i), Answers: results(),
		Cautions: v.cautions(r.Cautions), Parts: v.partTitles(r.Parts)}
}

func (v *view) handoverStep(h *kb.Handover, extras []int, why string) Step {
	s := Step{Kind: StepHandover, ID: h.ID, Title: h.Title, Say: h.Say, Minutes: h.Minutes, Why: why,
		Answers: []Option{}, Parts: v.partTitles(v.extraParts(h, extras))}
	if why == "" {
		s.Why = v.whyHandover()
	}
	s.Cautions = v.cautions(v.causeCautions())
	return s
}

// extraParts names the parts to take along.
func (v *view) extraParts(h *kb.Handover, extras []int) []string {
	if v.compiled == nil {
		return nil
	}
	for i, other := range v.compiled.Handovers {
		if other != h {
			continue
		}
		var ids []string
		for _, x := range extras {
			if id := v.compiled.Model.Finals[i].Extras[x].ID; !strings.HasPrefix(id, kb.BriefPrefix) {
				ids = append(ids, id)
			}
		}
		return ids
	}
	return nil
}

func (v *view) partTitles(ids []string) []string {
	var list []string
	for _, id := range ids {
		if p := kb.Get[kb.Part](v.call.desk.Book, id); p != nil {
			list = append(list, p.Title)
		}
	}
	return list
}

// fallback is the handover for what the book does not know: the first visit.
func (v *view) fallback() *kb.Handover {
	list := kb.All[kb.Handover](v.call.desk.Book)
	for _, h := range list {
		if h.Visit {
			return h
		}
	}
	if len(list) > 0 {
		return list[0]
	}
	return &kb.Handover{Head: kb.Head{ID: "visit", Title: "A visit"}, Say: "I will send somebody to have a look."}
}

// causeCautions are those of causes that are likely enough to matter to
// whoever takes over.
func (v *view) causeCautions() []string {
	var ids []string
	seen := map[string]bool{}
	for _, ch := range v.causes() {
		e := kb.Get[kb.Cause](v.call.desk.Book, ch.ID)
		if e == nil || ch.Chance < 0.1 {
			continue
		}
		for _, id := range e.Cautions {
			if !seen[id] {
				seen[id] = true
				ids = append(ids, id)
			}
		}
	}
	return ids
}

func (v *view) cautions(ids []string) []Caution {
	list := []Caution{}
	for _, id := range ids {
		if e := kb.Get[kb.Caution](v.call.desk.Book, id); e != nil {
			list = append(list, Caution{e.ID, e.Say, e.Defer})
		}
	}
	return list
}

// stopStep is due when a safety rule holds, over what was answered or over
// what was heard in the caller's words: for danger, hearing is enough, and
// answering the question otherwise takes the stop back.
func (v *view) stopStep() (Step, bool) {
	known := map[string]string{}
	for _, h := range v.heardFacts() {
		known[h.Question] = h.Value
	}
	for q := range v.open {
		delete(known, q)
	}
	for _, f := range v.facts {
		known[f.Question] = f.Value
	}
	for _, r := range kb.All[kb.Rule](v.call.desk.Book) {
		if r.Stop == nil {
			continue
		}
		v.heardSince(r.When, known)
		if !holds(r.When, known) {
			continue
		}
		h := kb.Get[kb.Handover](v.call.desk.Book, r.Stop.Handover)
		if h == nil {
			h = v.fallback()
		}
		s := Step{Kind: StepStop, ID: r.ID, Title: r.Title, Say: r.Stop.Say, Minutes: h.Minutes,
			Cautions: v.cautions([]string{r.Stop.Caution}),
			Answers:  []Option{{h.ID, h.Title}},
			Why:      "Safety comes before the fault: the questions end here, only the handover is left. " + v.stopReason(r)}
		return s, true
	}
	return Step{}, false
}

// heardSince takes in dangers that were told after their question had been
// answered: a room without smoke may begin to smoke.
func (v *view) heardSince(when []kb.Fact, known map[string]string) {
	for _, f := range when {
		n, answered := v.said[f.Question]
		if !answered || n >= len(v.words) {
			continue
		}
		for _, h := range v.call.listen(v.words[n:]).Facts {
			if h.Safety && h.Question == f.Question {
				known[f.Question] = h.Value
			}
		}
	}
}

// stopReason says what set the stop off and how to take it back.
func (v *view) stopReason(r *kb.Rule) string {
	var parts []string
	for _, f := range r.When {
		if q := kb.Get[kb.Question](v.call.desk.Book, f.Question); q != nil {
			parts = append(parts, q.Title)
		}
	}
	return "Known or heard: " + strings.Join(parts, ", ") + ". If that is a mistake, answer it again."
}

func holds(when []kb.Fact, known map[string]string) bool {
	for _, f := range when {
		met := false
		for _, value := range f.Is {
			met = met || known[f.Question] == value
		}
		if !met {
			return false
		}
	}
	return len(when) > 0
}

// symptomStep asks what the caller rings about: the likely ones first.
func (v *view) symptomStep() Step {
	s := Step{Kind: StepAsk, ID: AskSymptom, Title: "What the call is about", Minutes: 0.5, Cautions: []Caution{},
		Say: "What is wrong, in your own words?",
		Why: "Nothing that was said points to one symptom yet: pick one, or type more of the caller's words."}
	if v.again {
		s.Say = "That has changed something. What is still wrong?"
		s.Why = "One cause is mended; the rest is looked for from here, with what still holds."
	}
	list := kb.All[kb.Symptom](v.call.desk.Book)
	rank := map[string]float64{}
	if len(v.words) > 0 {
		for _, h := range v.call.listen(v.words).Symptoms {
			rank[h.ID] = h.Chance
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return rank[list[i].ID] > rank[list[j].ID] })
	for _, e := range list {
		s.Answers = append(s.Answers, Option{e.ID, e.Title})
	}
	return s
}

// meetingFirst reports whether the meeting begins before the fault can be
// mended, so that the workaround comes first.
func (v *view) meetingFirst() bool {
	return v.meeting != nil && v.workaround == "" && v.plan.Expected > v.meetingLeft() && len(v.workarounds()) > 0
}

func (v *view) meetingLeft() float64 { return v.leftOf(*v.meeting) }

// leftOf is what is left now of minutes until the meeting.
func (v *view) leftOf(minutes float64) float64 {
	return math.Max(0, minutes-v.last.Sub(v.meetingAt).Minutes())
}

func (v *view) workaroundStep(why string) Step {
	list := v.workarounds()
	return Step{Kind: StepTry, ID: TryWorkaround, Title: "Get the meeting going first",
		Say:   "Your meeting comes first. Any one of these may get you going.",
		Steps: list, Check: "Can you start like that?", Minutes: 2, Answers: []Option{{"cured", "Yes, we can start"}, {"same", "No, that does not help"}},
		Why:      why + " The case stays open for the cause.",
		Cautions: []Caution{}}
}

// workarounds are those of the likeliest symptom.
func (v *view) workarounds() []string {
	list := v.symptomChances()
	if len(list) == 0 {
		return []string{}
	}
	e := kb.Get[kb.Symptom](v.call.desk.Book, list[0].ID)
	return append([]string{}, e.Workarounds...)
}

func (v *view) doneStep() Step {
	s := Step{Kind: StepDone, ID: "done", Title: "The call is done", Answers: []Option{}, Cautions: []Caution{}}
	switch {
	case v.closed != nil:
		s.Say, s.Why = "The case is closed.", "It was closed by the agent."
	case v.handover != "":
		h := kb.Get[kb.Handover](v.call.desk.Book, v.handover)
		s.ID, s.Say, s.Why = h.ID, h.Say, "Passed on: "+h.Title+"."
		s.Parts = v.partTitles(v.handoverParts(h))
		s.Cautions = v.cautions(v.causeCautions())
	default:
		s.Say, s.Why = "Good, it works again.", "Mended: "+v.causeTitle(v.found[len(v.found)-1])+"."
		if e := kb.Get[kb.Cause](v.call.desk.Book, v.found[len(v.found)-1]); e != nil {
			s.Say = "Good, it works again. " + v.most(e.Plain)
			if v.sure < surely {
				s.Why = fmt.Sprintf("Mended; most likely it was: %s (%s).", e.Title, Percent(v.sure))
			}
			if also := v.jointTitles(e); also != "" {
				s.Why += " Not told apart from it, the same remedy serves: " + also + "."
			}
		}
	}
	return s
}

// jointTitles names the causes that are deliberately not told apart from e.
func (v *view) jointTitles(e *kb.Cause) string {
	var list []string
	for _, id := range e.Joint {
		list = append(list, v.causeTitle(id))
	}
	return strings.Join(list, "; ")
}

// surely is the chance from which a found cause is stated without reserve.
const surely = 0.6

// most tells the caller what it was, with a reserve where that is not sure. The
// words of the cause say what is wrong as long as it lasts, so they are quoted.
func (v *view) most(plain string) string {
	if v.sure >= surely {
		return "This is what was wrong: " + plain
	}
	return "It was most likely this: " + plain
}

// handoverParts are the parts worth taking under the belief at the handover.
func (v *view) handoverParts(h *kb.Handover) []string {
	if v.compiled == nil && !v.think() || v.belief.None {
		return nil
	}
	for i, other := range v.compiled.Handovers {
		if other == h {
			return v.extraParts(h, v.compiled.Model.Extras(i, v.belief))
		}
	}
	return nil
}

func (v *view) causeTitle(id string) string {
	if e := kb.Get[kb.Cause](v.call.desk.Book, id); e != nil {
		return e.Title
	}
	return "something that the book does not know"
}

func formatChance(p float64) string { return strconv.FormatFloat(p, 'g', 6, 64) }

// minutesText is minutes for people: no false precision.
func minutesText(m float64) string {
	switch {
	case m < 1:
		return "less than a minute"
	case m < 1.5:
		return "1 minute"
	}
	return strconv.Itoa(int(math.Round(m))) + " minutes"
}
