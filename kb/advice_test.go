package kb

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// advisedBook has, beside what is sound, one of each thing that is advised on:
// B and C that nothing tells apart, a question of an hour, a slow remedy that a
// quick one makes needless, and a rule that excludes A where its row says off.
func advisedBook() *Book {
	b := Empty()
	head := func(k Kind, id string) Head { return Head{Kind: k, ID: id, Title: id} }
	yesNo := []Answer{{Value: "yes", Say: "Yes", Default: 0.5}, {Value: "no", Say: "No", Default: 0.5}}
	shows := []SymptomRef{{ID: "F-1"}}
	for _, e := range []Entry{
		&Question{Head: head(KindQuestion, "lamp"), Who: WhoCaller, Sense: SenseLook, Minutes: 0.5,
			Answers: []Answer{{Value: "on", Say: "On", Default: 0.5}, {Value: "off", Say: "Off", Default: 0.5}}},
		&Question{Head: head(KindQuestion, "long-test"), Who: WhoCaller, Sense: SenseLook, Minutes: 60, Answers: yesNo},
		&Symptom{Head: head(KindSymptom, "F-1")},
		&Handover{Head: head(KindHandover, "visit"), Minutes: 90, Wrong: 30, Visit: true},
		&Remedy{Head: head(KindRemedy, "quick"), Who: WhoCaller, Minutes: 1},
		&Remedy{Head: head(KindRemedy, "slow"), Who: WhoCaller, Minutes: 9},
		&Remedy{Head: head(KindRemedy, "other"), Who: WhoCaller, Minutes: 8},
		&Cause{Head: head(KindCause, "A"), Frequency: "common", Symptoms: shows, Owner: "visit", Remedies: []Cure{{ID: "quick"}, {ID: "slow"}},
			Tells: Tells{{"lamp", Row{{"off", 0.93}}}, {"long-test", Row{{"yes", 0.65}}}}},
		&Cause{Head: head(KindCause, "B"), Frequency: "common", Symptoms: shows, Owner: "visit", Remedies: []Cure{{ID: "other"}},
			Tells: Tells{{"lamp", Row{{"on", 0.93}}}}},
		&Cause{Head: head(KindCause, "C"), Frequency: "rare", Symptoms: shows, Owner: "visit",
			Tells: Tells{{"lamp", Row{{"on", 0.93}}}}},
		&Rule{Head: head(KindRule, "dark"), When: []Fact{{"lamp", []string{"off"}}, {"long-test", []string{"yes"}}}, Exclude: []string{"A"}},
	} {
		b.put(e, origin{file: "own/" + e.head().ID + ".yaml"})
	}
	b.sortIDs()
	return b
}

func TestAdvise(t *testing.T) {
	list, err := Advise(advisedBook(), nil)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range list {
		got = append(got, f.File+" "+f.Code)
		if f.Level != LevelAdvice || f.Text == "" {
			t.Errorf("%v", f)
		}
	}
	want := []string{"own/A.yaml row-against-rule", "own/B.yaml no-question-apart", "own/long-test.yaml question-never-pays", "own/slow.yaml remedy-dominated"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if CountErrors(list) != 0 || Count(list, LevelAdvice) != 4 {
		t.Error("advice must not count as an error")
	}
	some, err := Advise(advisedBook(), func(e Entry) bool { return e.head().ID == "slow" })
	if err != nil || len(some) != 1 || some[0].Code != "remedy-dominated" {
		t.Errorf("on one entry: %v, %v", some, err)
	}
}

// Mended, the same book gets no advice.
func TestAdviseMended(t *testing.T) {
	b := advisedBook()
	Get[Cause](b, "C").Tells = Tells{{"lamp", Row{{"on", 0.5}}}}
	Get[Cause](b, "C").Joint = []string{"B"}
	Get[Question](b, "long-test").Silent = true
	Get[Cause](b, "A").Remedies[1].Cures = 0.93
	Get[Rule](b, "dark").When[0].Is = []string{"on"}
	list, err := Advise(b, nil)
	if err != nil || len(list) > 0 {
		t.Errorf("%v, %v", list, err)
	}
}

// Twelve common causes that only their own question tells, each with a remedy
// that helps nothing else: whoever asks in turn comes late to the last.
func TestAdviseDeepTree(t *testing.T) {
	b := Empty()
	entries := []Entry{&Symptom{Head: Head{Kind: KindSymptom, ID: "F-1", Title: "F-1"}},
		&Handover{Head: Head{Kind: KindHandover, ID: "visit", Title: "visit"}, Minutes: 900, Wrong: 900, Visit: true}}
	for i := range 12 {
		id := fmt.Sprintf("c%02d", i)
		entries = append(entries,
			&Remedy{Head: Head{Kind: KindRemedy, ID: "mend-" + id, Title: id}, Who: WhoCaller, Minutes: 2},
			&Cause{Head: Head{Kind: KindCause, ID: id, Title: id}, Frequency: "common", Symptoms: []SymptomRef{{ID: "F-1"}}, Owner: "visit", Remedies: []Cure{{ID: "mend-" + id}}})
	}
	for _, e := range entries {
		b.put(e, origin{file: e.head().ID})
	}
	b.sortIDs()
	list, err := Advise(b, func(e Entry) bool { return e.head().Kind == KindSymptom })
	if err != nil {
		t.Fatal(err)
	}
	var deep []string
	for _, f := range list {
		if f.Code == "deep-tree" {
			deep = append(deep, strings.Fields(f.Text)[0])
		}
	}
	if !slices.Equal(deep, []string{"c10", "c11"}) {
		t.Errorf("deep: %v, want the last two of twelve", deep)
	}
}
