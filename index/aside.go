package index

import "strings"

// Hurry says nothing about the fault: that the meeting starts in five minutes, that
// twenty people are sitting there. Who learnt it with a phrase of one symptom
// would hear that symptom in every hurry. So it names nothing, in what authors
// wrote as in what callers say.
//
// It is told by who begins and by when: "the meeting starts in ten minutes" is
// hurry, "it goes black after ten minutes" is a fact, and so is all that comes
// behind "when" or "every time".

// leaveAside takes out of some words what is only said aside: hurry, and drinks
// that nobody spilled.
func leaveAside(words []raw) []raw {
	kinds := asides(0)
	for _, w := range words {
		if w.mark == 0 {
			kinds |= asidesWith(w.text)
		}
	}
	if kinds == 0 {
		return words
	}
	h := &aside{words: words}
	for i := 0; i < len(words); {
		n := 0
		if words[i].mark == 0 {
			n = h.longest(i, kinds)
		}
		for k := range n {
			words[i+k].text = "there" // no word that marks a noun: "off" before it stays
		}
		i += max(n, 1)
	}
	return words
}

// asides is a set of kinds of what is said aside. Each kind has a word that tells
// it: only where that is somewhere is the kind looked for.
type asides uint16

const (
	aBeginning asides = 1 << iota
	aDate
	aWait
	aComing
	aRest
	aBefore
	aLateness
	aFullRoom
	aPlea
	aPress
	aDrink
	aPlace
	aLasting
)

var readers = [...]func(*aside) bool{
	(*aside).begins, (*aside).isDue, (*aside).waits, (*aside).comes, (*aside).hasLeft, (*aside).isBefore, (*aside).isLate, (*aside).isFull,
	(*aside).pleads, (*aside).presses, (*aside).drinks, (*aside).isHere, (*aside).lasts,
}

// asidesWith gives the kinds that a word tells.
func asidesWith(word string) asides {
	if isDigit(word[0]) {
		return aDate | aRest | aLasting | aPlace
	}
	return tellers[word]
}

// tellers are the words that tell each kind.
var tellers = func() map[string]asides {
	m := map[string]asides{}
	for kind, list := range map[asides]string{
		aBeginning: "start starts started starting begin begins began begun beginning live commences underway running air way on up go goes going gone went " +
			"kick kicks kicking kicked present presenting presents speak speaking speaks teach teaching",
		aDate:            "noon midday lunchtime at",
		aDate | aRest:    "moment bit while second minute hour sec",
		aRest | aLasting: "minute minutes min mins hour hours moment moments second seconds sec secs bit while",
		aDate | aLasting: "minute minutes min mins hour hours ten five two three fifteen twenty thirty",
		aWait:            "waiting sitting standing seated stood gathered queueing queuing sat watching looking staring here there ready inside",
		aComing:          "way walk walking walks arrive arrives arriving arrived coming come comes expected due here there back",
		aBefore:          "before until till",
		aLateness:        "late behind",
		aFullRoom:        "full",
		aPlea:            "can could will would",
		aPress:           "hurry quick quickly soon fast rush time ticking lose waste long urgent clock",
		aPlace:           "room boardroom hall",
		aDrink:           "coffee coffees tea teas water juice wine beer drink drinks beverage beverages lemonade champagne cuppa soup latte espresso smell smells smelling smelled smelt",
	} {
		for _, word := range strings.Fields(list) {
			m[word] |= kind
		}
	}
	return m
}()

// aside reads what is said aside at one place. Each of its steps reports whether it
// was there and goes on behind it. One of several words may stop amid them: whole
// goes back then.
type aside struct {
	words []raw
	at    int
}

// longest is how many words that are said aside begin at a place.
func (h *aside) longest(from int, kinds asides) int {
	most := 0
	for k, reads := range readers {
		if kinds>>k&1 == 0 {
			continue
		}
		if h.at = from; reads(h) {
			most = max(most, h.at-from)
		}
	}
	return most
}

