package diagnose

import (
	"compress/gzip"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
)

// frozenModels are models of the book as it once was, see the test that
// freezes them in package kb.
func frozenModels(t testing.TB) map[string]*Model {
	t.Helper()
	f, err := os.Open("testdata/frozen.json.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	var models map[string]*Model
	if err := json.NewDecoder(z).Decode(&models); err != nil {
		t.Fatal(err)
	}
	for name, m := range models {
		if err := m.Check(); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
	}
	return models
}

// statesOf are the opening and random states that can follow, the same as long
// as the greedy policy stays what it is; the planner has no part in them.
func statesOf(t testing.TB, name string, m *Model, n int) []State {
	t.Helper()
	dice := rand.New(rand.NewPCG(1, hashOf(name)))
	list, err := m.Wander(m.NewState(), m.Greedy(), n-1, 12, dice)
	if err != nil {
		t.Fatal(err)
	}
	return append([]State{m.NewState()}, list...)
}

// The same model and facts give the same step, to the last of a thousand
// states. UPDATE=1 writes testdata/golden-steps.txt anew; read the diff. Costs
// are rounded so that the last digits of a logarithm do not count.
func TestGoldenSteps(t *testing.T) {
	const file = "testdata/golden-steps.txt"
	models := frozenModels(t)
	var names []string
	for name := range models {
		names = append(names, name)
	}
	slices.Sort(names)
	var out strings.Builder
	states := 0
	for _, name := range names {
		m := models[name]
		for i, s := range statesOf(t, name, m, 200) {
			p, err := m.Plan(s, Options{Budget: m.CallBudget()})
			if err != nil {
				t.Fatalf("%s, state %d: %v", name, i, err)
			}
			fmt.Fprintf(&out, "%s %d %08x %s %s %.4f %.4f\n", name, i, uint32(hashOf(s.key())), p.First.Kind, m.idOf(p.First), p.Expected, p.Lower)
			states++
		}
	}
	if states != 1000 {
		t.Errorf("%d states, want 1000", states)
	}
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(file, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	compareLines(t, out.String(), string(want))
}

// compareLines names the first lines that differ and counts the rest.
func compareLines(t *testing.T, got, want string) {
	t.Helper()
	a, b, off := strings.Split(got, "\n"), strings.Split(want, "\n"), 0
	for i := range max(len(a), len(b)) {
		x, y := "(nothing)", "(nothing)"
		if i < len(a) {
			x = a[i]
		}
		if i < len(b) {
			y = b[i]
		}
		if x == y {
			continue
		}
		if off++; off <= 5 {
			t.Errorf("line %d: %s\nwant %s", i+1, x, y)
		}
	}
	if off > 0 {
		t.Errorf("%d lines differ; if that is meant, UPDATE=1 go test ./diagnose -run TestGoldenSteps", off)
	}
}

// BenchmarkFrozenStep is a step of a call at the states of the golden test.
func BenchmarkFrozenStep(b *testing.B) {
	models := frozenModels(b)
	for _, name := range []string{"few-causes", "many-causes", "middling", "two-symptoms", "visits"} {
		m := models[name]
		states := statesOf(b, name, m, 20)
		b.Run(name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				if _, _, err := m.Step(states[i%len(states)], Options{Budget: m.CallBudget()}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
