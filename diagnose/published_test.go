package diagnose

import (
	"math"
	"os"
	"slices"
	"testing"
)

// published is a worked example of the literature with the cost that is
// published or, where none is, that an exact solver outside this project gave.
type published struct {
	file   string
	cost   float64
	first  []string // any of them: ties
	source string
}

func publishedModels() []published {
	return []published{
		{"ec-01-two-boxes", 3.4, []string{"open1"}, "question 144646 of cs.stackexchange.com, 2021; read"},
		{"ec-02-dependent-actions", 1.45, []string{"a2"}, "Ottosen and Jensen, A* Wars, PGM 2008; from memory"},
		{"ec-03-reboot-virus-disk", 27.875, []string{"reboot"}, "Jensen and Nielsen, Bayesian Networks and Decision Graphs, 2nd ed., an exercise; worked by hand: 1 + 0.2*2 + 0.0575*25 + 0.050075*500"},
		{"ec-04-computer-repair-part", 241, []string{"replace-C"}, "P. A. Jensen, Operations Research Models and Methods, part of the example; exact solver"},
		{"ec-05-call-service", 26.3, []string{"r1", "r3"}, "own figures for the rule of Kadane and Simon 1977 and Lin, about 2015; exact solver"},
		{"ec-06-imperfect-looks", 10.09175, []string{"b1-look1", "b1-look2", "b1-look3", "b1-look4"}, "own figures; exact solver"},
		{"ec-07-last-needs-no-test", 1.25, []string{"t1"}, "own figures; exact solver"},
		{"ec-10-sequential-tests", 2.18, []string{"t2", "t4"}, "Pattipati and Alexandridis 1990; from memory"},
		{"ec-11-huffman-5", 2.3, []string{"in-ab", "in-ac", "in-bc"}, "Cover and Thomas, Elements of Information Theory, 5.6; from memory"},
		{"ec-13-search-tree", 2.35, []string{"compare-k2", "compare-k4"}, "Cormen et al., optimal binary search tree, 2.75 less the gap weight 0.40; values read"},
		{"ec-14-nine-coins", 2, []string{"123-456", "147-258"}, "classical weighing puzzle; from memory"},
		{"ec-20-oil-wildcatter", -22.5, []string{"seismic"}, "Raiffa 1968, Shenoy 1992; model read, optimum from memory"},
		{"ec-21a-urn-two-balls", -30.4, []string{"draw-two"}, "Raiffa, Decision Analysis, 1968, chapter 2; from memory"},
		{"ec-21b-urn-one-ball", -28, []string{"bet-theta1"}, "the same"},
		{"ec-22-used-car", -290, []string{"buy"}, "Russell and Norvig, exercise on the used-car buyer; read"},
		{"ec-30-chest-clinic", 0, nil, "Lauritzen and Spiegelhalter 1988; every action is free"},
		{"ec-31-burglary", 0, nil, "Pearl 1988; every action is free"},
	}
}

