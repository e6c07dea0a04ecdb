package kb

import (
	"math"
	"testing"
)

func near(a, b float64) bool { return math.Abs(a-b) < 1e-12 }

func TestChanceWords(t *testing.T) {
	for word, want := range map[string]float64{"always": 0.98, "nearly always": 0.93, "usually": 0.8, "often": 0.65,
		"as often as not": 0.5, "sometimes": 0.3, "seldom": 0.12, "hardly ever": 0.04, "never": 0.01, "0.25": 0.25} {
		got, err := ParseChance(word)
		if err != nil || float64(got) != want || got.String() != word {
			t.Errorf("ParseChance(%q) = %v (%s), %v; want %v", word, float64(got), got, err, want)
		}
	}
	for _, word := range []string{"", "mostly", "1.01", "-0.1", "NaN", "Inf"} {
		if got, err := ParseChance(word); err == nil {
			t.Errorf("ParseChance(%q) = %v, want an error", word, got)
		}
	}
}

// question is a question with three answers and the given default row.
func question(defaults ...Chance) *Question {
	q := &Question{Sense: SenseLook}
	for i, d := range defaults {
		q.Answers = append(q.Answers, Answer{Value: string(rune('a' + i)), Default: d})
	}
	return q
}

func TestRows(t *testing.T) {
	for _, c := range []struct {
		name string
		q    *Question
		row  Row
		want []float64
	}{
		{"rest in proportion to the default row", question(0.6, 0.3, 0.1), Row{{"a", 0.2}}, []float64{0.2, 0.6, 0.2}},
		{"even shares where no default is given", question(0, 0), Row{{"b", 0.8}}, []float64{0.2, 0.8}},
		{"what the defaults leave is spread evenly", question(0.5, 0, 0), nil, []float64{0.5, 0.25, 0.25}},
		{"all answers named: scaled to one", question(0.5, 0.5), Row{{"a", 0.6}, {"b", 0.2}}, []float64{0.75, 0.25}},
	} {
		got := c.q.FullRow(c.row)
		for i := range c.want {
			if !near(got[i], c.want[i]) {
				t.Errorf("%s: got %v, want %v", c.name, got, c.want)
				break
			}
		}
	}
}

func TestTrust(t *testing.T) {
	for _, c := range []struct {
		sense Sense
		who   Who
		want  float64
	}{{SenseLook, WhoCaller, 0.9}, {SenseColour, WhoCaller, 0.8}, {SenseHistory, WhoTechnician, 0.8},
		{SenseLook, WhoTechnician, 0.97}, {SenseInstrument, WhoTechnician, 0.995}} {
		if got := (&Question{Sense: c.sense}).Trust(c.who); got != c.want {
			t.Errorf("%s by %s: %v, want %v", c.sense, c.who, got, c.want)
		}
	}
	if got := (&Question{Sense: SenseLook, Reliability: 0.6}).Trust(WhoTechnician); got != 0.6 {
		t.Errorf("authored reliability: %v, want 0.6", got)
	}
}