// begins reads "the meeting starts in ten minutes", "we go live at nine".
func (h *aside) begins() bool {
	if h.isTimed() {
		return false
	}
	if h.take("that", "which") && !begins(h.before(2)) { // "the meeting that starts at ten"
		return h.starts() && h.soon()
	}
	event := h.event()
	we := !event && (h.take("i", "we") || begins(h.before(1)) && h.is("going", "starting", "presenting"))
	if !event && !we && !h.film() {
		return false
	}
	about := h.auxiliaries()
	if h.take("present", "presenting", "presents", "speak", "speaking", "speaks", "teach", "teaching") {
		return we && h.soon()
	}
	live := h.is("live", "on")
	switch {
	case !h.starts():
		return false
	case h.soon():
		return true
	case event:
		return about != "" && h.weak()
	}
	return we && (live || about == "about" || about == "supposed" || about == "due") && h.weak()
}

// isDue reads "meeting in five minutes", "my talk is at ten".
func (h *aside) isDue() bool {
	switch h.before(1) {
	case "of", "from", "into", "join", "start", "leave", "in", "during", "after":
		return false
	}
	if h.isTimed() || !h.event() && !h.film() && !h.people() {
		return false
	}
	h.auxiliaries()
	return (h.within() || h.clock()) && !h.does()
}

// does reports whether a verb follows: "the meeting at ten does not appear" is about
// the meeting.
func (h *aside) does() bool {
	return h.is("is", "are", "was", "does", "do", "did", "has", "have", "had", "will", "would", "can", "could", "not", "n't", "cannot", "never", "should", "says", "shows", "keeps")
}

// waits reads "twenty people are sitting here", "the board is waiting".
func (h *aside) waits() bool {
	if h.isTimed() {
		return false
	}
	we := h.take("i", "we")
	if !we && !h.people() {
		return false
	}
	h.auxiliaries()
	switch {
	case h.take("waiting", "sitting", "standing", "seated", "stood", "gathered", "queueing", "queuing", "sat"):
	case we:
		return false
	case h.take("watching", "looking", "staring"):
		return !h.is("no", "nothing")
	case h.take("here", "there", "ready", "inside"):
		return h.weak()
	default:
		return false
	}
	h.places()
	return !h.is("on", "in", "under", "beside", "next", "inside", "for", "to") // a chair, water, the online lobby, the slides
}

// isFull reads "a room full of people".
func (h *aside) isFull() bool {
	return h.take("room", "hall", "house") && h.take("full") && h.take("of") && h.people()
}

// pleads reads "can you fix it": who wants help does not ask how a thing is done.
func (h *aside) pleads() bool {
	if !h.take("can", "could", "will", "would") || !h.take("you", "someone", "somebody", "anyone", "anybody") {
		return false
	}
	h.take("please", "just", "quickly", "maybe")
	switch {
	case h.take("fix", "sort", "repair", "mend"):
		return h.take("it", "this", "that") && h.maybe("out", "quickly", "now")
	case h.take("help"):
		h.take("me", "us")
		h.take("with")
		h.take("it", "this", "that", "out", "here")
		return h.ends()
	case h.take("come", "pop"):
		h.take("over", "up", "down", "round", "by", "in", "out", "along")
		h.take("here", "quickly", "please", "now", "straight", "right")
		h.take("away", "now")
		return h.ends() && !h.is("and")
	case h.take("send"):
		return h.take("someone", "somebody", "anyone", "anybody") || h.take("a", "an") && h.take("technician", "engineer", "person", "man")
	case h.take("do"):
		return h.take("something", "anything") && h.maybe("about") && h.maybe("it", "this", "that")
	case h.take("have", "take"):
		return h.take("a") && h.take("look") && h.maybe("at") && h.maybe("it", "this", "that")
	}
	return false
}

