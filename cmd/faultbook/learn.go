package main

import (
	"fmt"
	"sort"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"

	"github.com/spf13/cobra"
)

// learnOptions are the flags of learn.
type learnOptions struct {
	symptom string
	rooms   []string
	site    string
	kind    string // of room
	rows    bool
	json    bool
}

func newLearnCommand(s streams) *cobra.Command {
	var o learnOptions
	cmd := &cobra.Command{
		Use:   "learn",
		Short: "Show what closed calls make of the book's chances and rows",
		Long: fmt.Sprintf(`Learn shows, for each symptom with closed calls, how likely each cause is at
the start of a call: by the book, and with the calls counted in. The book's own
weights count as 20 calls a symptom, each closed call with a known cause as one.
A call uses this unless it runs with --book-only or %s is set.

--site shows the calls of the rooms whose sheets name that site, --type those of
the type that they name, --room, which can be repeated, those of some rooms. Their
own counts are used for a symptom only where they have %d closed calls or more:
then the chances that all other calls make of the book count as 20 calls, and
theirs are added. Below that the counts of all rooms stand. A call in a room with
a sheet goes in this way from all rooms to its site, from there to the rooms of
its type, and a closed call of the very room counts more.

--rows proposes rows of the book that the calls contradict: where callers
answered a question otherwise than the row of the cause says, by the two-sided
exact binomial test, with the figures and the line to change, once %d calls
with the cause answered it. An author decides: nothing is changed.

Exit status 0: done, 2: wrong use.`, bookOnly, kb.EnoughCalls, kb.RowCalls),
		Example: "  faultbook learn --symptom F-01\n  faultbook learn --rows",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return runLearn(s, o) },
	}
	f := cmd.Flags()
	f.StringVar(&o.symptom, "symptom", "", "only the symptom with this `id`")
	f.StringArrayVar(&o.rooms, "room", nil, "what the calls about this `room` make of it; can be repeated")
	f.StringVar(&o.site, "site", "", "what the calls about the rooms of this `site` make of it")
	f.StringVar(&o.kind, "type", "", "what the calls about the rooms of this `type` make of it")
	f.BoolVar(&o.rows, "rows", false, "propose rows and symptoms of causes to change")
	f.BoolVar(&o.json, "json", false, "print one JSON document")
	cmd.MarkFlagsMutuallyExclusive("room", "site", "type", "rows")
	return cmd
}

func runLearn(s streams, o learnOptions) error {
	desk, err := openDesk(s, time.Now)
	if err != nil {
		return err
	}
	if o.symptom, err = findID(desk.Book, o.symptom, kb.KindSymptom); err != nil {
		return err
	}
	if o.site != "" || o.kind != "" {
		if o.rooms = groupRooms(desk, o); len(o.rooms) == 0 {
			return wrongUse("no room sheet names the site or type %q; `faultbook room list --json` shows them", o.site+o.kind)
		}
	}
	all, _ := allRecords(s, desk)
	if o.rows {
		return learnRows(s, desk.Book, o, all)
	}
	counts := cases.CountsOf(all)
	report := learnt{Symptoms: []learntSymptom{}}
	of, used := counts.Of, func(string) bool { return false }
	if len(o.rooms) > 0 {
		group := cases.CountsOf(inRooms(all, o.rooms))
		of, used = kb.GroupCounts(desk.Book, counts.Of, group.Of)
		report.Rooms, counts = o.rooms, group
	}
	for _, id := range desk.Book.IDs(kb.KindSymptom) {
		if counts.Calls(id) == 0 || o.symptom != "" && o.symptom != id {
			continue
		}
		list := kb.Learn(desk.Book, id, of)
		for i := range list { // the calls shown are those of the rooms, where rooms were named
			list[i].Count, list[i].Calls = counts[id][list[i].Cause], counts.Calls(id)
		}
		report.Symptoms = append(report.Symptoms, learntSymptom{id, titleOf(desk.Book, id), counts.Calls(id), used(id), list})
	}
	sort.SliceStable(report.Symptoms, func(i, j int) bool { return report.Symptoms[i].Calls > report.Symptoms[j].Calls })
	if o.json {
		return printJSON(s.Out, report)
	}
	printLearnt(s, desk.Book, report)
	return nil
}

// learnt is what learn prints as JSON.
type learnt struct {
	Rooms    []string        `json:"rooms,omitempty"`
	Symptoms []learntSymptom `json:"symptoms"`
}

type learntSymptom struct {
	Symptom string `json:"symptom"`
	Title   string `json:"title"`
	Calls   int    `json:"calls"`
	// RoomsUsed says that the rooms that were named have calls enough.
	RoomsUsed bool        `json:"rooms_used"`
	Causes    []kb.Learnt `json:"causes"` // the largest change first
}

// groupRooms are the ids of the rooms of the site or the type, letter case aside.
func groupRooms(desk *call.Desk, o learnOptions) []string {
	var ids []string
	if desk.Rooms == nil {
		return nil
	}
	for _, r := range desk.Rooms() {
		if o.site != "" && strings.EqualFold(r.Site, o.site) || o.kind != "" && strings.EqualFold(r.Type, o.kind) {
			ids = append(ids, r.ID)
		}
	}
	return ids
}

