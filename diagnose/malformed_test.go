package diagnose

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// plainModel is sound; the tests below break one thing of it at a time.
func plainModel() *Model {
	m := NewModel([]string{"cable", "lamp"}, []float64{2, 1})
	m.Questions = []Question{
		{ID: "light", Cost: 1, Answers: []string{"on", "off"}, Place: -1, Given: [][]float64{{0.9, 0.1}, {0.2, 0.8}}},
		{ID: "sound", Cost: 1, Answers: []string{"yes", "no"}, Place: -1, Given: [][]float64{{0.5, 0.5}, {0.4, 0.6}}},
	}
	m.Repairs = []RepairAction{{ID: "swap", Cost: 3, Place: -1, Fixes: []float64{0.9, 0}}}
	m.Finals = []Final{{ID: "visit", Cost: []float64{60, 60}, Extras: []Extra{{ID: "part", Take: 2, Miss: []float64{0, 30}}}}}
	m.Rules = []Rule{{ID: "dark", When: []Condition{{Question: 0, Answers: []int{1}}}, Exclude: []int{0}, Stop: -1}}
	return m
}

// Each thing that is wrong with a model is an error that names the element.
func TestMalformedModels(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	for _, c := range []struct {
		want  string
		wreck func(m *Model)
	}{
		{"no causes", func(m *Model) { m.Causes = nil }},
		{`cause "cable"`, func(m *Model) { m.Causes[1].ID = "cable" }},
		{`cause ""`, func(m *Model) { m.Causes[0].ID = "" }},
		{"cause lamp: prior", func(m *Model) { m.Causes[1].Prior = -1 }},
		{"cause lamp: prior", func(m *Model) { m.Causes[1].Prior = nan }},
		{"cause lamp: prior", func(m *Model) { m.Causes[1].Prior = inf }},
		{"priors sum to 0", func(m *Model) { m.Causes[0].Prior, m.Causes[1].Prior = 0, 0 }},
		{"priors sum to", func(m *Model) { m.Causes[0].Prior, m.Causes[1].Prior = 1.5e308, 1.5e308 }},
		{"question light: cost", func(m *Model) { m.Questions[0].Cost = -1 }},
		{"question light: cost", func(m *Model) { m.Questions[0].Cost = inf }},
		{"question light: cost", func(m *Model) { m.Questions[0].Cost = nan }},
		{"question light: no answers", func(m *Model) { m.Questions[0].Answers = nil }},
		{"question light: 1 rows", func(m *Model) { m.Questions[0].Given = m.Questions[0].Given[:1] }},
		{"question light, cause lamp", func(m *Model) { m.Questions[0].Given[1] = []float64{1} }},
		{"question light, cause lamp", func(m *Model) { m.Questions[0].Given[1] = []float64{0.5, 0.4} }},
		{"question light, cause lamp", func(m *Model) { m.Questions[0].Given[1] = []float64{1.2, -0.2} }},
		{"question light, cause lamp", func(m *Model) { m.Questions[0].Given[1] = []float64{nan, 1} }},
		{`question "light"`, func(m *Model) { m.Questions[1].ID = "light" }},
		{"question light: condition on question 7", func(m *Model) { m.Questions[0].When = []Condition{{Question: 7}} }},
		{"question sound: condition on answer 5 of question light", func(m *Model) { m.Questions[1].When = []Condition{{0, []int{5}}} }},
		{"question light: place 3", func(m *Model) { m.Walk, m.Questions[0].Place = [][]float64{{0}}, 3 }},
		{"question light: its conditions lead back to itself", func(m *Model) { m.Questions[0].When = []Condition{{0, []int{0}}} }},
		{"its conditions lead back to itself", func(m *Model) {
			m.Questions[0].When = []Condition{{1, []int{0}}}
			m.Questions[1].When = []Condition{{0, []int{0}}}
		}},
		{"repair swap: cost", func(m *Model) { m.Repairs[0].Cost = -3 }},
		{"repair swap: cost", func(m *Model) { m.Repairs[0].Cost = inf }},
		{"repair swap: 1 figures", func(m *Model) { m.Repairs[0].Fixes = []float64{1} }},
		{"repair swap, cause lamp", func(m *Model) { m.Repairs[0].Fixes[1] = 1.5 }},
		{"repair swap: place -2", func(m *Model) { m.Repairs[0].Place = -2 }},
		{"final visit: 1 costs", func(m *Model) { m.Finals[0].Cost = []float64{1} }},
		{"final visit, cause lamp", func(m *Model) { m.Finals[0].Cost[1] = inf }},
		{"extra visit/part: cost", func(m *Model) { m.Finals[0].Extras[0].Take = -1 }},
		{"extra visit/part: cost", func(m *Model) { m.Finals[0].Extras[0].Miss[1] = nan }},
		{"extra visit/part: 1 figures", func(m *Model) { m.Finals[0].Extras[0].Miss = []float64{1} }},
		{"rule dark: no condition", func(m *Model) { m.Rules[0].When = nil }},
		{"rule dark: cause 9", func(m *Model) { m.Rules[0].Exclude = []int{9} }},
		{"rule dark: question 9", func(m *Model) { m.Rules[0].Ask = []int{9} }},
		{"rule dark: final 9", func(m *Model) { m.Rules[0].Stop = 9 }},
		{"rule dark: condition on question 9", func(m *Model) { m.Rules[0].When[0].Question = 9 }},
	} {
		m := plainModel()
		c.wreck(m)
		if err := m.Check(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want an error with %q", err, c.want)
		}
	}
	if err := plainModel().Check(); err != nil {
		t.Error(err)
	}
}