// comes reads "the client arrives any minute", "they are on their way".
func (h *aside) comes() bool {
	if h.isTimed() {
		return false
	}
	anybody := h.people()
	if !anybody && !h.take("they", "he", "she", "we", "i") {
		return false
	}
	h.auxiliaries()
	switch {
	case h.take("on") && h.take("the", "their", "his", "her", "its") && h.take("way"):
		return true
	case h.take("walk", "walking", "walks") && h.take("in", "through", "into"):
		h.places()
		return true
	case h.take("arrive", "arrives", "arriving", "arrived", "coming", "come", "comes", "expected", "due", "here", "there", "back"):
		placed := h.places()
		return h.time() || anybody && placed || anybody && h.weak()
	}
	return false
}

// hasLeft reads "we only have five minutes", "ten minutes until we start".
func (h *aside) hasLeft() bool {
	if h.isTimed() {
		return false
	}
	ours := h.take("i", "we") || h.take("there") && h.is("is", "are")
	if h.auxiliaries() == "had" {
		return false
	}
	begun := ours || begins(h.before(1)) || h.is("only", "just")
	h.roughly()
	if !h.quantity() {
		return false
	}
	switch {
	case h.take("left"), h.take("to") && h.take("go", "spare", "start"):
		return true
	case !begun:
		return false
	case h.take("until", "till", "before", "to"):
		return h.occasion()
	}
	return ours && h.ends()
}

// isBefore reads "before the meeting starts", "before we go live".
func (h *aside) isBefore() bool {
	return h.take("before", "until", "till") && h.occasion()
}

// occasion reads "we start", "the meeting", "the meeting starts".
func (h *aside) occasion() bool {
	if h.take("i", "we") {
		h.auxiliaries()
		return h.starts()
	}
	if !h.event() && !h.people() {
		return false
	}
	h.auxiliaries()
	if h.starts() || h.take("arrive", "arrives", "come", "comes") {
		return true
	}
	return h.weak()
}

// isLate reads "we are already running late"; late sound is another thing.
func (h *aside) isLate() bool {
	if !h.take("i", "we") {
		return false
	}
	h.auxiliaries()
	h.take("running", "terribly", "very", "so", "really")
	return h.take("late", "behind") && h.ends()
}

// isHere reads "in room 12", "in the blue room": where somebody rings from is no
// colour and no fault of the whole room.
func (h *aside) isHere() bool {
	h.take("here", "up", "down", "over")
	in := h.take("in", "from", "at")
	if h.take("room") {
		h.take("number", "no")
		at := h.at
		for h.isNumber() || h.isDoor() {
			h.at++
		}
		return h.at > at
	}
	if !in {
		return false
	}
	for isLead(h.word()) {
		h.at++
	}
	return h.take("blue", "green", "red", "yellow", "white", "black", "orange", "purple", "pink", "grey", "brown", "silver", "golden", "gold",
		"big", "large", "small", "little", "tiny", "new", "old", "round", "glass", "corner", "narrow", "long") && h.take("room", "boardroom", "hall")
}

// isDoor reports whether the word here is what a door says: b12, 4a, c.
func (h *aside) isDoor() bool {
	w := h.word()
	if len(w) > 4 || w == "" || w == "a" || w == "i" {
		return false
	}
	letters := 0
	for i := range len(w) {
		if !isDigit(w[i]) {
			letters++
		}
	}
	return letters == 1
}

// lasts reads "it has been so for ten minutes": how long somebody has looked at it
// already, where "for ten minutes and then" is how long it holds.
func (h *aside) lasts() bool {
	been := false
	for k := 1; k <= 6 && h.before(k) != ""; k++ {
		been = been || h.before(k) == "been"
	}
	if !h.take("for") {
		return false
	}
	h.roughly()
	return h.quantity() && (h.take("now", "already") || been && h.ends() && !h.is("and", "then"))
}

// presses reads what is said about hurry by itself.
func (h *aside) presses() bool {
	for _, words := range pressing[h.word()] {
		if h.phrase(words) {
			return true
		}
	}
	return false
}

