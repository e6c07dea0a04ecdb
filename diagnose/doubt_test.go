package diagnose

import "testing"

// TestDoubt: three questions that cause A answers yes and B no, nearly always,
// and something else by halves. Two yes and a no fit A four times worse than
// something else (0.98·0.98·0.02 = 0.019 against 0.125): the no is doubted.
func TestDoubt(t *testing.T) {
	m := NewModel([]string{"A", "B", "else"}, []float64{1, 1, 0.1})
	for _, id := range []string{"q1", "q2", "q3"} {
		m.Questions = append(m.Questions, Question{ID: id, Answers: []string{"yes", "no"}, Place: -1,
			Given: [][]float64{{0.98, 0.02}, {0.02, 0.98}, {0.5, 0.5}}})
	}
	for _, c := range []struct {
		answers []int16
		want    int
	}{
		{[]int16{Open, Open, Open}, -1},
		{[]int16{0, 0, 0}, -1},
		{[]int16{0, 0, 1}, 2},
		{[]int16{1, 0, 0}, 0},
		{[]int16{1, 0, 1}, 1},
		{[]int16{0, 0, Unknown}, -1},
	} {
		s := m.NewState()
		s.Answers = c.answers
		if got := m.Doubt(s, []int{2}); got != c.want {
			t.Errorf("answers %v: doubted %d, want %d", c.answers, got, c.want)
		}
	}
	if got := m.Doubt(m.NewState(), nil); got != -1 {
		t.Errorf("without something else there is no measure, got %d", got)
	}
}
