package diagnose

import "math"

// Apart is the evidence, in bits, that the questions which may be put are
// expected to give for telling causes c and d apart: for each question the
// mean of the two relative entropies of their rows (Kullback and Leibler's
// symmetric divergence, halved), summed. 1 bit doubles the odds. Rows that
// exclude an answer count as far as a float can tell.
func (m *Model) Apart(c, d int) float64 {
	sum := 0.0
	for q := range m.Questions {
		if m.Questions[q].Silent {
			continue
		}
		a, b := m.Questions[q].Given[c], m.Questions[q].Given[d]
		for i := range a {
			if a[i] == b[i] {
				continue
			}
			ratio := math.Log2(math.Max(a[i], 1e-12) / math.Max(b[i], 1e-12))
			sum += (a[i] - b[i]) * ratio / 2
		}
	}
	return sum
}