// What a model lacks is no fault, and what then comes is defined.
func TestPoorModels(t *testing.T) {
	for _, c := range []struct {
		name  string
		strip func(m *Model)
		cost  float64 // NaN for an infinite expected cost
		first string
	}{
		{"no questions: swap, then visit with the part", func(m *Model) { m.Questions, m.Rules = nil, nil }, 3 + 0.4*(60+2), "swap"},
		{"no repairs, no questions", func(m *Model) { m.Questions, m.Rules, m.Repairs = nil, nil, nil }, 60 + 2, "visit"},
		{"one cause", func(m *Model) { m.Causes[1].Prior = 0 }, 3 + 0.1*60, "swap"},
		{"one cause, no repair of it", func(m *Model) { m.Causes[0].Prior = 0 }, 62, "visit"},
		{"a final that pays", func(m *Model) { m.Finals[0].Cost = []float64{-5, -5} }, -5 + 2, "visit"},
		{"one cause, to be identified", func(m *Model) { m.Goal, m.Causes[1].Prior = Identify, 0 }, 0, "none"},
		{"no way to end it", func(m *Model) { m.Finals, m.Repairs = nil, nil }, math.NaN(), ""},
		{"a repair that may fail, no final", func(m *Model) { m.Finals = nil }, math.NaN(), ""},
	} {
		m := plainModel()
		c.strip(m)
		if err := m.Check(); err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		p, err := m.Plan(m.NewState(), Options{})
		var endless *EndlessError
		switch {
		case math.IsNaN(c.cost):
			if !errors.As(err, &endless) || len(endless.Causes) == 0 {
				t.Errorf("%s: got %v, want an error that names causes", c.name, err)
			}
		case err != nil:
			t.Errorf("%s: %v", c.name, err)
		default:
			near(t, c.name, p.Expected, c.cost)
			if got := m.idOf(p.First); got != c.first || !p.Exact {
				t.Errorf("%s: first %s, exact %v; want %s", c.name, got, p.Exact, c.first)
			}
		}
	}
}

// Facts that leave no cause are said, not guessed over.
func TestContradiction(t *testing.T) {
	m := plainModel()
	m.Rules[0].Exclude = []int{0, 1}
	s := m.NewState()
	s.Answers[0] = 1
	if b := m.Believe(s); !b.None {
		t.Errorf("belief %v, want none", b.P)
	}
	if _, err := m.Plan(s, Options{}); !errors.Is(err, ErrNoCause) {
		t.Errorf("got %v, want %v", err, ErrNoCause)
	}
}