var pressing = byFirst("please hurry, hurry up, hurry please, please be quick, be quick, be quick please, quick please, quickly please, please quickly, " +
	"as soon as possible, as soon as you can, as fast as you can, as fast as possible, as quick as you can, as quick as possible, as quickly as possible, " +
	"as quickly as you can, quick as you can, quickly as you can, in a terrible hurry, in a great hurry, in a real hurry, in such a hurry, in a mad rush, " +
	"in a terrible rush, bit of a hurry, bit of a rush, running out of time, run out of time, time is running out, time is short, time is pressing, clock is ticking, " +
	"there is no time, there no time, it urgent, it really urgent, it very urgent, this urgent, i have no time, we have no time, we have not got time, no time to lose, no time to waste, not much time, n't got much time, n't have much time, " +
	"n't got long, n't have long, not got long, n't got time, n't have time, short of time, short on time, pressed for time, pushed for time, tight on time, against the clock, " +
	"it is urgent, it is really urgent, it is very urgent, this is urgent, this is really urgent")

func byFirst(list string) map[string][][]string {
	m := map[string][][]string{}
	for _, text := range strings.Split(list, ", ") {
		words := strings.Fields(text)
		m[words[0]] = append(m[words[0]], words)
	}
	return m
}

// isTimed reports whether what begins here tells when something else happens.
func (h *aside) isTimed() bool {
	k := 1
	for isLead(h.before(k)) || isAttribute(h.before(k)) {
		k++
	}
	switch h.before(k) {
	case "when", "whenever", "if", "once", "time", "moment", "after", "since", "while", "until", "every":
		return true
	case "as":
		return h.before(k+1) == "soon"
	}
	return false
}

// event reads what a meeting is called, with what stands before it and with
// whom it is.
func (h *aside) event() bool {
	return h.named(isEvent)
}

// film reads what may begin and may as well be what the call is about.
func (h *aside) film() bool { return h.named(isFilm) }

// people reads those who are kept waiting.
func (h *aside) people() bool {
	return h.named(isPeople)
}

// named reads a name with the words that lead up to it.
func (h *aside) named(is func(string) bool) bool {
	from := *h
	for range 6 {
		if next := h.ahead(1); is(h.word()) && !is(next) {
			h.at++
			h.company()
			return true
		}
		if !isLead(h.word()) && !isAttribute(h.word()) && !h.isNumber() {
			break
		}
		h.at++
	}
	*h = from
	return false
}

// company reads "with the investors".
func (h *aside) company() {
	from := *h
	if h.take("with", "for") && h.named(isPeople) {
		return
	}
	*h = from
}

func isLead(word string) bool {
	switch word {
	case "the", "a", "an", "my", "our", "your", "his", "her", "their", "this", "that", "all", "whole", "entire", "these", "with", "of":
		return true
	}
	return false
}

func isAttribute(word string) bool {
	switch word {
	case "board", "client", "customer", "staff", "team", "sales", "press", "big", "important", "huge", "next", "first", "full", "management",
		"other", "video", "town", "hall", "annual", "weekly", "job", "training", "project", "some", "about", "room", "most", "external", "very", "lot", "lots":
		return true
	}
	return false
}

func isEvent(word string) bool {
	switch word {
	case "meeting", "meetings", "session", "lecture", "interview", "interviews", "workshop", "training", "class", "lesson", "briefing", "hearing", "event",
		"webinar", "seminar", "ceremony", "keynote", "conference", "exam", "assembly", "rehearsal", "negotiation", "negotiations", "review", "pitch",
		"appointment", "talks", "debate":
		return true
	}
	return false
}

func isFilm(word string) bool {
	switch word {
	case "presentation", "presentations", "call", "talk", "stream", "broadcast", "livestream", "film", "movie", "demo", "videoconference", "speech", "teleconference":
		return true
	}
	return false
}

func isPeople(word string) bool {
	switch word {
	case "people", "persons", "everyone", "everybody", "guests", "guest", "visitors", "visitor", "client", "clients", "customer", "customers", "audience",
		"board", "boss", "bosses", "director", "directors", "chairman", "chairwoman", "chair", "ceo", "minister", "mayor", "council", "councillors", "delegates", "delegation",
		"committee", "team", "students", "pupils", "class", "partners", "investors", "management", "managers", "manager", "colleagues", "jury", "candidate",
		"candidates", "applicants", "parents", "staff", "folk", "folks", "trustees", "governors", "vips", "others", "employees", "members", "shareholders", "president", "crowd":
		return true
	}
	return false
}

