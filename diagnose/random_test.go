package diagnose

import (
	"fmt"
	"math/rand/v2"
)

// randomModel makes the n-th small model of a seed: 3 to 8 causes, 2 to 6
// questions of 2 or 3 answers, repairs up to the number of causes, one final
// at a fixed cost, with the degenerate traits that planners trip over:
// answers of probability zero, an answer that never comes, useless and free
// questions, imperfect and shared repairs, causes without a repair, a leak,
// zero priors, twins, exact ties, a final cheaper than any repair.
func randomModel(seed, n uint64, goal Goal) *Model {
	g := &maker{rand.New(rand.NewPCG(seed, n))}
	causes := 3 + g.IntN(6)
	m := &Model{Goal: goal, Start: -1}
	for c := range causes {
		m.Causes = append(m.Causes, Cause{ID: fmt.Sprintf("c%d", c+1), Prior: g.weight()})
	}
	if g.chance(0.1) {
		m.Causes[g.IntN(causes)].Prior = 0
	}
	if g.chance(0.2) { // tie
		m.Causes[1].Prior = m.Causes[0].Prior
	}
	noisy := g.chance(0.45)
	for q := range 2 + g.IntN(5) {
		m.Questions = append(m.Questions, g.question(q, causes, noisy && goal == Repair))
	}
	if goal == Repair {
		g.repairs(m)
	}
	g.final(m)
	if g.chance(0.12) {
		g.twin(m)
	}
	return m
}

type maker struct{ *rand.Rand }

func (g *maker) chance(p float64) bool { return g.Float64() < p }

// half rounds to halves, so that ties happen.
func (g *maker) half(lo, hi float64) float64 {
	return float64(int(2*(lo+g.Float64()*(hi-lo)))) / 2
}

func (g *maker) weight() float64 {
	if g.chance(0.3) {
		return float64(1 + g.IntN(5))
	}
	return 0.05 + g.ExpFloat64()
}

func (g *maker) question(i, causes int, noisy bool) Question {
	k := 2 + g.IntN(2)
	q := Question{ID: fmt.Sprintf("q%d", i+1), Cost: g.half(0.5, 6), Place: -1}
	if g.chance(0.05) {
		q.Cost = 0
	}
	for a := range k {
		q.Answers = append(q.Answers, fmt.Sprintf("a%d", a+1))
	}
	useless, never := g.chance(0.08), g.chance(0.04)
	first := g.row(k, noisy, never)
	for range causes {
		row := g.row(k, noisy, never)
		if useless {
			row = first
		}
		q.Given = append(q.Given, row)
	}
	return q
}

func (g *maker) row(k int, noisy, never bool) []float64 {
	row := make([]float64, k)
	last := k
	if never {
		last = k - 1
	}
	if !noisy || g.chance(0.25) {
		row[g.IntN(last)] = 1
		return row
	}
	sum := 0.0
	for a := range last {
		if !g.chance(0.15) {
			row[a] = g.ExpFloat64()
			sum += row[a]
		}
	}
	if sum == 0 {
		row[0], sum = 1, 1
	}
	for a := range row {
		row[a] /= sum
	}
	return row
}

func (g *maker) repairs(m *Model) {
	causes := len(m.Causes)
	n := 1 + g.IntN(causes)
	imperfect, shared := g.chance(0.33), g.chance(0.3)
	for i := range n {
		r := RepairAction{ID: fmt.Sprintf("r%d", i+1), Cost: g.half(1, 20), Place: -1, Fixes: make([]float64, causes)}
		for range 1 + g.IntN(3) {
			c := i
			if shared {
				c = g.IntN(causes)
			}
			r.Fixes[c] = 1
			if imperfect && g.chance(0.6) {
				r.Fixes[c] = 0.4 + 0.6*g.Float64()
			}
			if !shared {
				break
			}
		}
		m.Repairs = append(m.Repairs, r)
	}
}

func (g *maker) final(m *Model) {
	f := Final{ID: "final", Cost: make([]float64, len(m.Causes))}
	cost := 20 + 60*g.Float64()
	if g.chance(0.08) {
		cost = 0.5
	}
	for c := range f.Cost {
		f.Cost[c] = cost
	}
	m.Finals = []Final{f}
}

// twin adds a cause that answers and is cured like the first.
func (g *maker) twin(m *Model) {
	m.Causes = append(m.Causes, Cause{ID: "twin", Prior: g.weight()})
	for q := range m.Questions {
		m.Questions[q].Given = append(m.Questions[q].Given, m.Questions[q].Given[0])
	}
	for r := range m.Repairs {
		m.Repairs[r].Fixes = append(m.Repairs[r].Fixes, m.Repairs[r].Fixes[0])
	}
	m.Finals[0].Cost = append(m.Finals[0].Cost, m.Finals[0].Cost[0])
}
