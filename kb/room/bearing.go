package room

import (
	"fmt"
	"math"
	"sort"
	"time"

	"faultbook/kb"
)

// Bearing is what a sheet means for a call about its room on a day.
type Bearing struct {
	Sheet *Sheet
	// Trust is how far the sheet is believed that day, 0 to 1.
	Trust float64
	// AgeDays since the survey, -1 where no survey is written.
	AgeDays int
	// Facts are questions that the sheet answers.
	Facts []Fact
	// Weights multiply the chances of causes.
	Weights map[string]float64
	// Why says of a cause with a weight what the ground is.
	Why map[string]string
	// Absent are causes that cannot be here by the sheet, with the feature.
	Absent map[string]string
	// Walk gives minutes between the places of the book, nil for the usual.
	Walk [][]float64
	// Findings are the errors and warnings of the room's check.
	Findings []Finding
	// Works are those of the last weeks, newest first.
	Works []Work
}

// Fact is a question with the answer that the sheet gives.
type Fact struct {
	Question string  `json:"question"`
	Value    string  `json:"value"`
	Trust    float64 `json:"trust"`
	Why      string  `json:"why"`
}

// A sheet is believed at first as what a technician looked at (0.97). How fast
// that wanes is judgement, no source: cables and settings are changed sooner
// than a projector is hung. Below faint a fact is asked after all.
const (
	freshTrust    = 0.97
	halfLifeMoved = 4.0  // years, of what can be moved
	halfLifeFixed = 12.0 // years, of what is built in
	neverSurveyed = 0.7
	faint         = 0.6
)

// trustAt is the trust in something surveyed so long ago.
func trustAt(surveyed Day, now time.Time, halfLife float64) float64 {
	if surveyed.IsZero() {
		return neverSurveyed
	}
	years := math.Max(0, now.Sub(surveyed.Time).Hours()/24/365.25)
	return freshTrust * math.Exp2(-years/halfLife)
}

// Bear works out what the sheet means for a call on a day about the book.
func Bear(b *kb.Book, s *Sheet, now time.Time) *Bearing {
	r := Check(s)
	w := &bearer{s: s, report: &r, now: now, moved: trustAt(s.Surveyed, now, halfLifeMoved), fixed: trustAt(s.Surveyed, now, halfLifeFixed),
		out: &Bearing{Sheet: s, AgeDays: -1, Weights: map[string]float64{}, Why: map[string]string{}, Absent: map[string]string{}}}
	w.out.Trust = w.moved
	if !s.Surveyed.IsZero() {
		w.out.AgeDays = int(now.Sub(s.Surveyed.Time).Hours() / 24)
	}
	for _, f := range r.Findings {
		if f.Level == Error || f.Level == Warning {
			w.out.Findings = append(w.out.Findings, f)
		}
	}
	w.facts()
	w.absent()
	w.raised()
	w.sound()
	w.works()
	w.out.Walk = s.walk()
	w.known(b)
	return w.out
}

type bearer struct {
	s            *Sheet
	report       *Report
	now          time.Time
	moved, fixed float64
	out          *Bearing
}

// known drops what the book does not have: sheets and books change apart.
func (w *bearer) known(b *kb.Book) {
	kept, seen := w.out.Facts[:0], map[string]bool{}
	for _, f := range w.out.Facts {
		if seen[f.Question] {
			continue // worked out already
		}
		seen[f.Question] = true
		if q := kb.Get[kb.Question](b, f.Question); q != nil && q.Has(f.Value) && f.Trust >= faint {
			kept = append(kept, f)
		}
	}
	w.out.Facts = kept
	for id := range w.out.Weights {
		if kb.Get[kb.Cause](b, id) == nil {
			delete(w.out.Weights, id)
			delete(w.out.Absent, id)
		}
	}
}

// times multiplies the weight of causes; the first ground is kept.
func (w *bearer) times(factor float64, why string, causes ...string) {
	for _, id := range causes {
		if _, ok := w.out.Weights[id]; !ok {
			w.out.Weights[id] = 1
			w.out.Why[id] = why
		}
		w.out.Weights[id] *= factor
	}
}

// tell adds a fact.
func (w *bearer) tell(question, value string, trust float64, format string, args ...any) {
	w.out.Facts = append(w.out.Facts, Fact{question, value, trust, fmt.Sprintf(format, args...)})
}

// walk is the matrix of the book's places with the minutes of the sheet: the
// least of all walks between places of two kinds.
func (s *Sheet) walk() [][]float64 {
	is := map[string]int{}
	for _, p := range s.Places {
		for i, name := range kb.Places() {
			if p.Is == name {
				is[p.ID] = i + 1
			}
		}
	}
	m := kb.Walks()
	set := map[[2]int]bool{}
	for _, x := range s.Walks {
		a, b := is[x.From]-1, is[x.To]-1
		if a < 0 || b < 0 || a == b {
			continue
		}
		if !set[[2]int{a, b}] || x.Minutes < m[a][b] {
			m[a][b], m[b][a] = x.Minutes, x.Minutes
			set[[2]int{a, b}], set[[2]int{b, a}] = true, true
		}
	}
	if len(set) == 0 {
		return nil
	}
	return m
}

// recent are the works of the last days before now, newest first.
func (s *Sheet) recent(now time.Time, days int) []Work {
	var list []Work
	for _, x := range s.Works {
		if age := now.Sub(x.Day.Time).Hours() / 24; age >= 0 && age <= float64(days)+1 && x.Kind != "survey" {
			list = append(list, x)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Day.After(list[j].Day.Time) })
	return list
}
