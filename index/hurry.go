package index

import (
	"strconv"
	"strings"
)

// A caller in a hurry says so: the meeting starts in five minutes, the board is
// waiting, I present in ten. It tells nothing about the fault, but its words
// (minutes, starts, people, meeting) stand in what callers say about faults, too.
// Here remarks that name or imply a time are told by their form, count as words
// said that name nothing, and give the minutes until the meeting; what else is
// said aside, aside.go leaves out. What a device does in some minutes is no such
// remark: who begins must be people, and what begins a gathering.

// wordSet is a set of small-letter words.
type wordSet map[string]bool

func setOf(words string) wordSet {
	s := wordSet{}
	for _, w := range strings.Fields(words) {
		s[w] = true
	}
	return s
}

// run counts the words at the head of some that are in the set, up to most.
func (s wordSet) run(words []raw, most int) int {
	n := 0
	for n < most && n < len(words) && words[n].mark == 0 && s[words[n].text] {
		n++
	}
	return n
}

// hurryWords are the kinds of words that remarks of hurry are made of.
type hurryWords struct {
	numbers, units, about   wordSet // five, minutes, less than
	whose, gatherings       wordSet // our important, meeting
	we, helpers, begin, did wordSet // we, are about to, start, started
	people, wait, come      wordSet // clients, waiting, arrive
	forUs                   wordSet // what follows "waiting"
}

// hurries is ordinary English. It is only read.
var hurries = hurryWords{
	numbers: setOf("a an one two three four five six seven eight nine ten twelve fifteen twenty thirty forty half quarter few couple of " +
		"1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 20 25 30 40 45 50 60"),
	units: setOf("minute minutes min mins second seconds sec secs moment moments hour hours tick"),
	about: setOf("about under less than just only like around roughly exactly the next maybe literally another"),
	whose: setOf("the our my a an this his her their next big very important first staff sales management weekly annual press online " +
		"whole entire all senior new twenty thirty forty fifty sixty hundred ten fifteen twelve lot of room full"),
	gatherings: setOf("meeting meetings presentation conference session workshop webinar lecture lesson class training talk interview " +
		"exam review demo pitch event show seminar hearing ceremony call board client customer team briefing committee keynote speech reception"),
	we: setOf("we i they we're i'm they're we've i've we'll i'll he he's she she's who"),
	helpers: setOf("have has had got have to need needs must should shall will is are am was were be been being due supposed going about " +
		"want scheduled already now really just all only still"),
	begin: setOf("start starts begin begins kick kicks off present presents speak live on meet lecture teach go goes join"),
	did:   setOf("started begun starting beginning"),
	people: setOf("client clients customer customers guest guests visitor visitors audience board boss director directors ceo chairman " +
		"chairwoman minister mayor people everyone everybody students participants colleagues team delegates investors managers " +
		"partners attendees pupils panel president crowd folks"),
	wait:  setOf("wait waits waiting staring arriving outside seated"),
	come:  setOf("come comes coming arrive arrives walk walking due here sitting sat standing"),
	forUs: setOf("for me us the here to start begin already now there outside in at it"),
}

// calm puts words that name nothing in the place of remarks of hurry; words is
// used again.
func (h *hurryWords) calm(words []raw) []raw {
	if !told(words) {
		return words
	}
	for i := 0; i < len(words); {
		n := h.remark(words[i:])
		for k := range n {
			if words[i+k].mark == 0 {
				words[i+k].text = "it"
			}
		}
		i += max(1, n)
	}
	return words
}

// tellsHurry are the words of which every remark of hurry has one.
var tellsHurry = func() wordSet {
	all := setOf("soon shortly now already today at in within")
	for _, s := range []wordSet{hurries.units, hurries.did, hurries.begin, hurries.wait, hurries.come} {
		for w := range s {
			all[w] = true
		}
	}
	return all
}()

func told(words []raw) bool {
	for _, w := range words {
		if tellsHurry[w.text] {
			return true
		}
	}
	return false
}

// remark is how many words from here on are a remark of hurry; 0 for none.
func (h *hurryWords) remark(words []raw) int {
	if n := h.span(words); n > 0 {
		if m := h.body(words[n:], false); m > 0 {
			return n + m // "in ten minutes the board comes in"
		}
		if textAt(words, n-1) == "go" {
			return n
		}
		return 0
	}
	return h.body(words, true)
}

// body is a remark without a time before it; where timed, one must follow unless
// the words tell by themselves.
func (h *hurryWords) body(words []raw, timed bool) int {
	return max(h.gathering(words, timed), h.starting(words, timed), h.waiting(words, timed))
}

// span is a time to come: in about five minutes, any minute now, ten minutes
// before, two minutes to go.
func (h *hurryWords) span(words []raw) int {
	first := textAt(words, 0)
	if first == "any" && h.units[textAt(words, 1)] {
		return 2 + setOf("now").run(words[2:], 1)
	}
	n := 0
	if first == "in" || first == "within" || first == "with" {
		n = 1
	}
	n += h.about.run(words[n:], 3)
	count := h.numbers.run(words[n:], 4)
	if count == 0 || !h.units[textAt(words, n+count)] {
		return 0
	}
	n += count + 1
	switch after := textAt(words, n); {
	case after == "to" && textAt(words, n+1) == "go":
		return n + 2
	case after == "before" || after == "until" || after == "till":
		return n + 1
	}
	if first != "in" && first != "within" {
		return 0 // "five minutes" is how long something takes
	}
	return n + setOf("time from now").run(words[n:], 2)
}

