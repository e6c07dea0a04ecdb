package reading

import (
	"fmt"
	"regexp"
	"strings"
)

// Ping is the outcome of one or several pings.
type Ping struct {
	Targets []PingTarget `json:"targets"`
}

// PingTarget is one run of ping. Times are nil where no answer came.
type PingTarget struct {
	Target      string   `json:"target"`
	Sent        int      `json:"sent"`
	Received    int      `json:"received"`
	LossPercent float64  `json:"loss_percent"`
	MinMS       *float64 `json:"min_ms"`
	AverageMS   *float64 `json:"average_ms"`
	MaxMS       *float64 `json:"max_ms"`
	Duplicates  int      `json:"duplicates"`
	// Unreachable counts answers of a router or host that the target cannot be
	// reached; ReportedBy is the first of them.
	Unreachable int    `json:"unreachable"`
	ReportedBy  string `json:"reported_by"`
	TTLs        []int  `json:"ttls"`
	line        int
}

var (
	pingHead    = regexp.MustCompile(`(?i)^ping(?:ing)? (\S+)`)
	pingCounts  = regexp.MustCompile(`(\d+) packets transmitted, (\d+)(?: packets)? received`)
	pingSent    = regexp.MustCompile(`Packets: Sent = (\d+), Received = (\d+), Lost = (\d+)`)
	pingTimes   = regexp.MustCompile(`(?:rtt|round-trip) min/avg/max(?:/\w+)? = ([\d.]+)/([\d.]+)/([\d.]+)`)
	pingMinimum = regexp.MustCompile(`Minimum = (\d+)ms, Maximum = (\d+)ms, Average = (\d+)ms`)
	pingDup     = regexp.MustCompile(`\+(\d+) duplicates|\(DUP!\)`)
	pingLost    = regexp.MustCompile(`(?i)(?:From|Reply from) (\S+?):? .*unreachable`)
	pingTTL     = regexp.MustCompile(`(?i)\bttl=(\d+)`)
)

// readPing reads the runs of ping in a text; nil if there is no summary line.
func readPing(t *text) *Reading {
	runs := parsePing(t)
	if len(runs) == 0 {
		return nil
	}
	r := newReading(KindPing, runs[0].Target, runs[0].line)
	r.Decoded = Ping{Targets: runs}
	pingFacts(r, runs)
	for _, p := range runs {
		r.row(p.Target, "%s", p.summary())
	}
	return r
}

func parsePing(t *text) []PingTarget {
	var runs []PingTarget
	current := PingTarget{TTLs: []int{}}
	marks := 0 // (DUP!) marks, counted where the summary has no figure
	done := false
	for i, line := range t.lines {
		if m := pingHead.FindStringSubmatch(strings.TrimSpace(line)); m != nil && m[1] != "statistics" {
			current, marks, done = PingTarget{Target: strings.TrimSuffix(m[1], ":"), TTLs: []int{}, line: i + 1}, 0, false
			continue
		}
		if !done {
			current.answer(line, &marks)
		}
		if current.counts(line) {
			if current.Duplicates == 0 {
				current.Duplicates = marks
			}
			if current.line == 0 {
				current.line = i + 1 // the first lines were not pasted
			}
			runs, done = append(runs, current), true
			continue
		}
		if done {
			runs[len(runs)-1].times(line)
		}
	}
	return runs
}

// answer notes what a line of one packet tells.
func (p *PingTarget) answer(line string, marks *int) {
	if strings.Contains(line, "(DUP!)") {
		*marks++
	}
	if m := pingLost.FindStringSubmatch(line); m != nil {
		p.Unreachable++
		if p.ReportedBy == "" {
			p.ReportedBy = m[1]
		}
	}
	if m := pingTTL.FindStringSubmatch(line); m != nil {
		ttl := number(m[1])
		for _, have := range p.TTLs {
			if have == ttl {
				return
			}
		}
		if len(p.TTLs) < 8 {
			p.TTLs = append(p.TTLs, ttl)
		}
	}
}