// auxiliaries reads the small words of a verb and gives the one that says most.
func (h *aside) auxiliaries() (about string) {
	for {
		switch h.word() {
		case "is", "are", "am", "was", "were", "should", "has", "have", "had", "will", "would", "must", "be", "been", "s", "ll", "re", "ve", "m", "d":
			if about == "" {
				about = h.word()
			}
		case "about", "supposed", "due", "meant", "scheduled", "ready":
			about = h.word()
		case "to", "just", "all", "only", "actually", "really", "currently", "meanwhile", "both", "got":
		case "already", "now":
			if h.ahead(1) == "" {
				return about
			}
		case "going":
			if h.ahead(1) != "to" {
				return about
			}
		default:
			return about
		}
		h.at++
	}
}

// starts reads a verb of beginning.
func (h *aside) starts() bool {
	switch {
	case h.take("start", "starts", "started", "starting", "begin", "begins", "began", "begun", "beginning", "live", "commences", "underway", "running"):
		return true
	case h.phrase([]string{"on", "air"}), h.phrase([]string{"under", "way"}), h.take("on", "up") && h.is("in", "at"):
		return true
	case h.take("go", "goes", "going", "gone", "went"):
		return h.take("live", "ahead") || h.take("on") && (h.take("air", "stage") || h.is("in", "at"))
	case h.take("kick", "kicks", "kicking", "kicked"):
		return h.take("off")
	}
	return false
}

// time reads when it begins, said weakly or not.
func (h *aside) time() bool {
	from := *h
	if h.soon() {
		return true
	}
	*h = from
	if h.take("straight", "right") && h.take("away", "now") {
		return true
	}
	*h = from
	return h.take("now", "immediately", "already")
}

// soon reads when it begins.
func (h *aside) soon() bool {
	from := *h
	if h.within() || h.clock() {
		return true
	}
	if h.take("any") && h.take("minute", "moment", "second", "time", "sec") {
		h.take("now")
		return true
	}
	if *h = from; h.quantity() && (h.take("ago") || h.take("from") && h.take("now")) {
		return true
	}
	*h = from
	return h.take("soon", "shortly")
}

// within reads "in less than ten minutes"; without a unit it stands at the end.
func (h *aside) within() bool {
	from := *h
	if h.take("in", "within") {
		h.roughly()
		if h.quantity() || h.number() && (h.take("sharp") || h.ends()) {
			h.take("time")
			return true
		}
	}
	*h = from
	return false
}

// clock reads "at half past nine".
func (h *aside) clock() bool {
	from := *h
	if h.take("at", "from", "around") {
		h.take("exactly", "about")
		if h.take("half", "quarter") {
			h.take("past", "to")
		}
		if h.isHour() && h.number() || h.take("noon", "midday", "lunchtime") {
			for h.number() || h.take("o", "oclock", "sharp", "am", "pm", "past", "to") { // seven thirty, eight o'clock
			}
			return true
		}
	}
	*h = from
	return false
}

// isHour reports whether the number here can be a time of day; 16:9 and 1080
// cannot.
func (h *aside) isHour() bool {
	w := h.word()
	if w == "" || !isDigit(w[0]) {
		return true
	}
	hour, minute, parted := strings.Cut(strings.Replace(w, ".", ":", 1), ":")
	return len(hour) <= 2 && (!parted || len(minute) == 2)
}

func (h *aside) roughly() {
	for h.take("about", "less", "than", "under", "like", "only", "just", "exactly", "maybe", "around", "roughly", "the", "next", "not", "even", "only", "literally", "another", "good", "barely") {
	}
}

