package kb

import (
	"math"
	"math/rand/v2"
	"testing"
)

// learnBook is a book of one symptom with two causes, four to one.
func learnBook(t *testing.T) *Book {
	t.Helper()
	b := Empty()
	for _, e := range []Entry{
		&Question{Head: Head{Kind: KindQuestion, ID: "lamp", Title: "Lamp"}, Who: WhoCaller, Sense: SenseLook, Minutes: 1,
			Answers: []Answer{{Value: "on", Say: "On", Default: 0.5}, {Value: "off", Say: "Off", Default: 0.3}, {Value: "red", Say: "Red", Default: 0.2}}},
		&Symptom{Head: Head{Kind: KindSymptom, ID: "F-1", Title: "Dark"}},
		&Symptom{Head: Head{Kind: KindSymptom, ID: "F-2", Title: "Own row"}, Tells: Tells{{"lamp", Row{{"on", 0.98}}}}},
		&Cause{Head: Head{Kind: KindCause, ID: "A", Title: "Plug out"}, Frequency: "common", Symptoms: []SymptomRef{{ID: "F-1"}},
			Tells: Tells{{"lamp", Row{{"off", 0.8}}}}},
		&Cause{Head: Head{Kind: KindCause, ID: "B", Title: "Broken"}, Frequency: "occasional", Symptoms: []SymptomRef{{ID: "F-1"}, {ID: "F-2", Frequency: "rare"}},
			Tells: Tells{{"lamp", Row{{"on", 0.8}}}}},
	} {
		b.put(e, origin{file: "own/" + e.head().ID + ".yaml"})
	}
	b.sortIDs()
	return b
}

func fixed(counts map[string]float64) func(symptom, cause string) float64 {
	return func(symptom, cause string) float64 { return counts[symptom+" "+cause] }
}

// TestLearn works the example out by hand: by weights A is 4, B 1, something
// else 0.5 of 5.5; they count as 20 calls; 3 calls of A and 7 of B come to it.
func TestLearn(t *testing.T) {
	b := learnBook(t)
	list := Learn(b, "F-1", fixed(map[string]float64{"F-1 A": 3, "F-1 B": 7, "F-1 gone": 50}))
	for i, want := range []Learnt{
		{"F-1", "B", 1 / 5.5, (20/5.5 + 7) / 30, 7, 10},
		{"F-1", "A", 4 / 5.5, (80/5.5 + 3) / 30, 3, 10},
		{"F-1", SomethingElse, 0.5 / 5.5, (10 / 5.5) / 30, 0, 10},
	} {
		got := list[i]
		if got.Cause != want.Cause || math.Abs(got.Book-want.Book) > 1e-12 || math.Abs(got.Now-want.Now) > 1e-12 || got.Count != want.Count || got.Calls != want.Calls {
			t.Errorf("%d: %+v, want %+v", i, got, want)
		}
	}
	for _, l := range Learn(b, "F-1", fixed(nil)) {
		if l.Book != l.Now || l.Calls != 0 {
			t.Errorf("without calls: %+v", l)
		}
	}
}

// TestGroupCounts holds that a small group changes nothing, and that a large
// one weighs against 20 calls of the others, not against all of them: with 180
// calls of others, all A, and 20 of the group, all B, the chance of B must be
// half of 20 in 40 and a little from the book.
func TestGroupCounts(t *testing.T) {
	b := learnBook(t)
	all, group := fixed(map[string]float64{"F-1 A": 180, "F-1 B": 20}), fixed(map[string]float64{"F-1 B": EnoughCalls - 1})
	counts, used := GroupCounts(b, all, group)
	if used("F-1") || counts("F-1", "A") != 180 || counts("F-1", "B") != 20 {
		t.Error("a group with too few calls is used")
	}
	group = fixed(map[string]float64{"F-1 B": EnoughCalls})
	counts, used = GroupCounts(b, all, group)
	if !used("F-1") || used("F-2") {
		t.Error("the group is not used where it has calls enough, or where it has none")
	}
	others := Priors(b, "F-1", fixed(map[string]float64{"F-1 A": 180}))
	for i, p := range Priors(b, "F-1", counts) {
		want := 20 * others[i].Chance
		if p.ID == "B" {
			want += 20
		}
		if math.Abs(p.Chance-want/40) > 1e-12 {
			t.Errorf("%s: %g, want %g", p.ID, p.Chance, want/40)
		}
	}
}