// soon is a time to come at the end of a remark.
func (h *hurryWords) soon(words []raw) int {
	if n := h.span(words); n > 0 {
		return n
	}
	if n := h.numbers.run(words, 3); n > 0 && h.units[textAt(words, n)] && textAt(words, n+1) == "ago" {
		return n + 2
	}
	first := textAt(words, 0)
	switch {
	case first == "soon" || first == "shortly" || first == "now" || first == "already" || first == "today":
		return 1
	case first == "at" || first == "in": // "at nine", "in ten"
		count := h.numbers.run(words[1:], 2)
		next := textAt(words, 1+count)
		if count > 0 && (next == "" || next == "and" || next == "but" || next == "so" || next == "o'clock" || next == "sharp") {
			return 1 + count + setOf("o'clock sharp").run(words[1+count:], 1)
		}
	}
	return 0
}

// gathering is a meeting that begins; where timed, "the meeting" alone is none.
func (h *hurryWords) gathering(words []raw, timed bool) int {
	n := h.whose.run(words, 3)
	count := h.gatherings.run(words[n:], 3)
	if count == 0 {
		return 0
	}
	n += count
	m, sure := h.begins(words[n:])
	s := h.soon(words[n+m:])
	if s > 0 || sure || !timed {
		return n + m + s
	}
	return 0
}

// begins is "starts", "has already started", "is about to begin"; sure where it
// tells by itself that a beginning is near or was.
func (h *hurryWords) begins(words []raw) (n int, sure bool) {
	helped := h.helpers.run(words, 4)
	n = helped
	if k := h.did.run(words[n:], 1); k > 0 {
		return n + k, true
	}
	k := h.begin.run(words[n:], 2)
	return n + k, helped > 0 && k > 0
}

// starting is people who begin: we go live soon, I have a meeting in ten.
func (h *hurryWords) starting(words []raw, timed bool) int {
	if h.we.run(words, 1) == 0 {
		return 0
	}
	m, _ := h.begins(words[1:])
	n := 1 + m
	own := h.whose.run(words[n:], 3)
	if count := h.gatherings.run(words[n+own:], 3); count > 0 {
		n += own + count
		m++
	}
	if m == 0 {
		return 0
	}
	if s := h.soon(words[n:]); s > 0 || !timed {
		return n + s
	}
	return 0
}

// waiting is people who are there or will be: the board is waiting, twenty
// people are sitting here, the client arrives in ten minutes.
func (h *hurryWords) waiting(words []raw, timed bool) int {
	n := h.whose.run(words, 3)
	if k := h.people.run(words[n:], 2); k > 0 {
		n += k
	} else {
		return 0
	}
	n += h.helpers.run(words[n:], 3)
	if k := h.wait.run(words[n:], 2); k > 0 {
		return n + k + h.forUs.run(words[n+k:], 6)
	}
	k := h.come.run(words[n:], 3)
	if k == 0 {
		return 0
	}
	n += k
	if s := h.soon(words[n:]); s > 0 {
		return n + s
	}
	if textAt(words, n-1) == "here" || !timed {
		return n + setOf("in").run(words[n:], 1)
	}
	return 0
}

// textAt is the word at i, "" beyond the end and for a mark.
func textAt(words []raw, i int) string {
	if i < 0 || i >= len(words) {
		return ""
	}
	return words[i].text
}

// MeetingIn tells in how many minutes a meeting begins or people come, where a
// caller's words say so: 0 for one that has begun. False where they do not.
func MeetingIn(words string) (minutes float64, ok bool) {
	h := &hurries
	list := joinFigures(cut(nil, words))
	for i := 0; i < len(list); {
		n := h.remark(list[i:])
		if n > 0 {
			if minutes, ok := h.minutes(list[i : i+n]); ok {
				return minutes, true
			}
		}
		i += max(1, n)
	}
	return 0, false
}

// minutes reads the time in a remark of hurry.
func (h *hurryWords) minutes(words []raw) (float64, bool) {
	for i, w := range words {
		switch {
		case h.did[w.text], w.text == "ago":
			return 0, true
		case w.text == "any" && h.units[textAt(words, i+1)], w.text == "about" && textAt(words, i+1) == "to":
			return 1, true
		}
		n := h.numbers.run(words[i:], 4)
		if n == 0 || w.text == "of" {
			continue
		}
		unit, known := minutesIn(textAt(words, i+n))
		if !known && (textAt(words, i-1) != "in" || i+n < len(words)) {
			continue // "the first of two meetings"
		}
		return numberOf(words[i:i+n]) * unit, true
	}
	return 0, false
}

// minutesIn is a unit of time in minutes; 1, as for "in ten", where it is none.
func minutesIn(unit string) (float64, bool) {
	switch {
	case unit == "":
		return 1, false
	case strings.HasPrefix(unit, "hour"):
		return 60, true
	case strings.HasPrefix(unit, "sec"), strings.HasPrefix(unit, "moment"), unit == "tick":
		return 0, true
	case strings.HasPrefix(unit, "min"):
		return 1, true
	}
	return 1, false
}

// numberOf is the number that some words name: a few, half an, twenty five, 10.
func numberOf(words []raw) float64 {
	sum, part := 0.0, 1.0
	for _, w := range words {
		switch w.text {
		case "half":
			part = 0.5
		case "quarter":
			part = 0.25
		case "couple":
			sum += 2
		case "few":
			sum += 3
		case "a", "an", "of":
		default:
			if n, err := strconv.Atoi(w.text); err == nil {
				sum += float64(n)
				continue
			}
			sum += numberWords[w.text]
		}
	}
	if sum == 0 {
		sum = 1
	}
	return sum * part
}

// numberWords are the numbers that are written out.
var numberWords = map[string]float64{"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
	"ten": 10, "twelve": 12, "fifteen": 15, "twenty": 20, "thirty": 30, "forty": 40, "forty-five": 45, "fifty": 50, "sixty": 60}
