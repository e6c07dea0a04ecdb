package call

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// blunt are words that have no place in what a caller is told to do, whatever
// stands around them. The check of the book weighs sentences; this list does
// not, so that neither can hide what the other overlooks. Common practice, no
// source.
var blunt = regexp.MustCompile(`(?i)\b(ladder|stepladder|stool|climb|screwdriver|unscrew|(undo|loosen|take out|remove) (the|its|a|two|four) screws?|pliers|spanner|knife|multimeter|solder\w*|fuse ?box|fuses?|breakers?|consumer unit|bare wires?|live part|earth pin|earth wire|ground lift|two-pin|password|passcode|bypass|administrator|admin rights|antivirus|firewall|behind the rack|inside the rack|take the back off|remove the cover|open the (case|casing|housing|device|rack|cabinet|projector|amplifier))\b`)

// denied are the ways in which such a word may stand there all the same: what
// must not be done, or what somebody else does.
var denied = regexp.MustCompile(`(?i)\b(do not|don't|never|nobody|no one|not |no |without|instead of|technician|electrician|facilities|it desk|engineer|somebody from|leave)\b`)

// sentence ends at a full stop, a question mark or a colon.
var sentence = regexp.MustCompile(`[^.?!:;]+`)

// forbiddenIn lists the sentences of a step that tell a caller to do what no
// caller does.
func forbiddenIn(s Step) []string {
	var found []string
	texts := append([]string{s.Look, s.Check, s.Back}, s.Steps...)
	if s.Kind != StepAsk {
		texts = append(texts, s.Say) // a question asks what is or was, and tells nobody to do it
	}
	for _, text := range texts {
		for _, part := range sentence.FindAllString(text, -1) {
			if blunt.MatchString(part) && !denied.MatchString(part) {
				found = append(found, strings.TrimSpace(part))
			}
		}
	}
	return found
}

// walk plays a call to its end with answers and results drawn by chance, and
// shows every step to look.
func walk(t *testing.T, d *testDesk, symptom string, dice *rand.Rand, look func(Step)) {
	t.Helper()
	c := d.open(t, "")
	o := do(t, c, In{Symptom: symptom})
	for range 40 {
		look(o.Step)
		switch o.Step.Kind {
		case StepAsk, StepSum:
			asked := o.Step.asked()
			if n := len(o.Step.Answers); n > 0 && dice.IntN(5) > 0 {
				o = do(t, c, answer(asked, o.Step.Answers[dice.IntN(n)].Value))
			} else {
				o = do(t, c, In{Unknown: asked})
			}
		case StepTry:
			o = do(t, c, In{Tried: &cases.Tried{Remedy: o.Step.ID, Result: []string{"same", "same", "could-not"}[dice.IntN(3)]}})
		default:
			return
		}
	}
}

// TestReachableAdvice walks random calls of a caller under every symptom. No
// step tells to do what no caller does; every remedy is a caller's, with the
// cautions of its entry and of the hazards that its words name.
func TestReachableAdvice(t *testing.T) {
	d := newDesk(t)
	seen := map[string]bool{}
	for n, symptom := range d.Book.IDs(kb.KindSymptom) {
		for run := range 8 {
			dice := rand.New(rand.NewPCG(uint64(n), uint64(run)))
			walk(t, d, symptom, dice, func(s Step) {
				if seen[s.Kind+s.ID] {
					return
				}
				seen[s.Kind+s.ID] = true
				for _, text := range forbiddenIn(s) {
					t.Errorf("%s: %s %s tells a caller: %q", symptom, s.Kind, s.ID, text)
				}
				if s.Kind == StepTry && s.ID != TryWorkaround { // no entry: sentences of the symptom
					holdCautions(t, d.Book, s)
				}
			})
		}
	}
	t.Logf("%d different steps were looked at", len(seen))
	if len(seen) < 200 {
		t.Errorf("the walks saw only %d different steps", len(seen))
	}
}

// holdCautions compares the cautions on the screen with the entry, and the
// entry's words with the hazards.
func holdCautions(t *testing.T, book *kb.Book, s Step) {
	t.Helper()
	r := kb.Get[kb.Remedy](book, s.ID)
	if r == nil || r.Who != kb.WhoCaller {
		t.Errorf("the remedy %s was offered to a caller", s.ID)
		return
	}
	var shown []string
	for _, c := range s.Cautions {
		shown = append(shown, c.ID)
		if c.Say == "" || c.Defer == "" {
			t.Errorf("%s: the caution %s has no text or no standard: %+v", s.ID, c.ID, c)
		}
	}
	for _, id := range r.Cautions {
		if !slices.Contains(shown, id) {
			t.Errorf("%s: the caution %s is not shown", s.ID, id)
		}
	}
	text := strings.ToLower(fmt.Sprint(s.Title, ". ", s.Say, ". ", s.Steps, ". ", s.Check, ". ", s.Back))
	for _, caution := range kb.All[kb.Caution](book) {
		for _, word := range caution.Hazard {
			if regexp.MustCompile(`\b`+regexp.QuoteMeta(strings.ToLower(word))+`\b`).MatchString(text) && !slices.Contains(shown, caution.ID) {
				t.Errorf("%s speaks of %q without the caution %s", s.ID, word, caution.ID)
			}
		}
	}
}

// TestAllCallerAdvice holds the same for every remedy and question of a caller
// in the book, reached by a walk or not.
func TestAllCallerAdvice(t *testing.T) {
	book := newDesk(t).Book
	for _, r := range kb.All[kb.Remedy](book) {
		if r.Who != kb.WhoCaller {
			continue
		}
		for _, text := range forbiddenIn(Step{Say: r.Say, Steps: r.Steps, Check: r.Check, Back: r.Undo}) {
			t.Errorf("remedy %s tells a caller: %q", r.ID, text)
		}
	}
	for _, q := range kb.All[kb.Question](book) {
		if q.Who != kb.WhoCaller {
			continue
		}
		for _, text := range forbiddenIn(Step{Look: q.Look}) {
			t.Errorf("question %s tells a caller: %q", q.ID, text)
		}
	}
}

// TestStopFromEverySymptom: under each symptom, in the middle of a call, each
// danger ends the questions in the very next step, whether it is said or
// answered.
func TestStopFromEverySymptom(t *testing.T) {
	d := newDesk(t)
	stops := 0
	for _, rule := range kb.All[kb.Rule](d.Book) {
		if rule.Stop == nil || len(rule.When) != 1 {
			continue
		}
		f := rule.When[0]
		for _, value := range f.Is {
			q := kb.Get[kb.Question](d.Book, f.Question)
			words := wordsOf(q, value)
			for _, symptom := range d.Book.IDs(kb.KindSymptom) {
				for i, in := range []In{answer(f.Question, value), {Say: words}} {
					c := d.open(t, "")
					do(t, c, In{Symptom: symptom})
					o := do(t, c, in)
					if o.Step.Kind != StepStop || len(o.Step.Cautions) == 0 {
						t.Errorf("%s under %s, way %d (%q): the next step is %s %s", rule.ID, symptom, i, words, o.Step.Kind, o.Step.ID)
					}
				}
			}
			stops++
		}
	}
	if stops < 8 {
		t.Errorf("only %d dangers stop a call", stops)
	}
}

// wordsOf is what a caller says for an answer.
func wordsOf(q *kb.Question, value string) string {
	for _, a := range q.Answers {
		if a.Value == value && len(a.Words) > 0 {
			return "and by the way, " + a.Words[0]
		}
	}
	return ""
}