// inRooms picks the records of the rooms, letter case aside.
func inRooms(all []cases.Record, rooms []string) []cases.Record {
	var list []cases.Record
	for _, r := range all {
		for _, room := range rooms {
			if r.Room != "" && strings.EqualFold(r.Room, room) {
				list = append(list, r)
				break
			}
		}
	}
	return list
}

// shownChange is the least change of a chance that the text shows for a cause
// without calls: half a point, as chances are rounded to points.
const shownChange = 0.005

func printLearnt(s streams, book *kb.Book, report learnt) {
	if len(report.Symptoms) == 0 {
		fmt.Fprintln(s.Out, "No closed calls with a known cause yet: calls go by the book alone.\n`faultbook cases close ID --cause …` names the cause of a call that was passed on.")
		return
	}
	for i, y := range report.Symptoms {
		if i > 0 {
			fmt.Fprintln(s.Out)
		}
		fmt.Fprintf(s.Out, "%s %s: %s with a known cause\n", y.Symptom, y.Title, count(y.Calls, "call"))
		if len(report.Rooms) > 0 && !y.RoomsUsed {
			fmt.Fprintf(s.Out, "  fewer than %d from these rooms, so the counts of all rooms stand\n", kb.EnoughCalls)
		}
		rest := 0
		for _, c := range y.Causes {
			if c.Count == 0 && max(c.Now-c.Book, c.Book-c.Now) < shownChange {
				rest++
				continue
			}
			fmt.Fprintf(s.Out, "  %-10s book says %s, your %s make it %s (%d of them): %s\n", c.Cause,
				wholePercent(c.Book), count(c.Calls, "call"), wholePercent(c.Now), c.Count, titleOf(book, c.Cause))
		}
		if rest > 0 {
			fmt.Fprintf(s.Out, "  %s without calls hardly change\n", count(rest, "cause"))
		}
	}
}

// learntRows is what learn --rows prints as JSON.
type learntRows struct {
	Tests    int               `json:"tests"`
	Level    float64           `json:"level"` // over all tests together
	Rows     []kb.Contradicted `json:"rows"`
	Unlisted []kb.Unlisted     `json:"unlisted"`
}

func learnRows(s streams, book *kb.Book, o learnOptions, all []cases.Record) error {
	list := cases.Filter{Symptom: o.symptom, Closed: true}.Pick(all)
	counts := cases.CountsOf(list)
	out := learntRows{Level: kb.RowLevel, Unlisted: kb.NotListed(book, counts.Of)}
	out.Rows, out.Tests = kb.Contradictions(book, seenIn(list))
	if o.json {
		return printJSON(s.Out, out)
	}
	printRows(s, book, out)
	return nil
}

// seenIn are the answers of the calls whose cause is known.
func seenIn(list []cases.Record) []kb.Seen {
	var seen []kb.Seen
	for _, r := range list {
		if r.Cause == "" {
			continue
		}
		for _, a := range r.Answers {
			who := kb.WhoCaller
			if a.By == cases.ByTechnician {
				who = kb.WhoTechnician
			}
			seen = append(seen, kb.Seen{Symptom: r.Symptom, Cause: r.Cause, Question: a.Question, Value: a.Value,
				Who: who, Instrument: a.By == cases.ByInstrument})
		}
	}
	return seen
}

func printRows(s streams, book *kb.Book, out learntRows) {
	fmt.Fprintf(s.Out, "%s tested (two-sided exact binomial test, each held against %g divided by the number of tests)\n",
		count(out.Tests, "answer"), out.Level)
	for _, r := range out.Rows {
		q := kb.Get[kb.Question](book, r.Question)
		fmt.Fprintf(s.Out, "\n%s %s\n", r.Cause, titleOf(book, r.Cause))
		fmt.Fprintf(s.Out, "  %s: %q in %d of %d calls; by its row %s were to be expected (p = %s)\n",
			q.Title, q.AnswerLabel(r.Answer), r.Given, r.Calls, wholePercent(r.Expected), smallChance(r.P))
		printChange(s, r.Cause, r.File, r.Now, r.New)
	}
	for _, u := range out.Unlisted {
		fmt.Fprintf(s.Out, "\n%s %s\n  ended %s about %s, where the book does not list it\n", u.Cause, titleOf(book, u.Cause),
			count(u.Calls, "call"), named(book, u.Symptom))
		printChange(s, u.Cause, u.File, u.Now, u.New)
	}
	if len(out.Rows)+len(out.Unlisted) == 0 {
		fmt.Fprintln(s.Out, "The calls contradict nothing in the book.")
		return
	}
	fmt.Fprintln(s.Out, "\nNothing was changed. Where you agree, take the line over: it is saved into your own\nbook, as a draft for somebody else to check, over the entry of the built-in book.")
}

func printChange(s streams, cause, file, now, proposed string) {
	fmt.Fprintf(s.Out, "  %s\n    now:      %s\n    proposed: %s\n    take it:  faultbook edit %s --line %s\n", file, now, proposed, cause, inQuotes(proposed))
}

// inQuotes is a text as a shell takes it in one piece.
func inQuotes(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }

// smallChance is a chance that may be tiny.
func smallChance(p float64) string {
	if p < 1e-9 {
		return "under 1e-9"
	}
	return fmt.Sprintf("%.2g", p)
}
