package kb

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"sort"
	"sync"

	"faultbook/diagnose"
)

// RehearseSetting says how calls are rehearsed.
type RehearseSetting struct {
	Symptoms []string // empty for all
	Who      Who
	Calls    int    // simulated calls a cause
	Seed     uint64 // the same seed gives the same calls
	Workers  int    // symptoms at a time; the figures do not depend on it
	// Alone leaves out what other ways of working take.
	Alone bool
}

// Score is what simulated calls came to; shares and means over calls.
type Score struct {
	Calls int `json:"calls"`
	// Found is the share cured, or handed over with the right cause likeliest, or
	// one that is joint with it: the remedy that then follows serves both.
	Found float64 `json:"found"`
	Cured float64 `json:"cured"` // share cured on the line
	// Named is the share handed over with that cause first; Found = Cured + Named.
	Named       float64 `json:"named"`
	WrongRemedy float64 `json:"wrong_remedies"` // remedies a call that could not have cured the cause
	VainRemedy  float64 `json:"vain_remedies"`  // remedies a call that cure the cause at times, but did not
	Questions   float64 `json:"questions"`
	// Minutes on the clock, those of whoever takes over included, and without
	// the price of patience that the planner pays for a remedy.
	Minutes float64 `json:"minutes"`
	weight  float64
}

// SymptomScore is the score of a symptom's calls, causes weighted as the book
// says they occur, with the expected minutes of the program's way of working
// and of others. Those are worked out over all answers, likely ones exactly
// and rare ones from samples; the errors are standard errors.
type SymptomScore struct {
	ID string `json:"id"`
	Score
	Compare
	PlannedError float64 `json:"planned_error"`
	GreedyError  float64 `json:"greedy_error"`
	// Expected, Lower: the planner's own figures at the opening. It plans anew
	// at every step, so that Planned is less than Expected.
	Expected float64 `json:"expected_minutes"`
	Lower    float64 `json:"lower_bound_minutes"`
}

// CauseScore is the score of one cause under one symptom.
type CauseScore struct {
	Symptom string `json:"symptom"`
	ID      string `json:"id"`
	Score
}

// Confusion is a pair of causes that the questions on the line hardly tell
// apart.
type Confusion struct {
	Symptom string  `json:"symptom"`
	A       string  `json:"a"`
	B       string  `json:"b"`
	Bits    float64 `json:"bits"`
	// Joint: deliberately so, one remedy serves both.
	Joint bool `json:"joint"`
}

// Compare holds the expected minutes a call of the program's way of working
// and of three plain ones.
type Compare struct {
	Planned    float64 `json:"planned_minutes"`
	FixedOrder float64 `json:"fixed_order_minutes"`
	Greedy     float64 `json:"greedy_minutes"`
	ByChance   float64 `json:"by_chance_minutes"`
	// GreedyMore is how many minutes more greedy takes than planned, on the same
	// cases, with its standard error.
	GreedyMore      float64 `json:"greedy_more_minutes"`
	GreedyMoreError float64 `json:"greedy_more_error"`
}

// Rehearsal is the whole result.
type Rehearsal struct {
	Seed       uint64         `json:"seed"`
	Total      Score          `json:"total"`
	EachCause  Score          `json:"each_cause_once"` // all causes counted alike, not by how common they are
	BySymptom  []SymptomScore `json:"by_symptom"`
	ByCause    []CauseScore   `json:"by_cause"`
	Confusions []Confusion    `json:"confusions"`
	Compare    Compare        `json:"compare"`
}

// Rehearse plays simulated calls for every cause of the symptoms.
func Rehearse(b *Book, set RehearseSetting) (Rehearsal, error) {
	if len(set.Symptoms) == 0 {
		set.Symptoms = b.IDs(KindSymptom)
	}
	parts := make([]part, len(set.Symptoms))
	errs := make([]error, len(set.Symptoms))
	var wg sync.WaitGroup
	next := make(chan int)
	for range max(1, set.Workers) {
		wg.Go(func() {
			for i := range next {
				parts[i], errs[i] = rehearseSymptom(b, set, set.Symptoms[i])
			}
		})
	}
	for i := range set.Symptoms {
		next <- i
	}
	close(next)
	wg.Wait()
	for i, err := range errs {
		if err != nil {
			return Rehearsal{}, fmt.Errorf("rehearse %s: %w", set.Symptoms[i], err)
		}
	}
	return join(set, parts), nil
}

// part is the result of one symptom.
type part struct {
	symptom    SymptomScore
	causes     []CauseScore
	confusions []Confusion
}