// counts reads the line with the numbers of packets.
func (p *PingTarget) counts(line string) bool {
	m := pingCounts.FindStringSubmatch(line)
	if m == nil {
		m = pingSent.FindStringSubmatch(line)
	}
	if m == nil {
		return false
	}
	p.Sent, p.Received = number(m[1]), number(m[2])
	if d := pingDup.FindStringSubmatch(line); d != nil && d[1] != "" {
		p.Duplicates = number(d[1])
	}
	// Some systems count an "unreachable" answer as received.
	answers := p.Received
	if len(m) > 3 {
		answers = max(0, answers-p.Unreachable)
		p.Received = answers
	}
	if p.Sent > 0 {
		p.LossPercent = float64(max(0, p.Sent-answers)) * 100 / float64(p.Sent)
	}
	return true
}

// times reads the line with the round trips.
func (p *PingTarget) times(line string) {
	order := [3]int{1, 2, 3}
	m := pingTimes.FindStringSubmatch(line)
	if m == nil {
		m, order = pingMinimum.FindStringSubmatch(line), [3]int{1, 3, 2}
	}
	if m == nil {
		return
	}
	var v [3]float64
	for i := range v {
		var ok bool
		if v[i], ok = decimal(m[order[i]]); !ok {
			return // all three figures or none
		}
	}
	p.MinMS, p.AverageMS, p.MaxMS = &v[0], &v[1], &v[2]
}

// pingFacts states the worst of the runs.
func pingFacts(r *Reading, runs []PingTarget) {
	worst := runs[0]
	for _, p := range runs[1:] {
		if p.LossPercent > worst.LossPercent {
			worst = p
		}
	}
	r.fact(PingAnswers, worst.Received > 0, "", "%d of %d answered by %s", worst.Received, worst.Sent, worst.Target)
	r.fact(PingLoss, worst.LossPercent, "%", "%.3g %% lost to %s", worst.LossPercent, worst.Target)
	if worst.AverageMS != nil {
		r.fact(PingAverage, *worst.AverageMS, "ms", "%g ms on average", *worst.AverageMS)
		r.fact(PingWorst, *worst.MaxMS, "ms", "%g ms at worst", *worst.MaxMS)
	}
	r.fact(PingDuplicates, worst.Duplicates > 0, "", "%s", plural(worst.Duplicates, "duplicate answer"))
	r.fact(PingUnreachable, worst.Unreachable > 0, "", "%s that the target cannot be reached", plural(worst.Unreachable, "answer"))
	switch {
	case worst.Duplicates > 0 || len(worst.TTLs) > 1:
		r.remark("N-033", srcPractice, "%s answers twice or in two ways: two devices with one address, or two ways to it; look in the ARP table, disconnect one and ping again", worst.Target)
	case worst.Unreachable > 0:
		r.remark("N-034", "from memory (RFC 3927)", "%s says that %s cannot be reached: wrong subnet, no route, or nobody with that address", worst.ReportedBy, worst.Target)
	case worst.Received == 0:
		r.remark("N-034", "from memory (RFC 3927)", "no answer from %s: off, another subnet or VLAN, or it does not answer ping", worst.Target)
	case worst.LossPercent > 0:
		r.remark("N-008", "read: encyclopaedia article on duplex mismatch (secondary)", "%.3g %% lost to %s: look at the error counters of both ports", worst.LossPercent, worst.Target)
	}
}

func (p PingTarget) summary() string {
	s := fmt.Sprintf("%d sent, %d answered, %.3g %% lost", p.Sent, p.Received, p.LossPercent)
	if p.AverageMS != nil {
		s += fmt.Sprintf(", %g to %g ms, average %g ms", *p.MinMS, *p.MaxMS, *p.AverageMS)
	}
	if p.Duplicates > 0 {
		s += ", " + plural(p.Duplicates, "duplicate")
	}
	if p.Unreachable > 0 {
		s += ", unreachable says " + p.ReportedBy
	}
	return s
}
