package diagnose

import "math"

// DoubtRatio is how many times better the answers must fit a cause that the
// model does not know than the best one that it does before they are doubted.
const DoubtRatio = 4

// Doubt looks at whether the answers hang together. leak lists the causes
// that stand for "something else", which every question answers by default.
// If all answers together fit every other cause much worse than the leak, it
// returns the question whose answer, if it were taken back, would mend that
// most, else -1.
func (m *Model) Doubt(s State, leak []int) int {
	isLeak := make([]bool, len(m.Causes))
	for _, c := range leak {
		isLeak[c] = true
	}
	if len(leak) == 0 || m.fit(s, isLeak, -1) > -math.Log(DoubtRatio) {
		return -1
	}
	best, question := math.Inf(-1), -1
	before := m.fit(s, isLeak, -1)
	for q, a := range s.Answers {
		if a < 0 {
			continue
		}
		if f := m.fit(s, isLeak, q); f > best && f > before {
			best, question = f, q
		}
	}
	return question
}

// fit is the logarithm of how much better the answers, less that of question
// skip, fit the best live cause than the leak. Priors do not count: doubt is
// about answers, not about rare causes.
func (m *Model) fit(s State, isLeak []bool, skip int) float64 {
	known, leak := math.Inf(-1), math.Inf(-1)
	for c := range m.Causes {
		if m.Causes[c].Prior == 0 {
			continue
		}
		sum := 0.0
		for q, a := range s.Answers {
			if a >= 0 && q != skip {
				sum += math.Log(m.Questions[q].Given[c][a])
			}
		}
		if isLeak[c] {
			leak = math.Max(leak, sum)
		} else {
			known = math.Max(known, sum)
		}
	}
	if math.IsInf(known, -1) && math.IsInf(leak, -1) {
		return 0
	}
	return known - leak
}