func join(set RehearseSetting, parts []part) Rehearsal {
	r := Rehearsal{Seed: set.Seed, BySymptom: []SymptomScore{}, ByCause: []CauseScore{}, Confusions: []Confusion{}}
	for _, p := range parts {
		r.BySymptom = append(r.BySymptom, p.symptom)
		r.ByCause = append(r.ByCause, p.causes...)
		r.Confusions = append(r.Confusions, p.confusions...)
		r.Total.add(p.symptom.Score, 1)
		r.Compare.add(p.symptom.Compare, 1/float64(len(parts)))
		for _, c := range p.causes {
			r.EachCause.add(c.Score, 1)
		}
	}
	r.Total.mean()
	r.EachCause.mean()
	roundAll(reflect.ValueOf(&r))
	return r
}

// roundAll rounds the figures of a report to a millionth, so that processors
// that round the last digit otherwise print the same.
func roundAll(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		roundAll(v.Elem())
	case reflect.Struct:
		for i := range v.NumField() {
			roundAll(v.Field(i))
		}
	case reflect.Slice:
		for i := range v.Len() {
			roundAll(v.Index(i))
		}
	case reflect.Float64:
		if v.CanSet() {
			v.SetFloat(math.Round(v.Float()*1e6) / 1e6)
		}
	}
}

// add adds another score with a weight; mean makes means of the sums.
func (s *Score) add(o Score, weight float64) {
	s.Calls += o.Calls
	s.weight += weight
	s.Found += weight * o.Found
	s.Cured += weight * o.Cured
	s.Named += weight * o.Named
	s.WrongRemedy += weight * o.WrongRemedy
	s.VainRemedy += weight * o.VainRemedy
	s.Questions += weight * o.Questions
	s.Minutes += weight * o.Minutes
}

func (c *Compare) add(o Compare, weight float64) {
	c.Planned += weight * o.Planned
	c.FixedOrder += weight * o.FixedOrder
	c.Greedy += weight * o.Greedy
	c.ByChance += weight * o.ByChance
	c.GreedyMore += weight * o.GreedyMore
	c.GreedyMoreError = math.Hypot(c.GreedyMoreError, weight*o.GreedyMoreError)
}

func (s *Score) mean() {
	if s.weight == 0 {
		return
	}
	s.Found /= s.weight
	s.Cured /= s.weight
	s.Named /= s.weight
	s.WrongRemedy /= s.weight
	s.VainRemedy /= s.weight
	s.Questions /= s.weight
	s.Minutes /= s.weight
	s.weight = 0
}

func rehearseSymptom(b *Book, set RehearseSetting, id string) (part, error) {
	var out part
	c, err := Compile(b, Setting{Symptoms: []Weighted{{id, 1}}, Who: set.Who})
	if err != nil {
		return out, err
	}
	m := c.Model
	o := diagnose.Options{Budget: m.CallBudget()}
	plan, err := m.Plan(m.NewState(), o)
	if err != nil {
		return out, err
	}
	out.symptom = SymptomScore{ID: id, Expected: plan.Expected, Lower: plan.Lower}
	policy, clock := c.Planned(o), c.onTheClock()
	if !set.Alone {
		if err := out.symptom.compare(c, policy, c.fixedOrder(b, id), set); err != nil {
			return out, err
		}
	}
	for h, hyp := range c.Hypotheses {
		score, err := playMany(b, clock, h, policy, set, id)
		if err != nil {
			return out, err
		}
		out.symptom.Score.add(score, m.Causes[h].Prior)
		if hyp.Cause != SomethingElse {
			out.causes = append(out.causes, CauseScore{id, hyp.Cause, score})
		}
	}
	out.symptom.Score.mean()
	out.confusions = c.confusions(b, id)
	return out, nil
}

// compare works out what the ways of working are expected to take on the clock;
// all of them price a remedy as the planner does, and the greedy one leaves out
// what a call leaves out. The other two ask nothing, so that there is one
// history.
func (s *SymptomScore) compare(c *Compiled, planned diagnose.Policy, order []int, set RehearseSetting) error {
	m, clock := c.Model, c.onTheClock()
	pair, err := clock.Versus(clock.NewState(), planned, c.closing(m.Greedy()), diagnose.Cases{
		N: comparedCases * set.Calls, Seed: set.Seed, Guess: func(s diagnose.State) (float64, error) {
			p, err := clock.Plan(c.Closed(s), diagnose.Options{Budget: guessStates})
			return p.Expected, err
		}})
	if err != nil {
		return err
	}
	s.Planned, s.PlannedError = pair.First.Minutes, pair.First.Error
	s.Greedy, s.GreedyError = pair.Second.Minutes, pair.Second.Error
	s.GreedyMore, s.GreedyMoreError = pair.More.Minutes, pair.More.Error
	if s.FixedOrder, err = diagnose.EvaluatePolicy(clock, clock.NewState(), m.InOrder(order)); err != nil {
		return err
	}
	s.ByChance, err = diagnose.EvaluatePolicy(clock, clock.NewState(), m.ByChance())
	return err
}

