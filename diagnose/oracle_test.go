package diagnose

import "math"

// oracle is the optimum by plain recursion over all states, written without
// regard to speed and sharing nothing with the search: it works on the
// model's own tables with weights that are never scaled.
type oracle struct {
	m     *Model
	memo  map[string]float64
	limit int // states; more than that panics
}

func newOracle(m *Model) *oracle { return &oracle{m: m, memo: map[string]float64{}, limit: 2000000} }

// optimum is the least expected cost from the start.
func optimum(m *Model) float64 {
	o := newOracle(m)
	w := make([]float64, len(m.Causes))
	sum := 0.0
	for c := range w {
		w[c] = m.Causes[c].Prior
		sum += w[c]
	}
	return o.value(m.NewState(), w) / sum
}

// value is the cost, times the weight, of the best that can follow s.
func (o *oracle) value(s State, w []float64) float64 {
	total, alive := 0.0, 0
	for _, v := range w {
		total += v
		if v > 0 {
			alive++
		}
	}
	if alive == 0 || alive == 1 && o.m.Goal == Identify {
		return 0
	}
	k := stateKey(s)
	if v, ok := o.memo[k]; ok {
		return v
	}
	if len(o.memo) > o.limit {
		panic("oracle: too many states")
	}
	best := math.Inf(1)
	for a, v := range o.actions(s, w, total) {
		_ = a
		best = math.Min(best, v)
	}
	o.memo[k] = best
	return best
}

// actions values every step from s, in the order repairs, questions, finals.
func (o *oracle) actions(s State, w []float64, total float64) []float64 {
	var list []float64
	for r := range o.m.Repairs {
		v := math.Inf(1)
		if s.Trials[r] == Untried {
			t := s.Clone()
			t.Trials[r] = Failed
			v = o.m.Repairs[r].Cost*total + o.value(t, times(w, func(c int) float64 { return 1 - o.m.Repairs[r].Fixes[c] }))
		}
		list = append(list, v)
	}
	for q := range o.m.Questions {
		v := math.Inf(1)
		if s.Answers[q] == Open {
			v = o.m.Questions[q].Cost * total
			for a := range o.m.Questions[q].Answers {
				t := s.Clone()
				t.Answers[q] = int16(a)
				v += o.value(t, times(w, func(c int) float64 { return o.m.Questions[q].Given[c][a] }))
			}
		}
		list = append(list, v)
	}
	for f := range o.m.Finals {
		v := 0.0
		for c := range w {
			v += w[c] * o.m.Finals[f].Cost[c]
		}
		for _, x := range o.m.Finals[f].Extras {
			miss := 0.0
			for c := range w {
				miss += w[c] * x.Miss[c]
			}
			v += math.Min(x.Take*total, miss)
		}
		list = append(list, v)
	}
	return list
}

func times(w []float64, factor func(int) float64) []float64 {
	out := make([]float64, len(w))
	for c, v := range w {
		out[c] = v * factor(c)
	}
	return out
}

func stateKey(s State) string {
	b := make([]byte, 0, len(s.Answers)*2+len(s.Trials))
	for _, a := range s.Answers {
		b = append(b, byte(a), byte(a>>8))
	}
	for _, t := range s.Trials {
		b = append(b, byte(t))
	}
	return string(b)
}
