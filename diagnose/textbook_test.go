package diagnose

import (
	"math"
	"testing"
)

// TestTextbookPosteriors are Bayes updates of published screening examples:
// prevalence p, sensitivity s, false positives f; the chance of being ill
// after a positive, a negative and two positive results, computed exactly from
// the published figures, and beside it what the source prints. Two positive
// results are independent given the state.
func TestTextbookPosteriors(t *testing.T) {
	for _, c := range []struct {
		name                     string
		p, s, f                  float64
		once, negative, twice    float64
		published, publishedRoom float64
	}{
		{"mammography problem after Eddy 1982; 7.8 %, from memory", 0.01, 0.80, 0.096, 0.077640, 0.002230, 0.412269, 0.078, 0.0005},
		{"Eddy 1982, original figures; 7.7 %, from memory", 0.01, 0.792, 0.096, 0.076923, 0.002319, 0.407407, 0.077, 0.0005},
		{"Gigerenzer, Calculated Risks, 2002, as told in a newspaper of 2010; 7 of 77, read", 0.008, 0.90, 0.07, 0.093946, 0.000866, 0.571388, 0.09, 0.005},
		{"Gigerenzer et al. 2007, statement for 160 gynaecologists; about 1 in 10, read", 0.01, 0.90, 0.09, 0.091743, 0.001109, 0.502513, 0.1, 0.01},
		{"'Mammogram Math', a newspaper of 2009; about 32 %, read", 0.005, 0.95, 0.01, 0.323129, 0.000254, 0.978426, 0.32, 0.005},
		{"Kruschke, blog of Doing Bayesian Data Analysis, 27 December 2015; about 16 %, read", 0.01, 0.97, 0.05, 0.163851, 0.000319, 0.791737, 0.16, 0.005},
		{"Casscells, Schoenberger and Graboys 1978; about 2 %, from memory; a negative result excludes", 0.001, 1, 0.05, 0.019627, 0, 0.285919, 0.02, 0.005},
		{"faecal occult blood, Gigerenzer and Hoffrage; 4.8 %, from memory", 0.003, 0.50, 0.03, 0.047755, 0.001549, 0.455290, 0.048, 0.0005},
		{"screening of men without risk, Gigerenzer, Hoffrage and Ebert 1998; about 50 %, from memory", 0.0001, 0.999, 0.0001, 0.499775, 0.0000001, 0.999900, 0.5, 0.005},
		{"taxi cab problem, Kahneman and Tversky; 41 %, from memory", 0.15, 0.80, 0.20, 0.413793, 0.042254, 0.738462, 0.41, 0.005},
	} {
		m := NewModel([]string{"ill", "well"}, []float64{c.p, 1 - c.p})
		for _, id := range []string{"first", "second"} {
			m.Questions = append(m.Questions, Question{ID: id, Answers: []string{"positive", "negative"},
				Given: [][]float64{{c.s, 1 - c.s}, {c.f, 1 - c.f}}, Place: -1})
		}
		check := func(what string, want, room float64, answers ...int16) {
			t.Helper()
			s := m.NewState()
			copy(s.Answers, answers)
			if got := m.Believe(s).P[0]; !(math.Abs(got-want) <= room) {
				t.Errorf("%s, %s: %v, want %v", c.name, what, got, want)
			}
		}
		check("positive", c.once, 5e-7, 0)
		check("positive, as printed", c.published, c.publishedRoom, 0)
		check("twice positive", c.twice, 5e-7, 0, 0)
		check("negative", c.negative, 5e-7, 1)
		if c.negative == 0 {
			check("negative, exactly", 0, 0, 1)
			check("negative, then positive", 0, 0, 1, 0)
		}
	}
}

// Entropy and information gain of the fourteen days of "play tennis", counted
// from the table. Quinlan, "Induction of Decision Trees", Machine Learning 1,
// 1986, prints 0.940, 0.246, 0.151, 0.048, 0.029 (from memory; two of them are
// truncated); two teaching pages that were read print 0.940 and 0.2467,
// 0.1518, 0.0481, 0.0292.
func TestInformationGain(t *testing.T) {
	m := NewModel([]string{"play", "do not play"}, []float64{9, 5})
	days := []struct {
		id      string
		counts  [][2]float64 // per answer: days with play, days without
		printed float64
		exact   float64
	}{
		{"outlook", [][2]float64{{2, 3}, {4, 0}, {3, 2}}, 0.246, 0.246750},
		{"humidity", [][2]float64{{3, 4}, {6, 1}}, 0.151, 0.151836},
		{"windy", [][2]float64{{3, 3}, {6, 2}}, 0.048, 0.048127},
		{"temperature", [][2]float64{{2, 2}, {4, 2}, {3, 1}}, 0.029, 0.029223},
	}
	for _, d := range days {
		q := Question{ID: d.id, Cost: 1, Place: -1, Given: make([][]float64, 2)}
		for _, n := range d.counts {
			q.Answers = append(q.Answers, "days")
			q.Given[0] = append(q.Given[0], n[0]/9)
			q.Given[1] = append(q.Given[1], n[1]/5)
		}
		m.Questions = append(m.Questions, q)
	}
	s := m.NewState()
	b := m.Believe(s)
	p := newProblem(m, s, b)
	if h := -nats(b.P) / math.Ln2; math.Abs(h-0.940286) > 1e-6 || math.Abs(h-0.940) > 5e-4 {
		t.Errorf("entropy %.6f bits, want 0.940286", h)
	}
	for q, d := range days {
		gain := p.rate(p.prior, -1, q) / math.Ln2 // the question costs one minute
		if math.Abs(gain-d.exact) > 1e-6 || gain < d.printed || gain > d.printed+0.001 {
			t.Errorf("gain of %s %.6f bits, want %.6f", d.id, gain, d.exact)
		}
	}
	if first := p.sharpest(p.prior, p.start(), -1); m.Questions[p.asks[first].id].ID != "outlook" {
		t.Errorf("the sharpest question is %s, want outlook", m.Questions[p.asks[first].id].ID)
	}
}