// comparedCases is how many cases a symptom are compared for each call a cause
// that is played, and guessStates how many states the guess of what is to
// follow is worth. With four the errors are a fifth smaller, but which of them
// are expanded hangs on ties, and those on the processor.
const (
	comparedCases = 10
	guessStates   = 1
)

// playMany plays the calls of one cause; each call has dice of its own.
func playMany(b *Book, m *diagnose.Model, h int, p diagnose.Policy, set RehearseSetting, symptom string) (Score, error) {
	var s Score
	for call := range set.Calls {
		dice := rand.New(rand.NewPCG(set.Seed, hash(symptom+m.Causes[h].ID)+uint64(call)))
		got, err := m.Play(h, p, dice)
		if err != nil {
			return s, err
		}
		s.add(scoreOf(b, m.Causes[h].Group, got), 1)
	}
	s.mean()
	return s, nil
}

// onTheClock is the model with remedies at the minutes that pass, without the
// price of patience.
func (c *Compiled) onTheClock() *diagnose.Model {
	m := *c.Model
	m.Repairs = slices.Clone(m.Repairs)
	for i := range m.Repairs {
		m.Repairs[i].Cost -= patience
	}
	return &m
}

// scoreOf is the score of one call whose true cause is given.
func scoreOf(b *Book, cause string, got diagnose.Played) Score {
	one := Score{Calls: 1, WrongRemedy: float64(got.Wrong), VainRemedy: float64(got.Vain),
		Questions: float64(got.Questions), Minutes: got.Minutes}
	switch {
	case got.Cured:
		one.Cured = 1
	case slices.ContainsFunc(got.Leaders, func(id string) bool { return id == cause || areJoint(b, id, cause) }):
		one.Named = 1
	}
	one.Found = one.Cured + one.Named
	return one
}

// hash is FNV-1a, for dice that do not depend on the order of things.
func hash(text string) uint64 {
	h := uint64(14695981039346656037)
	for i := range len(text) {
		h = (h ^ uint64(text[i])) * 1099511628211
	}
	return h
}

// fixedOrder is how somebody works who goes down the list of causes: the
// remedies of each, as far as the person on the line may do them. Causes that
// the symptom's list does not name come last, by how common they are.
func (c *Compiled) fixedOrder(b *Book, symptom string) []int {
	index := map[string]int{}
	for i, r := range c.Remedies {
		index[r.ID] = i
	}
	causes := append([]string{}, Get[Symptom](b, symptom).Order...)
	rest := Priors(b, symptom, nil)
	sort.SliceStable(rest, func(i, j int) bool { return rest[i].Chance > rest[j].Chance })
	for _, w := range rest {
		causes = append(causes, w.ID)
	}
	var order []int
	seen := map[int]bool{}
	for _, id := range causes {
		e := Get[Cause](b, id)
		if e == nil {
			continue
		}
		for _, r := range e.Remedies {
			if i, ok := index[r.ID]; ok && !seen[i] {
				seen[i] = true
				order = append(order, i)
			}
		}
	}
	return order
}

// confusable is the evidence in bits below which a pair counts as confused.
const confusable = 1

func (c *Compiled) confusions(b *Book, symptom string) []Confusion {
	var list []Confusion
	for i, x := range c.Hypotheses {
		for j := i + 1; j < len(c.Hypotheses); j++ {
			y := c.Hypotheses[j]
			if x.Cause == SomethingElse || y.Cause == SomethingElse {
				continue
			}
			if bits := c.Model.Apart(i, j); bits < confusable {
				list = append(list, Confusion{symptom, x.Cause, y.Cause, bits, areJoint(b, x.Cause, y.Cause)})
			}
		}
	}
	return list
}

func areJoint(b *Book, x, y string) bool {
	for _, pair := range [][2]string{{x, y}, {y, x}} {
		if e := Get[Cause](b, pair[0]); e != nil {
			for _, id := range e.Joint {
				if id == pair[1] {
					return true
				}
			}
		}
	}
	return false
}
