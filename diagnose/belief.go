package diagnose

import "math"

// Belief is the posterior over the causes in one state.
type Belief struct {
	// P[c] is the chance of cause c, 0..1; they sum to one unless None.
	P []float64
	// LogEvidence is the natural logarithm of the chance of everything known,
	// given the normalised priors; -Inf if None.
	LogEvidence float64
	// None is true where the facts and rules together leave no cause any
	// weight; P is then all zero and the caller must decide what that means.
	None bool
	// Stop is the final that a safety rule leaves alone, -1 for none.
	Stop int
	// Ask lists open questions that a rule puts before anything else.
	Ask []int
}

// Believe returns prior weight times the likelihood of every answer and every
// failed repair, with the rules applied, normalised. It works in logarithms,
// so weights down to the smallest float and hundreds of facts stay exact
// enough to rank; the order in which facts came does not matter because they
// are multiplied in the order of the model.
func (m *Model) Believe(s State) Belief {
	logw := m.logWeights(s)
	b := Belief{P: make([]float64, len(m.Causes)), Stop: -1}
	m.applyRules(s, logw, &b)
	top := math.Inf(-1)
	for _, l := range logw {
		top = math.Max(top, l)
	}
	if math.IsInf(top, -1) {
		b.None, b.LogEvidence = true, top
		return b
	}
	sum := 0.0
	for c, l := range logw {
		b.P[c] = math.Exp(l - top)
		sum += b.P[c]
	}
	for c := range b.P {
		b.P[c] /= sum
	}
	b.LogEvidence = top + math.Log(sum) - m.logPriorSum()
	return b
}

func (m *Model) logPriorSum() float64 {
	sum := 0.0
	for _, c := range m.Causes {
		sum += c.Prior
	}
	return math.Log(sum)
}

// logWeights multiplies priors and likelihoods, before any rule.
func (m *Model) logWeights(s State) []float64 {
	logw := make([]float64, len(m.Causes))
	for c, cause := range m.Causes {
		logw[c] = math.Log(cause.Prior)
	}
	for q, a := range s.Answers {
		if a < 0 {
			continue
		}
		for c := range logw {
			logw[c] += math.Log(m.Questions[q].Given[c][a])
		}
	}
	for r, t := range s.Trials {
		if t != Failed {
			continue
		}
		for c := range logw {
			logw[c] += math.Log1p(-m.Repairs[r].Fixes[c])
		}
	}
	return logw
}

// applyRules gives excluded causes no weight and notes what else the rules
// that hold in s demand. The first stop wins.
func (m *Model) applyRules(s State, logw []float64, b *Belief) {
	for i := range m.Rules {
		r := &m.Rules[i]
		if !s.Holds(r.When) {
			continue
		}
		for _, c := range r.Exclude {
			logw[c] = math.Inf(-1)
		}
		if r.Only != nil {
			keepOnly(logw, r.Only)
		}
		if r.Stop >= 0 && b.Stop < 0 {
			b.Stop = r.Stop
		}
		for _, q := range r.Ask {
			if s.Answers[q] == Open {
				b.Ask = append(b.Ask, q)
			}
		}
	}
}

func keepOnly(logw []float64, only []int) {
	keep := make([]bool, len(logw))
	for _, c := range only {
		keep[c] = true
	}
	for c := range logw {
		if !keep[c] {
			logw[c] = math.Inf(-1)
		}
	}
}