// TestStepCounts goes from all rooms to a site and from there to a type of room
// that lies in it in part. By hand: 60 calls of others, all A; 30 of the site
// outside the type, all B; 24 of the type, of which 10 at the site, all A. What each
// step makes weighs as 20 calls in the next.
func TestStepCounts(t *testing.T) {
	b := learnBook(t)
	all := fixed(map[string]float64{"F-1 A": 60 + 24, "F-1 B": 30})
	site, kind := fixed(map[string]float64{"F-1 A": 10, "F-1 B": 30}), fixed(map[string]float64{"F-1 A": 24})
	counts, step := StepCounts(b, all, site, kind, fixed(map[string]float64{"F-1 A": 10}))
	if step("F-1") != StepNarrow || step("F-2") != StepAll {
		t.Errorf("steps %d, %d", step("F-1"), step("F-2"))
	}
	others := Priors(b, "F-1", fixed(map[string]float64{"F-1 A": 60}))
	for i, p := range Priors(b, "F-1", counts) {
		own := map[string]float64{"B": 30}[p.ID]
		want := (20*(20*others[i].Chance+own)/50 + map[string]float64{"A": 24}[p.ID]) / 44
		if math.Abs(p.Chance-want) > 1e-12 {
			t.Errorf("%s: %g, want %g", p.ID, p.Chance, want)
		}
	}
	few := fixed(map[string]float64{"F-1 A": EnoughCalls - 1})
	if _, step := StepCounts(b, all, site, few, few); step("F-1") != StepWide {
		t.Error("a type with too few calls is used")
	}
	if _, step := StepCounts(b, all, few, kind, few); step("F-1") != StepNarrow {
		t.Error("a type with calls enough is not used where its site has too few")
	}
}

func TestNotListed(t *testing.T) {
	list := NotListed(learnBook(t), fixed(map[string]float64{"F-2 A": 3, "F-1 B": 9, "F-2 gone": 4, "F-2 something-else": 2}))
	if len(list) != 1 || list[0] != (Unlisted{"F-2", "A", 3, "own/A.yaml", "symptoms: [F-1]", "symptoms: [F-1, F-2]"}) {
		t.Errorf("got %+v", list)
	}
	if line := symptomsLine([]SymptomRef{{ID: "F-1"}, {ID: "F-2", Frequency: "very common"}}); line != "symptoms: [F-1, {id: F-2, frequency: very common}]" {
		t.Errorf("line %q", line)
	}
}

// TestBinomialTest compares with values that others worked out.
func TestBinomialTest(t *testing.T) {
	for _, c := range []struct {
		k, n   int
		p      float64
		want   float64
		within float64
		source string
	}{
		{682, 925, 0.75, 0.3825, 5e-5, "Conover, Practical Nonparametric Statistics, 1971, p. 97 (Mendel's peas), from memory"},
		{1, 10, 0.5, 22.0 / 1024, 1e-9, "sign test table, 2·(1+10)/1024, computed"},
		{0, 5, 0.5, 2.0 / 32, 1e-9, "sign test table, 2/32, computed"},
		{5, 10, 0.5, 1, 1e-9, "the middle of a symmetric distribution"},
		{0, 3, 0.1, 1, 1e-9, "0 of 3 is the likeliest, so every result counts"},
		{3, 3, 0.1, 0.001, 1e-12, "0.1³"},
		{0, 4, 0, 1, 0, "certain"}, {1, 4, 0, 0, 0, "impossible"}, {4, 4, 1, 1, 0, "certain"}, {3, 4, 1, 0, 0, "impossible"},
	} {
		if got := BinomialTest(c.k, c.n, c.p); math.Abs(got-c.want) > c.within {
			t.Errorf("%d of %d at %g: %g, want %g (%s)", c.k, c.n, c.p, got, c.want, c.source)
		}
	}
}

// seenIn makes n answers of which k are the value, the rest another.
func seenIn(cause, value, other string, k, n int) []Seen {
	var list []Seen
	for i := range n {
		s := Seen{Symptom: "F-1", Cause: cause, Question: "lamp", Value: value, Who: WhoCaller}
		if i >= k {
			s.Value = other
		}
		list = append(list, s)
	}
	return list
}

