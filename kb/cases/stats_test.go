package cases

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func testTrade() Trade {
	return Trade{
		Title: func(id string) string { return "title of " + id },
		Visit: func(id string) bool { return id == "visit" },
		Cost:  func(id string) float64 { return map[string]float64{"visit": 90, "remote": 15}[id] },
		Expected: func(symptom string, technician bool) (float64, bool) {
			if technician {
				return 12, symptom == "F-01"
			}
			return 30, symptom == "F-01"
		},
		Entries: []UnusedEntry{{Kind: "cause", ID: "A"}, {Kind: "cause", ID: "B"}, {Kind: "question", ID: "A"}, {Kind: "remedy", ID: "r"}},
	}
}

// TestCount works a small desk out by hand.
func TestCount(t *testing.T) {
	day := time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	list := []Record{
		{Opened: day, End: EndCured, Symptom: "F-01", Cause: "A", Minutes: 4},
		{Opened: day, End: EndCured, Symptom: "F-01", Cause: "B", Minutes: 10, OnSite: true},
		{Opened: day, End: EndHandover, Symptom: "F-01", Cause: "A", Minutes: 6, Handover: "visit", Started: true},
		{Opened: day, End: EndHandover, Symptom: "F-02", Minutes: 3, Handover: "remote"},
		{Opened: day, End: EndClosed, Minutes: 1},
		{Opened: day, End: EndOpen, Symptom: "F-01", Cause: "A", Minutes: 99},
	}
	got := Count(list, nil, list, day, testTrade())
	want := Stats{Calls: 6, Open: 1, Cured: 2, OnPhone: 1, Handover: 2, Visits: 1, Closed: 1, Started: 1, Known: 3, PhoneShare: 0.2,
		// Calls of F-01 that ended: 4, 10 and 6 minutes on the line, the last
		// with a visit of 90; expected were 30, 12 with the technician, 30.
		Minutes: MinutesStat{Calls: 3, Line: 6.7, Median: 6, Spent: 36.7, Expected: 24},
		Symptoms: []SymptomStat{
			{"F-01", "title of F-01", 4, 3, 1, 1, MinutesStat{3, 6.7, 6, 36.7, 24}},
			{"", "title of ", 1, 1, 0, 0, MinutesStat{}},
			{"F-02", "title of F-02", 1, 1, 0, 0, MinutesStat{}}},
		Causes: []CauseStat{{"A", "title of A", 2}, {"B", "title of B", 1}},
		Idle:   []IdleQuestion{}, Unused: Unused{Entries: []UnusedEntry{}}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("statistics (-want +got):\n%s", diff)
	}
}

// TestCountOrder counts the same calls in many orders.
func TestCountOrder(t *testing.T) {
	list := madeUp(300, 5)
	now := time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC)
	moves := []Move{}
	for i := range 60 {
		moves = append(moves, Move{[]string{"p", "q", "r"}[i%3], i == 31})
	}
	want := Count(list, moves, list, now, testTrade())
	dice := rand.New(rand.NewPCG(6, 6))
	for range 20 {
		dice.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		dice.Shuffle(len(moves), func(i, j int) { moves[i], moves[j] = moves[j], moves[i] })
		if diff := cmp.Diff(want, Count(list, moves, list, now, testTrade())); diff != "" {
			t.Fatalf("another order (-want +got):\n%s", diff)
		}
	}
}

// TestIdle names the questions that were answered often and never helped.
func TestIdle(t *testing.T) {
	var moves []Move
	add := func(question string, n, moved int) {
		for i := range n {
			moves = append(moves, Move{question, i < moved})
		}
	}
	add("never", IdleAnswers, 0)
	add("seldom", 100, 1)
	add("too-few", IdleAnswers-1, 0)
	add("never-often", 50, 0)
	got := Count(nil, moves, nil, time.Time{}, testTrade()).Idle
	want := []IdleQuestion{{"never-often", "title of never-often", 50}, {"never", "title of never", IdleAnswers}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("idle questions (-want +got):\n%s", diff)
	}
}

// TestUnused counts the year back from the newest call; a call from the future
// is not it, and a cause and a question of one id are two entries.
func TestUnused(t *testing.T) {
	day := func(y, m int) time.Time { return time.Date(y, time.Month(m), 5, 9, 0, 0, 0, time.UTC) }
	now := day(2026, 3)
	list := []Record{
		{Opened: day(2024, 1), Cause: "B", Tried: []Tried{{"r", Same}}},
		{Opened: day(2025, 6), Cause: "A"},
		{Opened: day(2026, 2), Cause: "A"},
		{Opened: day(2099, 1), Cause: "B"},
	}
	got := Count(nil, nil, list, now, testTrade()).Unused
	want := Unused{Known: true, Since: "2025-02-05", Entries: []UnusedEntry{
		{Kind: "cause", ID: "B", Last: "2024-01-05"}, {Kind: "question", ID: "A"}, {Kind: "remedy", ID: "r", Last: "2024-01-05"}}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("unused (-want +got):\n%s", diff)
	}
	if got := Count(nil, nil, list[1:], now, testTrade()).Unused; got.Known {
		t.Errorf("the calls go back nine months, yet %+v", got)
	}
}
