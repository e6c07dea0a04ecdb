package diagnose

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// published is one worked example: a model in testdata/models of the tree and
// its figures. Source and status stand in the file. Values that no source
// prints were computed in exact rational arithmetic apart from this package.
type published struct {
	ID, Model string
	Cost      float64
	First     []string
	Values    map[string]float64
}

func readModel(t testing.TB, file string) *Model {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, err := ReadModel(f)
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return m
}

func readPublished(t testing.TB) []published {
	t.Helper()
	data, err := os.ReadFile("testdata/published.json")
	if err != nil {
		t.Fatal(err)
	}
	var list []published
	if err := json.Unmarshal(data, &list); err != nil {
		t.Fatal(err)
	}
	return list
}

func modelOf(t testing.TB, p published) *Model {
	return readModel(t, filepath.Join("../testdata/models", p.Model))
}

func TestPublishedModels(t *testing.T) {
	list := readPublished(t)
	if len(list) != 17 {
		t.Fatalf("%d worked examples, want 17", len(list))
	}
	for _, p := range list {
		t.Run(p.ID, func(t *testing.T) {
			m := modelOf(t, p)
			for _, budget := range []int{0, 100000} {
				plan := mustPlan(t, m, budget)
				near(t, "expected cost", plan.Expected, p.Cost)
				near(t, "lower bound", plan.Lower, p.Cost)
				if !plan.Exact {
					t.Error("not exact")
				}
				if first := m.idOf(plan.First); !oneOf(p.First, first) {
					t.Errorf("first step %s, want one of %s", first, strings.Join(p.First, ", "))
				}
			}
			near(t, "the oracle's cost", optimum(m), p.Cost)
		})
	}
}

// The value of each first step, planned from everything that may come of it.
// The figures are printed with six decimals.
func TestPublishedFirstSteps(t *testing.T) {
	for _, p := range readPublished(t) {
		m := modelOf(t, p)
		for id, want := range p.Values {
			if got := m.valueOf(t, m.byID(t, id)); math.Abs(got-want) > 1e-6 {
				t.Errorf("%s %s: %.9g, want %.9g", p.ID, id, got, want)
			}
		}
	}
}

// valueOf is the cost of taking a first and planning exactly from there on.
func (m *Model) valueOf(t testing.TB, a Action) float64 {
	why, err := m.Explain(m.NewState(), a, Options{})
	if err != nil {
		t.Fatal(err)
	}
	cost := why.Minutes
	for _, o := range why.Outcomes {
		if o.Works || o.Chance == 0 {
			continue
		}
		s := m.NewState()
		if a.Kind == Ask {
			s.Answers[a.Index] = int16(o.Answer)
		} else {
			s.Trials[a.Index] = Failed
		}
		plan, err := m.Plan(s, Options{Budget: 100000})
		if err != nil {
			t.Fatal(err)
		}
		if !plan.Exact {
			t.Errorf("%s: not exact", m.idOf(a))
		}
		cost += o.Chance * plan.Expected
	}
	return cost
}

// All yes/no questions "is it in this subset" of six symbols with weights 45,
// 13, 12, 16, 9, 5: the optimum is the Huffman length, 224 for 100 symbols
// (Cormen, Leiserson, Rivest and Stein, Introduction to Algorithms, section on
// Huffman codes; from memory).
func TestHuffmanSixSymbols(t *testing.T) {
	m := NewModel([]string{"a", "b", "c", "d", "e", "f"}, []float64{45, 13, 12, 16, 9, 5})
	m.Goal = Identify
	for set := 1; set < 32; set++ { // f is never in it: complements are the same question
		q := Question{ID: fmt.Sprintf("in-%05b", set), Cost: 1, Answers: []string{"yes", "no"}, Place: -1}
		for c := range m.Causes {
			in := float64(set >> c & 1)
			q.Given = append(q.Given, []float64{in, 1 - in})
		}
		m.Questions = append(m.Questions, q)
	}
	if err := m.Check(); err != nil {
		t.Fatal(err)
	}
	plan := mustPlan(t, m, 0)
	near(t, "expected cost", plan.Expected, 2.24)
	near(t, "lower bound", plan.Lower, 2.24)
}

func mustPlan(t testing.TB, m *Model, budget int) Plan {
	t.Helper()
	p, err := m.Plan(m.NewState(), Options{Budget: budget})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func near(t testing.TB, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*(1+math.Abs(want))) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

func oneOf(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func (m *Model) idOf(a Action) string {
	switch a.Kind {
	case Ask:
		return m.Questions[a.Index].ID
	case Try:
		return m.Repairs[a.Index].ID
	case End:
		return m.Finals[a.Index].ID
	}
	return "none"
}

func (m *Model) byID(t testing.TB, id string) Action {
	t.Helper()
	for i := range m.Questions {
		if m.Questions[i].ID == id {
			return Action{Kind: Ask, Index: i}
		}
	}
	for i := range m.Repairs {
		if m.Repairs[i].ID == id {
			return Action{Kind: Try, Index: i}
		}
	}
	for i := range m.Finals {
		if m.Finals[i].ID == id {
			return Action{Kind: End, Index: i}
		}
	}
	t.Fatalf("no step %q", id)
	return Action{}
}
