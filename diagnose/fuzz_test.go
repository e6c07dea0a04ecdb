package diagnose

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// FuzzReadModel: whatever a file holds, it is refused with an error or it can
// be planned, with finite figures in the right order.
func FuzzReadModel(f *testing.F) {
	files, err := filepath.Glob("../testdata/models/*.json")
	if err != nil || len(files) == 0 {
		f.Fatal("no models to start from", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(`{"causes":[{"id":"a","prior":1e-300},{"id":"b","prior":1e300}],"finals":[{"id":"f","cost":1e300}]}`))
	f.Add([]byte(`{"goal":"identify","causes":[{"id":"a","prior":5e-324}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := ReadModel(bytes.NewReader(data))
		if err != nil || len(m.Causes)*(1+len(m.Questions)+len(m.Repairs)) > 500 {
			return
		}
		checkPlan(t, m, m.NewState())
	})
}

// FuzzState: any state of a model with all that models of the book have is
// believed and planned in a sound way.
func FuzzState(f *testing.F) {
	f.Add(uint64(1), []byte{})
	f.Add(uint64(4), []byte{0, 1, 2, 3, 4, 5, 6, 7, 8, 9})
	f.Add(uint64(9), []byte{255, 255, 0, 0, 7, 1, 1, 2})
	f.Fuzz(func(t *testing.T, n uint64, choice []byte) {
		m := dressedModel(11, n, 5)
		for c := range m.Causes { // far apart, so that products leave the floats
			m.Causes[c].Prior *= math.Pow(10, -float64(37*c))
		}
		s := m.NewState()
		for i, x := range choice {
			switch k := i % (len(s.Answers) + len(s.Trials) + 1); {
			case k < len(s.Answers):
				s.Answers[k] = int16(int(x)%(len(m.Questions[k].Answers)+2)) - 2
			case k < len(s.Answers)+len(s.Trials):
				s.Trials[k-len(s.Answers)] = Trial(x % 3)
			case m.Walk != nil:
				s.Place = int(x)%(len(m.Walk)+1) - 1
			}
		}
		b := m.Believe(s)
		sum := 0.0
		for _, p := range b.P {
			if !(p >= 0 && p <= 1) {
				t.Fatalf("chance %v", p)
			}
			sum += p
		}
		if b.None != (sum == 0) || !b.None && math.Abs(sum-1) > 1e-9 {
			t.Fatalf("chances sum to %v", sum)
		}
		checkPlan(t, m, s)
	})
}

// checkPlan plans and holds what must be true of every plan.
func checkPlan(t *testing.T, m *Model, s State) {
	t.Helper()
	p, why, err := m.Step(s, Options{Budget: 20})
	if err != nil {
		return // said in words: contradiction, or nothing ends the case
	}
	if math.IsNaN(p.Expected) || math.IsInf(p.Expected, 0) || math.IsNaN(p.Lower) || p.Lower > p.Expected {
		t.Fatalf("cost %v, bound %v", p.Expected, p.Lower)
	}
	switch i := p.First.Index; p.First.Kind {
	case Ask:
		if s.Answers[i] != Open || m.Questions[i].Silent {
			t.Fatalf("asks %s again", m.Questions[i].ID)
		}
	case Try:
		if s.Trials[i] != Untried {
			t.Fatalf("tries %s again", m.Repairs[i].ID)
		}
	}
	chance := 0.0
	for _, o := range why.Outcomes {
		chance += o.Chance
	}
	if len(why.Outcomes) > 0 && math.Abs(chance-1) > 1e-5 {
		t.Fatalf("chances of what may come sum to %v", chance)
	}
	again, err := m.Plan(s, Options{Budget: 20})
	if err != nil || again.Expected != p.Expected || again.First.Kind != p.First.Kind || again.First.Index != p.First.Index {
		t.Fatalf("planned twice: %v and %v, %v", p.First, again.First, err)
	}
}