func readModel(t testing.TB, file string) *Model {
	t.Helper()
	f, err := os.Open("../testdata/models/" + file + ".json")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, err := ReadModel(f)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestPublished plans every example with the default budget and with 200
// states; cost, first step and the policy's own cost, recomputed by code that
// shares nothing with the search, must be as published.
func TestPublished(t *testing.T) {
	for _, p := range publishedModels() {
		m := readModel(t, p.file)
		for _, budget := range []int{0, 200} {
			plan, err := m.Plan(m.NewState(), Options{Budget: budget})
			if err != nil {
				t.Fatalf("%s: %v", p.file, err)
			}
			// Rows in the files are rounded to twelve decimals.
			if off := math.Abs(plan.Expected - p.cost); off > 1e-9*math.Max(1, math.Abs(p.cost)) {
				t.Errorf("%s (%s): cost %v, want %v", p.file, p.source, plan.Expected, p.cost)
			}
			if plan.Lower > plan.Expected+1e-9 || !plan.Exact {
				t.Errorf("%s: bound %v above %v, or not exact", p.file, plan.Lower, plan.Expected)
			}
			if name := m.actionName(plan.First); p.first != nil && !slices.Contains(p.first, name) {
				t.Errorf("%s: first step %s, want one of %v", p.file, name, p.first)
			}
		}
		policy, plan, err := m.Policy(m.NewState(), Options{})
		if err != nil {
			t.Fatalf("%s: %v", p.file, err)
		}
		cost, err := EvaluatePolicy(m, m.NewState(), policy)
		if err != nil || math.Abs(cost-plan.Expected) > 1e-9*math.Max(1, math.Abs(cost)) {
			t.Errorf("%s: the policy costs %v, reported are %v (%v)", p.file, cost, plan.Expected, err)
		}
	}
}

func (m *Model) actionName(a Action) string {
	switch a.Kind {
	case Ask:
		return m.Questions[a.Index].ID
	case Try:
		return m.Repairs[a.Index].ID
	case End:
		return m.Finals[a.Index].ID
	}
	return ""
}

// TestRandomAgainstExact compares the planner with the exact solver of the test
// files on seeded random models: never below the optimum, bounds never above
// it, and as near as promised.
func TestRandomAgainstExact(t *testing.T) {
	for _, c := range []struct {
		budget      int
		mean, worst float64
	}{{0, 1.0005, 1.01}, {200, 1.003, 1.04}} {
		for _, goal := range []Goal{Repair, Identify} {
			sum, worst, n := 0.0, 1.0, 0
			for i := range uint64(150) {
				m := randomModel(1, i, goal)
				opt := optimum(m)
				p, err := m.Plan(m.NewState(), Options{Budget: c.budget})
				if err != nil {
					t.Fatalf("model %d: %v", i, err)
				}
				ratio := 1.0
				if opt != 0 {
					ratio = p.Expected / opt
				}
				if ratio < 1-1e-9 || p.Lower > opt+1e-9*math.Abs(opt) {
					t.Errorf("model %d: cost %v, bound %v, optimum %v", i, p.Expected, p.Lower, opt)
				}
				sum, worst, n = sum+ratio, math.Max(worst, ratio), n+1
			}
			t.Logf("budget %d, goal %d: mean %.6f, worst %.6f of %d models", c.budget, goal, sum/float64(n), worst, n)
			if sum/float64(n) > c.mean || worst > c.worst {
				t.Errorf("budget %d, goal %d: mean %.6f, worst %.6f; promised %.4f and %.2f", c.budget, goal, sum/float64(n), worst, c.mean, c.worst)
			}
		}
	}
}

// TestTextbookPosteriors are Bayes updates of published screening examples:
// prevalence, sensitivity, false positives, chance of being ill after one and
// after two positive results, computed exactly from the published figures.
func TestTextbookPosteriors(t *testing.T) {
	for _, c := range []struct {
		name                 string
		p, s, f, once, twice float64
		negative             float64
	}{
		{"mammography problem after Eddy 1982; 7.8 % published", 0.01, 0.80, 0.096, 0.077640, 0.412269, 0.002230},
		{"Eddy 1982, original figures; from memory", 0.01, 0.792, 0.096, 0.076923, 0.407407, 0.002319},
		{"Gigerenzer, Calculated Risks, 2002; 9 % published", 0.008, 0.90, 0.07, 0.093946, 0.571388, 0.000866},
		{"Casscells et al. 1978; from memory; a negative result excludes", 0.001, 1, 0.05, 0.019627, 0.285919, 0},
		{"taxi cab problem, Kahneman and Tversky; 41 %, from memory", 0.15, 0.80, 0.20, 0.413793, 0.738462, 0.042254},
	} {
		m := NewModel([]string{"ill", "well"}, []float64{c.p, 1 - c.p})
		for _, id := range []string{"first", "second"} {
			m.Questions = append(m.Questions, Question{ID: id, Answers: []string{"positive", "negative"},
				Given: [][]float64{{c.s, 1 - c.s}, {c.f, 1 - c.f}}, Place: -1})
		}
		s := m.NewState()
		check := func(what string, want float64) {
			if got := m.Believe(s).P[0]; math.Abs(got-want) > 5e-7 {
				t.Errorf("%s, %s: %v, want %v", c.name, what, got, want)
			}
		}
		s.Answers[0] = 0
		check("positive", c.once)
		s.Answers[1] = 0
		check("twice positive", c.twice)
		s.Answers = []int16{1, Open}
		check("negative", c.negative)
	}
}
