package kb

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"time"

	"faultbook/diagnose"
)

// GapSetting says how plans are held against what is proven about them.
type GapSetting struct {
	Symptoms []string // empty for all
	Who      Who
	States   int    // reachable states of each symptom, beside its opening
	Seed     uint64 // the same seed gives the same states
	Budget   int    // states that a plan may expand; 0 for that of a call
	Clusters int    // causes that the bound takes together, 1 to 6; 0 for a bound without clusters
	// Now tells the time, to time the plans of a call; nil leaves times out.
	Now func() time.Time
}

// Gap is how far the policy's exact cost lies above the proven lower bound.
type Gap struct {
	States   int     `json:"states"`
	Expected float64 `json:"expected_minutes"`
	Lower    float64 `json:"lower_bound_minutes"`
	Known    float64 `json:"known_cause_minutes"`   // bound as if the cause were known
	Clusters float64 `json:"cluster_bound_minutes"` // bound as if the cause's cluster were known; search adds the rest
	Gap      float64 `json:"gap"`                   // of the two means: expected over bound, less one
	MeanGap  float64 `json:"mean_gap"`              // mean of the states' own gaps
	Within   float64 `json:"within_3pc"`            // share of states with a gap of at most 3 %
	Exact    float64 `json:"exact"`                 // share of states with none
}

// SymptomGap is the gap at the opening of a symptom and over its states.
type SymptomGap struct {
	ID        string `json:"id"`
	Opening   Gap    `json:"opening"`
	Reachable Gap    `json:"reachable"`
}

// StepTimes are how long the plans took, in milliseconds.
type StepTimes struct {
	Steps  int     `json:"steps"`
	Median float64 `json:"median_ms"`
	P95    float64 `json:"p95_ms"`
	P99    float64 `json:"p99_ms"`
	Most   float64 `json:"most_ms"`
}

// GapReport is the whole result.
type GapReport struct {
	Seed      uint64       `json:"seed"`
	Opening   Gap          `json:"opening"`
	Reachable Gap          `json:"reachable"`
	BySymptom []SymptomGap `json:"by_symptom"`
	Times     *StepTimes   `json:"step_times,omitempty"`
}

// longestWander is how many steps a reachable state is away at most.
const longestWander = 12

// Gaps plans from the opening of each symptom and from random states that can
// follow it, and compares each plan's exact cost with its proven lower bound.
func Gaps(b *Book, set GapSetting) (GapReport, error) {
	if len(set.Symptoms) == 0 {
		set.Symptoms = b.IDs(KindSymptom)
	}
	out := GapReport{Seed: set.Seed, BySymptom: []SymptomGap{}}
	var times []float64
	for _, id := range set.Symptoms {
		g, took, err := symptomGap(b, set, id)
		if err != nil {
			return out, fmt.Errorf("gaps of %s: %w", id, err)
		}
		out.BySymptom = append(out.BySymptom, g)
		out.Opening.add(g.Opening)
		out.Reachable.add(g.Reachable)
		times = append(times, took...)
	}
	if set.Now != nil {
		out.Times = stepTimes(times)
	}
	return out, nil
}

func symptomGap(b *Book, set GapSetting, id string) (SymptomGap, []float64, error) {
	out := SymptomGap{ID: id}
	c, err := Compile(b, Setting{Symptoms: []Weighted{{id, 1}}, Who: set.Who})
	if err != nil {
		return out, nil, err
	}
	m := c.Model
	call := diagnose.Options{Budget: m.CallBudget()}
	dice := rand.New(rand.NewPCG(set.Seed, hash(id)))
	states, err := m.Wander(m.NewState(), m.Planned(call), set.States, longestWander, dice)
	if err != nil {
		return out, nil, err
	}
	var proof *diagnose.Proof
	if set.Clusters > 0 {
		proof = m.Prove(m.NewState(), diagnose.ProofOptions{Seats: set.Clusters, Deep: deepProof})
	}
	var times []float64
	for i, s := range append([]diagnose.State{m.NewState()}, states...) {
		plan, took, err := timed(set.Now, m, s, call)
		if err != nil {
			return out, nil, err
		}
		times = append(times, took)
		g, err := proven(m, s, plan, set.Budget, proof)
		if err != nil {
			return out, nil, err
		}
		to := &out.Reachable
		if i == 0 {
			to = &out.Opening
		}
		to.add(g)
	}
	return out, times, nil
}

// deepProof is how many failed repairs the bound by clusters tells apart.
const deepProof = 2

// proven is the gap in s: that of the plan of a call, or with a budget that of
// a plan that may expand so many states, with the strongest bound found.
func proven(m *diagnose.Model, s diagnose.State, call diagnose.Plan, budget int, proof *diagnose.Proof) (Gap, error) {
	if proof == nil && budget == 0 {
		return gapOf(call, m.Bounds(s, nil)), nil
	}
	o := diagnose.Options{Budget: budget, Proof: proof}
	if budget == 0 {
		o.Budget = m.CallBudget()
	}
	plan, err := m.Plan(s, o)
	if err != nil {
		return Gap{}, err
	}
	if budget == 0 {
		call.Lower = min(call.Expected, max(call.Lower, plan.Lower))
		plan = call
	}
	return gapOf(plan, m.Bounds(s, proof)), nil
}

func timed(now func() time.Time, m *diagnose.Model, s diagnose.State, o diagnose.Options) (diagnose.Plan, float64, error) {
	if now == nil {
		plan, err := m.Plan(s, o)
		return plan, 0, err
	}
	var plan diagnose.Plan
	least := math.Inf(1)
	for range timings {
		start := now()
		var err error
		if plan, _, err = m.Step(s, o); err != nil {
			return plan, 0, err
		}
		least = min(least, float64(now().Sub(start).Microseconds())/1000)
	}
	return plan, least, nil
}

// timings is how often a step is timed; the shortest counts, because other
// programs may hold up any one.
const timings = 3

func gapOf(p diagnose.Plan, b diagnose.Bounds) Gap {
	g := Gap{States: 1, Expected: p.Expected, Lower: p.Lower, Known: min(b.Known, p.Lower), Clusters: min(b.Clusters, p.Lower)}
	if p.Exact {
		g.Exact, g.Within = 1, 1
		return g
	}
	g.Gap = p.Expected/p.Lower - 1
	g.MeanGap = g.Gap
	if g.Gap <= 0.03 {
		g.Within = 1
	}
	return g
}

// add makes g the mean over its own states and those of o.
func (g *Gap) add(o Gap) {
	n := g.States + o.States
	if n == 0 {
		return
	}
	part := float64(o.States) / float64(n)
	for _, f := range [][2]*float64{{&g.Expected, &o.Expected}, {&g.Lower, &o.Lower}, {&g.Known, &o.Known}, {&g.Clusters, &o.Clusters}, {&g.MeanGap, &o.MeanGap},
		{&g.Within, &o.Within}, {&g.Exact, &o.Exact}} {
		*f[0] += part * (*f[1] - *f[0])
	}
	g.States = n
	g.Gap = 0
	if g.Lower > 0 {
		g.Gap = g.Expected/g.Lower - 1
	}
}

// stepTimes sorts times, in milliseconds.
func stepTimes(times []float64) *StepTimes {
	sort.Float64s(times)
	at := func(share float64) float64 {
		if len(times) == 0 {
			return 0
		}
		return times[min(len(times)-1, int(share*float64(len(times))))]
	}
	return &StepTimes{Steps: len(times), Median: at(0.5), P95: at(0.95), P99: at(0.99), Most: at(1)}
}
