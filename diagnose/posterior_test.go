package diagnose

import (
	"math"
	"strings"
	"testing"
)

// posterior is one row of a published table: answers by question, the chance
// of all of them, and what the causes whose names hold a part sum to.
type posterior struct {
	answers  map[string]string
	evidence float64
	parts    map[string]float64
}

// TestPosteriorTables are the tables of two textbook networks, one compound
// cause for each combination. Chest clinic: Lauritzen and Spiegelhalter, J. R.
// Statist. Soc. B 50, 1988, tables read from the network file and the manual of
// a statistics package; burglary: Pearl 1988 with the figures of Russell and
// Norvig, computed from the tables (a printed 0.376 for P(burglary | alarm) is
// a slip and not used).
func TestPosteriorTables(t *testing.T) {
	yes := func(ids ...string) map[string]string {
		m := map[string]string{}
		for _, id := range ids {
			m[id] = "yes"
		}
		return m
	}
	negative := yes("visit", "short-of-breath")
	negative["xray"] = "no"
	silent := yes("john-calls")
	silent["mary-calls"] = "no"
	for file, rows := range map[string][]posterior{
		"ec-30-chest-clinic.json": {
			{yes(), 1, map[string]float64{"t1": 0.0104, "l1": 0.055, "b1": 0.45}},
			{yes("visit"), 0.01, map[string]float64{"t1": 0.05, "l1": 0.055, "b1": 0.45}},
			{yes("visit", "short-of-breath"), 0.004501375, map[string]float64{"t1": 0.087751, "l1": 0.099525, "b1": 0.811402}},
			{yes("visit", "short-of-breath", "xray"), 0.000988227, map[string]float64{"t1": 0.391712, "l1": 0.444271, "b1": 0.628822}},
			{negative, 0.003513148, map[string]float64{"t1": 0.002249, "l1": 0.002550, "b1": 0.862761}},
			{yes("smoker", "short-of-breath"), 0.276404, map[string]float64{"t1": 0.015427, "l1": 0.148334, "b1": 0.880164}},
		},
		"ec-31-burglary.json": {
			{yes("john-calls"), 0.052138976, map[string]float64{"b1": 0.016284, "e1": 0.011395, "a1": 0.043438}},
			{yes("mary-calls"), 0.011736345, map[string]float64{"b1": 0.056117, "e1": 0.035881, "a1": 0.150090}},
			{yes("john-calls", "mary-calls"), 0.002084100, map[string]float64{"b1": 0.284172, "e1": 0.176067, "a1": 0.760692}},
			{silent, 0.050054875, map[string]float64{"b1": 0.005130, "e1": 0.004539, "a1": 0.013574}},
		},
	} {
		m := readModel(t, "../testdata/models/"+file)
		for _, row := range rows {
			checkPosterior(t, m, row)
		}
	}
}

func checkPosterior(t *testing.T, m *Model, row posterior) {
	t.Helper()
	s := m.NewState()
	for q := range m.Questions {
		for a, value := range m.Questions[q].Answers {
			if row.answers[m.Questions[q].ID] == value {
				s.Answers[q] = int16(a)
			}
		}
	}
	b := m.Believe(s)
	if got := math.Exp(b.LogEvidence); math.Abs(got-row.evidence) > 1e-6*math.Max(1, row.evidence) {
		t.Errorf("%v: evidence %.9f, want %.9f", row.answers, got, row.evidence)
	}
	for part, want := range row.parts {
		sum := 0.0
		for c := range m.Causes {
			if strings.Contains(m.Causes[c].ID, part) {
				sum += b.P[c]
			}
		}
		if math.Abs(sum-want) > 1e-6 {
			t.Errorf("%v: P(%s) = %.6f, want %.6f", row.answers, part, sum, want)
		}
	}
}

// TestNaiveBayesExamples: weather, sunny cool high windy (Witten and Frank,
// Data Mining; from memory: 20.5 % yes), and a market survey (solution 3-50 to
// Render, Stair and Hanna, Quantitative Analysis for Management; read).
func TestNaiveBayesExamples(t *testing.T) {
	weather := NewModel([]string{"yes", "no"}, []float64{9, 5})
	for _, row := range [][2]float64{{2. / 9, 3. / 5}, {3. / 9, 1. / 5}, {3. / 9, 4. / 5}, {3. / 9, 3. / 5}} {
		weather.Questions = append(weather.Questions, Question{Answers: []string{"as-told", "else"}, Place: -1,
			Given: [][]float64{{row[0], 1 - row[0]}, {row[1], 1 - row[1]}}})
	}
	s := weather.NewState()
	for q := range s.Answers {
		s.Answers[q] = 0
	}
	if got := weather.Believe(s).P[0]; math.Abs(got-0.204583) > 1e-6 {
		t.Errorf("P(yes) = %.6f, want 0.204583", got)
	}
	market := NewModel([]string{"low", "medium", "high"}, []float64{0.15, 0.40, 0.45})
	market.Questions = []Question{{Answers: []string{"A1", "A2", "A3"}, Place: -1, Given: [][]float64{{0.7, 0.2, 0.1}, {0.4, 0.5, 0.1}, {0.1, 0.3, 0.6}}}}
	for a, want := range [][]float64{{0.338710, 0.516129, 0.145161}, {0.082192, 0.547945, 0.369863}, {0.046154, 0.123077, 0.830769}} {
		s := market.NewState()
		s.Answers[0] = int16(a)
		for c, p := range market.Believe(s).P {
			if math.Abs(p-want[c]) > 1e-6 {
				t.Errorf("answer %d, %s: %.6f, want %.6f", a+1, market.Causes[c].ID, p, want[c])
			}
		}
	}
}
