package cases

import (
	"math"
	"sort"
	"time"
)

// Stats is what the calls of a period come to. Lists are never nil.
type Stats struct {
	Calls    int `json:"calls"`
	Open     int `json:"open"`
	Cured    int `json:"cured"`
	OnPhone  int `json:"cured_on_phone"`
	Handover int `json:"handed_over"`
	Visits   int `json:"visits"`
	Closed   int `json:"closed"`
	Started  int `json:"started_with_workaround"`
	Known    int `json:"cause_known"` // ended with a cause
	// PhoneShare is OnPhone over the calls that have ended, 0..1; 0 for none.
	PhoneShare float64        `json:"cured_on_phone_share"`
	Minutes    MinutesStat    `json:"minutes"`
	Symptoms   []SymptomStat  `json:"symptoms"`
	Causes     []CauseStat    `json:"causes"`
	Idle       []IdleQuestion `json:"idle_questions"`
	Unused     Unused         `json:"unused"`
}

// MinutesStat compares what calls took with what was expected of them. Spent
// is the time on the line and, where a call was passed on, the minutes that
// the book counts for the handover: that is what the expectation holds too.
type MinutesStat struct {
	Calls    int     `json:"calls"` // ended, with a known symptom
	Line     float64 `json:"line_mean"`
	Median   float64 `json:"line_median"`
	Spent    float64 `json:"spent_mean"`
	Expected float64 `json:"expected_mean"`
}

// SymptomStat is a line of the statistics.
type SymptomStat struct {
	Symptom string      `json:"symptom"` // "" where nothing was understood
	Title   string      `json:"title"`
	Calls   int         `json:"calls"`
	Ended   int         `json:"ended"`
	OnPhone int         `json:"cured_on_phone"`
	Visits  int         `json:"visits"`
	Minutes MinutesStat `json:"minutes"`
}

// CauseStat is a cause with the ended calls that had it.
type CauseStat struct {
	Cause string `json:"cause"`
	Title string `json:"title"`
	Calls int    `json:"calls"`
}

// IdleQuestion was asked and answered at least IdleAnswers times and never
// changed which cause was likeliest.
type IdleQuestion struct {
	Question string `json:"question"`
	Title    string `json:"title"`
	Answered int    `json:"answered"`
}

// IdleAnswers is how often a question must have been answered before it is
// said that it never helped; fewer answers say little.
const IdleAnswers = 5

// Unused are the entries that no call of the last year used. Known is false
// where the calls do not go back a year, so that nothing can be said.
type Unused struct {
	Known   bool          `json:"known"`
	Since   string        `json:"since"` // the day from which on no call used them
	Entries []UnusedEntry `json:"entries"`
}

// UnusedEntry is an entry with the day of the last call that used it, "" for
// none.
type UnusedEntry struct {
	Kind  string `json:"kind"`
	ID    string `json:"id"`
	Title string `json:"title"`
	Last  string `json:"last_used"`
}

// Move is a question that was asked and answered, and whether the answer
// changed which cause was likeliest.
type Move struct {
	Question string
	Moved    bool
}

// Trade is what statistics must know of the book.
type Trade struct {
	Title func(id string) string
	// Visit reports whether a handover sends somebody, Cost its minutes.
	Visit func(handover string) bool
	Cost  func(handover string) float64
	// Expected gives the minutes that the engine expects at the opening of a
	// call about a symptom, by the book alone; false where it cannot tell.
	Expected func(symptom string, technician bool) (float64, bool)
	// Entries are those that a call can use, without a day.
	Entries []UnusedEntry
}

// Count makes the statistics of the records. moves are those of the calls that
// were looked at for idle questions. all are the records of every period and
// now is the day: entries count as unused over the year before the newest call
// that is not in the future.
func Count(list []Record, moves []Move, all []Record, now time.Time, t Trade) Stats {
	s := Stats{Symptoms: []SymptomStat{}, Causes: []CauseStat{}, Idle: []IdleQuestion{}}
	bySymptom, causes := map[string]*tally{}, map[string]int{}
	total := tally{}
	for i := range list {
		r := &list[i]
		if bySymptom[r.Symptom] == nil {
			bySymptom[r.Symptom] = &tally{}
		}
		total.take(r, t)
		bySymptom[r.Symptom].take(r, t)
		s.take(r)
		if r.Ended() && r.Cause != "" {
			s.Known++
			causes[r.Cause]++
		}
	}
	s.OnPhone, s.Visits, s.Minutes = total.phone, total.visits, total.minutes()
	if ended := s.Calls - s.Open; ended > 0 {
		s.PhoneShare = float64(s.OnPhone) / float64(ended)
	}
	for id, y := range bySymptom {
		s.Symptoms = append(s.Symptoms, SymptomStat{id, t.Title(id), y.calls, y.ended, y.phone, y.visits, y.minutes()})
	}
	for id, n := range causes {
		s.Causes = append(s.Causes, CauseStat{id, t.Title(id), n})
	}
	s.Idle = idle(moves, t)
	s.Unused = unused(all, now, t)
	s.sort()
	return s
}