// quantity reads "five minutes", "half an hour", "a couple of minutes".
func (h *aside) quantity() bool {
	from := *h
	if w := h.word(); w != "" && isDigit(w[0]) && strings.HasSuffix(strings.TrimRight(w, "s"), "min") { // 10min
		h.at++
		return true
	}
	for h.number() || h.take("a", "an", "few", "couple", "of", "some", "half", "quarter", "three-quarters", "or", "to", "two", "maximum", "max") {
	}
	if h.at > from.at && h.take("minute", "minutes", "min", "mins", "hour", "hours", "moment", "moments", "second", "seconds", "sec", "secs", "bit", "while") {
		return true
	}
	*h = from
	return false
}

// number reads a number, in figures or in words.
func (h *aside) number() bool {
	if h.isNumber() {
		h.at++
		return true
	}
	return false
}

func (h *aside) isNumber() bool {
	switch w := h.word(); w {
	case "":
		return false
	case "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen",
		"seventeen", "eighteen", "nineteen", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety", "hundred", "dozen", "dozens", "hundreds":
		return true
	default:
		return strings.Trim(w, "0123456789:.") == ""
	}
}

// places reads where people wait, and how long already.
func (h *aside) places() (any bool) {
	for {
		switch {
		case h.take("here", "there", "outside", "ready", "already", "downstairs", "waiting", "patiently", "now"):
		case h.phrase([]string{"in", "front", "of", "me"}), h.phrase([]string{"in", "front", "of", "us"}):
		case h.quantity():
		case h.whole(func(h *aside) bool {
			return h.take("in", "at", "around", "round", "up", "through", "to", "down", "inside") &&
				h.upTo("room", "hall", "table", "me", "us", "stairs", "door", "corridor", "building", "lift", "seats", "house", "seat")
		}):
		case h.whole(func(h *aside) bool {
			return h.take("for") && (h.take("us", "me", "ages", "it", "this", "that", "hours") || h.quantity())
		}):
		case h.whole(func(h *aside) bool { return h.take("in") && h.ends() }): // "coming in"
		case h.whole(func(h *aside) bool { return h.take("with") && h.cup() && h.stands() && !h.spills() }):
		default:
			return any
		}
		any = true
	}
}

// whole reads something of several parts, all or nothing.
func (h *aside) whole(reads func(*aside) bool) bool {
	from := h.at
	if reads(h) {
		return true
	}
	h.at = from
	return false
}

// upTo reads some leading words and one of those.
func (h *aside) upTo(words ...string) bool {
	for isLead(h.word()) || isAttribute(h.word()) && h.word() != "room" {
		h.at++
	}
	return h.take(words...)
}

// weak reports whether nothing more of the clause follows but a time or "already".
func (h *aside) weak() bool {
	h.time()
	return h.ends()
}

// ends reports whether the clause ends here.
func (h *aside) ends() bool {
	w := h.word()
	return w == "" || roleOf(w) == turn || w == "please" || w == "or" || w == "now" || w == "already"
}

func (h *aside) phrase(words []string) bool {
	for i, w := range words {
		if h.ahead(i) != w {
			return false
		}
	}
	h.at += len(words)
	return true
}

// take reads one of some words.
func (h *aside) take(words ...string) bool {
	if h.is(words...) {
		h.at++
		return true
	}
	return false
}

// maybe reads one of some words where it is there; it is always content.
func (h *aside) maybe(words ...string) bool {
	h.take(words...)
	return true
}

func (h *aside) is(words ...string) bool {
	at := h.word()
	if at == "" {
		return false
	}
	for _, w := range words {
		if w == at {
			return true
		}
	}
	return false
}

// word is the word here, "" at the end of a clause.
func (h *aside) word() string { return h.ahead(0) }

func (h *aside) ahead(n int) string {
	if h.at+n >= len(h.words) || h.words[h.at+n].mark != 0 {
		return ""
	}
	return h.words[h.at+n].text
}

// before is the nth word ahead of this place.
func (h *aside) before(n int) string {
	if h.at-n < 0 || h.words[h.at-n].mark != 0 {
		return ""
	}
	return h.words[h.at-n].text
}