// TestContradictions proposes the row that calls contradict, and says nothing
// about one that they bear out, or where there are too few.
func TestContradictions(t *testing.T) {
	b := learnBook(t)
	seen := append(seenIn("A", "red", "off", 18, 20), seenIn("B", "on", "off", 15, 20)...)
	list, tested := Contradictions(b, seen)
	if tested != 6 || len(list) != 1 {
		t.Fatalf("%d tests, %+v", tested, list)
	}
	// A look is trusted 0.9, so of callers with A, who see "off" in 0.8 and "red"
	// in 0.2·0.2/0.7 of the cases, 0.9·0.0571+0.1·0.2 = 0.0714 say "red".
	// Of the calls 2 in 20 said "off", freed of misreadings 0.078, hardly ever;
	// "red" came to 0.978, always; together they must not pass one.
	got := list[0]
	if got.Cause != "A" || got.Answer != "red" || got.Given != 18 || got.Calls != 20 || math.Abs(got.Expected-(0.9*0.04/0.7+0.02)) > 1e-12 {
		t.Errorf("got %+v", got)
	}
	if got.Now != `lamp: {"off": usually}` || got.New != `lamp: {"off": 0.03, red: 0.96}` || got.File != "own/A.yaml" {
		t.Errorf("the change: %s to %s in %s", got.Now, got.New, got.File)
	}
	if list, tested := Contradictions(b, seenIn("A", "red", "off", RowCalls-1, RowCalls-1)); tested != 0 || len(list) != 0 {
		t.Errorf("%d calls: %d tests, %+v", RowCalls-1, tested, list)
	}
	if list, _ := Contradictions(b, seenIn("A", "red", "off", RowCalls, RowCalls)); len(list) != 1 {
		t.Errorf("%d calls, all against the row: %+v", RowCalls, list)
	}
}

// TestContradictionsSkips leaves out rows that a symptom overrules, and what
// the book does not know.
func TestContradictionsSkips(t *testing.T) {
	b := learnBook(t)
	for _, change := range []func(s *Seen){
		func(s *Seen) { s.Symptom = "F-2" }, func(s *Seen) { s.Symptom = "F-9" }, func(s *Seen) { s.Cause = SomethingElse },
		func(s *Seen) { s.Question = "gone" }, func(s *Seen) { s.Value = "gone" },
	} {
		seen := seenIn("B", "off", "off", 30, 30)
		for i := range seen {
			change(&seen[i])
		}
		if list, tested := Contradictions(b, seen); len(list) != 0 || tested != 0 {
			t.Errorf("%+v: %d tests, %+v", seen[0], tested, list)
		}
	}
}

// TestContradictionsFalseAlarms draws calls from the very rows of the book,
// misreadings included: of 200 reports at most one in twenty may contradict
// something, by Bonferroni's bound. 10 are expected at most, so more than 20
// would come up by chance in less than one of a thousand runs; the draw is
// always the same.
func TestContradictionsFalseAlarms(t *testing.T) {
	b := learnBook(t)
	dice := rand.New(rand.NewPCG(8, 8))
	q := Get[Question](b, "lamp")
	alarms := 0
	for range 200 {
		var seen []Seen
		for _, cause := range []string{"A", "B"} {
			row, base := q.FullRow(Get[Cause](b, cause).Tells[0].Row), q.DefaultRow()
			for range 40 {
				x := dice.Float64()
				for a := range row {
					if x -= 0.9*row[a] + 0.1*base[a]; x < 0 {
						seen = append(seen, Seen{"F-1", cause, "lamp", q.Answers[a].Value, WhoCaller, false})
						break
					}
				}
			}
		}
		if list, _ := Contradictions(b, seen); len(list) > 0 {
			alarms++
		}
	}
	if alarms > 20 {
		t.Errorf("%d of 200 reports contradict a book that is right", alarms)
	}
}

// TestContradictionsOrder gives the same calls in other orders.
func TestContradictionsOrder(t *testing.T) {
	b := learnBook(t)
	seen := append(seenIn("A", "red", "off", 18, 20), seenIn("B", "red", "off", 15, 30)...)
	for i := range seen {
		seen[i].Who = []Who{WhoCaller, WhoTechnician}[i%2]
		seen[i].Instrument = i%5 == 0
	}
	want, _ := Contradictions(b, seen)
	if len(want) != 2 {
		t.Fatalf("got %+v", want)
	}
	dice := rand.New(rand.NewPCG(9, 9))
	for range 20 {
		dice.Shuffle(len(seen), func(i, j int) { seen[i], seen[j] = seen[j], seen[i] })
		got, _ := Contradictions(b, seen)
		if len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
			t.Fatalf("another order: %+v, want %+v", got, want)
		}
	}
}