// take counts how one call ended.
func (s *Stats) take(r *Record) {
	s.Calls++
	switch r.End {
	case EndOpen:
		s.Open++
	case EndCured:
		s.Cured++
	case EndHandover:
		s.Handover++
	case EndClosed:
		s.Closed++
	}
	if r.Started {
		s.Started++
	}
}

// sort puts the most calls first, ties by id.
func (s *Stats) sort() {
	sort.Slice(s.Symptoms, func(i, j int) bool {
		a, b := s.Symptoms[i], s.Symptoms[j]
		return a.Calls > b.Calls || a.Calls == b.Calls && a.Symptom < b.Symptom
	})
	sort.Slice(s.Causes, func(i, j int) bool {
		a, b := s.Causes[i], s.Causes[j]
		return a.Calls > b.Calls || a.Calls == b.Calls && a.Cause < b.Cause
	})
}

// tally sums the calls of one line.
type tally struct {
	calls, ended, phone, visits int
	line, spent, expected       []float64
}

func (y *tally) take(r *Record, t Trade) {
	y.calls++
	if r.Handover != "" && t.Visit(r.Handover) {
		y.visits++
	}
	if !r.Ended() {
		return
	}
	y.ended++
	if r.OnPhone() {
		y.phone++
	}
	want, ok := t.Expected(r.Symptom, r.OnSite)
	if !ok {
		return
	}
	spent := r.Minutes
	if r.Handover != "" {
		spent += t.Cost(r.Handover)
	}
	y.line, y.spent, y.expected = append(y.line, r.Minutes), append(y.spent, spent), append(y.expected, want)
}

func (y *tally) minutes() MinutesStat {
	n := len(y.line)
	if n == 0 {
		return MinutesStat{}
	}
	line := mean(y.line) // sorts
	median := (y.line[(n-1)/2] + y.line[n/2]) / 2
	return MinutesStat{n, line, round1(median), mean(y.spent), mean(y.expected)}
}

// mean sorts the figures before it sums them, so that the result does not
// depend on the order of the calls.
func mean(list []float64) float64 {
	sort.Float64s(list)
	sum := 0.0
	for _, x := range list {
		sum += x
	}
	return round1(sum / float64(len(list)))
}

func round1(x float64) float64 { return math.Round(10*x) / 10 }

// idle are the questions that never moved the likeliest cause.
func idle(moves []Move, t Trade) []IdleQuestion {
	answered, moved := map[string]int{}, map[string]bool{}
	for _, m := range moves {
		answered[m.Question]++
		moved[m.Question] = moved[m.Question] || m.Moved
	}
	list := []IdleQuestion{}
	for id, n := range answered {
		if n >= IdleAnswers && !moved[id] {
			list = append(list, IdleQuestion{id, t.Title(id), n})
		}
	}
	sort.Slice(list, func(i, j int) bool {
		a, b := list[i], list[j]
		return a.Answered > b.Answered || a.Answered == b.Answered && a.Question < b.Question
	})
	return list
}

// unused compares the entries with the days of the calls that used them.
func unused(all []Record, now time.Time, t Trade) Unused {
	u := Unused{Entries: []UnusedEntry{}}
	var first, newest time.Time
	last := map[string]time.Time{}
	for i := range all {
		r := &all[i]
		if r.Opened.After(now) {
			continue // a clock that was wrong
		}
		if first.IsZero() || r.Opened.Before(first) {
			first = r.Opened
		}
		if r.Opened.After(newest) {
			newest = r.Opened
		}
		for _, id := range r.uses() {
			if r.Opened.After(last[id]) {
				last[id] = r.Opened
			}
		}
	}
	since := newest.AddDate(-1, 0, 0)
	if u.Known = len(all) > 0 && !first.IsZero() && !first.After(since); !u.Known {
		return u
	}
	u.Since = since.Format(time.DateOnly)
	for _, e := range t.Entries {
		at := last[e.Kind+"/"+e.ID]
		if !at.Before(since) {
			continue
		}
		if !at.IsZero() {
			e.Last = at.Format(time.DateOnly)
		}
		u.Entries = append(u.Entries, e)
	}
	return u
}

// uses are the entries that the call used, as kind/id.
func (r *Record) uses() []string {
	list := []string{"symptom/" + r.Symptom, "cause/" + r.Cause, "handover/" + r.Handover}
	for _, id := range r.Unknown {
		list = append(list, "question/"+id)
	}
	for _, a := range r.Answers {
		list = append(list, "question/"+a.Question)
	}
	for _, t := range r.Tried {
		list = append(list, "remedy/"+t.Remedy)
	}
	return list
}
