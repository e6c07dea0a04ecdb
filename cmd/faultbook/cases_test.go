package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"

	"github.com/google/go-cmp/cmp"
)

// casesHome makes folders of the test's own and gives that of the cases.
func casesHome(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("FAULTBOOK_HOME", filepath.Join(dir, "home"))
	t.Setenv("XDG_CACHE_HOME", filepath.Join(dir, "cache"))
	t.Setenv("HOME", dir)
	t.Setenv(bookOnly, "")
	return filepath.Join(dir, "home", "cases")
}

// typed runs a command line and gives its standard output; the status must be
// the one that is wanted.
func typed(t *testing.T, status int, in string, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if got := run(args, streams{In: strings.NewReader(in), Out: &out, Err: &errs}); got != status {
		t.Fatalf("faultbook %s: status %d, want %d\n%s%s", strings.Join(args, " "), got, status, &out, &errs)
	}
	return out.String()
}

// read parses JSON.
func read[T any](t *testing.T, text string) T {
	t.Helper()
	var v T
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	return v
}

// chanceAtStart begins a call about a symptom, as the command does but for what
// it does in the background, and gives the chance of a cause.
func chanceAtStart(t *testing.T, symptom, cause string, byBook bool) float64 {
	t.Helper()
	s := streams{Err: os.Stderr}
	desk, err := openDesk(s, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	desk.Counts = learntCounts(s, desk.Store, byBook)
	c, err := call.New(desk, "", "")
	if err != nil {
		t.Fatal(err)
	}
	o, err := c.Do(call.In{Symptom: symptom})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range o.Causes {
		if c.ID == cause {
			return c.Chance
		}
	}
	t.Fatalf("%s is no cause of %s", cause, symptom)
	return 0
}

// TestLearning takes 200 made-up calls in which every black screen was one
// rare cause: learn shows it, calls use it, and both can be told not to.
func TestLearning(t *testing.T) {
	dir := casesHome(t)
	s := newSynth(t, 1)
	s.symptoms = []*kb.Symptom{kb.Get[kb.Symptom](s.book, "F-01"), kb.Get[kb.Symptom](s.book, "F-12")}
	rare := rarest(s.priors["F-01"])
	s.cause = func(symptom, drawn string) string {
		if symptom == "F-01" {
			return rare
		}
		return drawn
	}
	book := chanceAtStart(t, "F-01", rare, false)
	s.write(t, dir, 200)
	report := read[learnt](t, typed(t, 0, "", "learn", "--json", "--symptom", "f-01"))
	if len(report.Symptoms) != 1 || report.Symptoms[0].Causes[0].Cause != rare {
		t.Fatalf("learnt %+v", report)
	}
	top := report.Symptoms[0].Causes[0]
	calls := float64(report.Symptoms[0].Calls)
	if calls < 40 || float64(top.Count) < 0.6*calls {
		t.Fatalf("of %g calls %d had the cause", calls, top.Count)
	}
	// The first call above is there too, without a cause.
	if want := (20*top.Book + float64(top.Count)) / (20 + calls); top.Now < want-1e-9 || top.Now > want+1e-9 || top.Now < 2*top.Book {
		t.Errorf("book %g, now %g, want %g", top.Book, top.Now, want)
	}
	if got := chanceAtStart(t, "F-01", rare, false); got < top.Now-1e-6 || got > top.Now+1e-6 {
		t.Errorf("a call begins with %g, learnt was %g", got, top.Now)
	}
	if got := chanceAtStart(t, "F-01", rare, true); got != book {
		t.Errorf("by the book alone a call begins with %g, want %g", got, book)
	}
	t.Setenv(bookOnly, "1")
	if got := chanceAtStart(t, "F-01", rare, false); got != book {
		t.Errorf("with %s a call begins with %g, want %g", bookOnly, got, book)
	}
}

// rarest is the least likely cause that the book knows.
func rarest(list []kb.Weighted) string {
	best := list[0]
	for _, w := range list {
		if w.Chance < best.Chance && w.ID != kb.SomethingElse {
			best = w
		}
	}
	return best.ID
}

// TestLearnSentence words it as people read it.
func TestLearnSentence(t *testing.T) {
	dir := casesHome(t)
	if text := typed(t, 0, "", "learn"); !strings.Contains(text, "No closed calls with a known cause yet") {
		t.Errorf("without calls: %s", text)
	}
	s := newSynth(t, 2)
	s.symptoms = s.symptoms[:1]
	s.write(t, dir, 120)
	text := typed(t, 0, "", "learn")
	if !strings.Contains(text, " book says ") || !strings.Contains(text, " % (") || strings.Contains(text, "NaN") {
		t.Errorf("learn says:\n%s", text)
	}
	rooms := typed(t, 0, "", "learn", "--room", "north-1")
	if !strings.Contains(rooms, fmt.Sprintf("fewer than %d from these rooms, so the counts of all rooms stand", kb.EnoughCalls)) {
		t.Errorf("a room with few calls:\n%s", rooms)
	}
	site := read[learnt](t, typed(t, 0, "", "learn", "--json", "--room", "NORTH-1", "--room", "north-2", "--room", "south-1"))
	enough := 0
	for _, y := range site.Symptoms {
		if y.RoomsUsed != (y.Calls >= kb.EnoughCalls) {
			t.Errorf("three rooms: %+v", y)
		}
		if y.RoomsUsed {
			enough++
		}
	}
	if enough == 0 {
		t.Errorf("three rooms have no symptom with calls enough: %+v", site)
	}
}

// TestLearnRows makes callers answer otherwise than one row of the book says:
// that row is proposed, with its line, and nothing is changed.
func TestLearnRows(t *testing.T) {
	dir := casesHome(t)
	s := newSynth(t, 3)
	cause := kb.Get[kb.Cause](s.book, "VL-03")
	question := kb.Get[kb.Question](s.book, "bench-short-cable")
	other := question.Answers[len(question.Answers)-1].Value
	s.symptoms = []*kb.Symptom{kb.Get[kb.Symptom](s.book, "F-01")}
	s.cause = func(string, string) string { return cause.ID }
	s.value = func(_, q, drawn string) string {
		if q == question.ID {
			return other
		}
		return drawn
	}
	s.write(t, dir, 150)
	out := read[learntRows](t, typed(t, 0, "", "learn", "--rows", "--json"))
	if len(out.Rows) == 0 || out.Tests == 0 {
		t.Fatalf("no row is proposed: %+v", out)
	}
	row := out.Rows[0]
	if row.Cause != cause.ID || row.Question != question.ID || row.P > 1e-6 || row.Calls < kb.RowCalls || !strings.HasPrefix(row.Now, question.ID+": {") || row.New == row.Now {
		t.Errorf("proposed %+v", row)
	}
	text := typed(t, 0, "", "learn", "--rows")
	for _, want := range []string{"two-sided exact binomial test", cause.ID + " " + cause.Title, "now:      " + row.Now, "proposed: " + row.New, "Nothing was changed"} {
		if !strings.Contains(text, want) {
			t.Errorf("learn --rows does not say %q:\n%s", want, text)
		}
	}
	takeRow(t, row, text)
}

// takeRow takes a proposal over as learn says: it is in the entry then, as a
// draft, it is proposed no more, and nothing else of the entry is other.
func takeRow(t *testing.T, row kb.Contradicted, text string) {
	t.Helper()
	if want := "take it:  faultbook edit " + row.Cause + " --line '" + row.New + "'"; !strings.Contains(text, want) {
		t.Errorf("learn --rows does not say %q", want)
	}
	before := typed(t, 0, "", "show", row.Cause, "--yaml")
	typed(t, 2, "", "edit", row.Cause, "--line", "no-such-question: {a: often}")
	typed(t, 2, "", "edit", row.Cause, "--line", row.New+"\nb: 1")
	if saved := typed(t, 0, "", "edit", row.Cause, "--by", "ab", "--line", row.New); !strings.Contains(saved, "saved cause "+row.Cause) {
		t.Fatalf("edit says %s", saved)
	}
	after := typed(t, 0, "", "show", row.Cause, "--yaml")
	var changed []string
	had := strings.Split(before, "\n")
	for _, line := range strings.Split(after, "\n") {
		if !slices.Contains(had, line) {
			changed = append(changed, strings.TrimSpace(line))
		}
	}
	if !slices.Contains(changed, row.New) || len(changed) > 4 { // the row; revision, state and by
		t.Errorf("changed: %q", changed)
	}
	for _, r := range read[learntRows](t, typed(t, 0, "", "learn", "--rows", "--json")).Rows {
		if r.Cause == row.Cause && r.Question == row.Question {
			t.Errorf("it is proposed again: %+v", r)
		}
	}
}

// TestCasesStats holds that the figures agree with each other and with the
// records, and that the chart is written.
func TestCasesStats(t *testing.T) {
	dir := casesHome(t)
	newSynth(t, 4).write(t, dir, 120)
	svg := filepath.Join(t.TempDir(), "calls.svg")
	out := read[statsOut](t, typed(t, 0, "", "cases", "stats", "--json", "--svg", svg))
	list := read[[]listedCase](t, typed(t, 0, "", "cases", "list", "--json", "--limit", "1000"))
	if out.Calls != 120 || len(list) != 120 || out.Open+out.Cured+out.Handover+out.Closed != 120 {
		t.Errorf("%d calls, %d listed; %d open, %d cured, %d passed on, %d closed", out.Calls, len(list), out.Open, out.Cured, out.Handover, out.Closed)
	}
	bySymptom, known := 0, 0
	for _, y := range out.Symptoms {
		bySymptom += y.Calls
	}
	for _, c := range out.Causes {
		known += c.Calls
	}
	if bySymptom != out.Calls || known != out.Known || out.Known == 0 || out.Minutes.Expected <= 0 || out.Replayed != 120-out.Open {
		t.Errorf("%d by symptom, %d by cause, %+v", bySymptom, known, out.Minutes)
	}
	if data, err := os.ReadFile(svg); err != nil || !strings.HasPrefix(string(data), "<svg ") {
		t.Errorf("the chart: %v", err)
	}
	text := typed(t, 0, "", "cases", "stats", "--since", "2019-01-08")
	if !strings.Contains(text, "cured on the phone") || !strings.Contains(text, "the engine expected") || strings.Contains(text, "NaN") {
		t.Errorf("stats say:\n%s", text)
	}
}

// TestCasesAtOnce lists, counts and learns in one folder while cases are
// closed there: no command fails, and the last look finds everything.
func TestCasesAtOnce(t *testing.T) {
	dir := casesHome(t)
	s := newSynth(t, 5)
	s.symptoms = s.symptoms[:1]
	at := time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	var ids []string
	for i := range 12 {
		id := fmt.Sprintf("20260105-0900%02d-open", i)
		ids = append(ids, id)
		writeCase(t, dir, &cases.Case{Header: cases.Header{Version: cases.Version, ID: id, Opened: at},
			Events: []cases.Event{{At: at, Symptom: s.symptoms[0].ID}}})
	}
	var group sync.WaitGroup
	for _, args := range [][]string{{"cases", "list"}, {"learn"}, {"cases", "list", "--closed", "--json"}} {
		group.Add(1)
		go func() {
			defer group.Done()
			for range 8 {
				var out, errs bytes.Buffer
				if status := run(args, streams{In: strings.NewReader(""), Out: &out, Err: &errs}); status != 0 || errs.Len() > 0 {
					t.Errorf("%v: status %d, %s", args, status, &errs)
				}
			}
		}()
	}
	for _, id := range ids {
		typed(t, 0, "", "cases", "close", id, "--cause", "VL-03")
	}
	group.Wait()
	report := read[learnt](t, typed(t, 0, "", "learn", "--json"))
	if len(report.Symptoms) != 1 || report.Symptoms[0].Calls != len(ids) {
		t.Errorf("learnt %+v", report)
	}
}

// TestJudgeOrder judges made-up cases in two orders.
func TestJudgeOrder(t *testing.T) {
	dir := casesHome(t)
	s := newSynth(t, 6)
	s.write(t, dir, 60)
	desk, err := openDesk(streams{Err: os.Stderr}, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	ids, err := desk.Store.IDs()
	if err != nil || len(ids) != 60 {
		t.Fatal(len(ids), err)
	}
	var files []*cases.Case
	for _, id := range ids {
		c, err := desk.Store.Load(id)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, c)
	}
	want := map[string]cases.Record{}
	judge := call.NewJudge(desk)
	for _, f := range files {
		want[f.ID] = judge.Record(f)
	}
	judge = call.NewJudge(desk)
	for _, i := range s.dice.Perm(len(files)) {
		if diff := cmp.Diff(want[files[i].ID], judge.Record(files[i])); diff != "" {
			t.Errorf("%s (-want +got):\n%s", files[i].ID, diff)
		}
	}
}
