package index

// Coffee on the table is company, coffee in the table is a danger. A drink that
// somebody has, fetches or hands round, with nothing said of where it went, names
// nothing; whoever spills, drops or tips it says so with other words, or says
// what it is in, on or over, and is heard.

// drinks reads "we are having our coffee", "after the tea", "fetch a glass of water".
func (h *aside) drinks() bool {
	at := h.at
	return h.drinkAtHand() && !(&aside{h.words, at}).spills()
}

func (h *aside) drinkAtHand() bool {
	before := h.before(1)
	switch {
	case h.whole((*aside).served), h.whole((*aside).isReady), h.whole((*aside).smellsOf):
		return true
	case h.take("there"):
		h.take("is", "are")
		return h.cup() && (h.stands() || h.take("for") && h.guests())
	case h.take("have", "having", "had", "get", "getting", "fetch", "fetching", "fetched", "need", "want", "bring", "bringing", "brought",
		"make", "making", "made", "serve", "serving", "served", "enjoy", "enjoying", "drink", "drinking", "order", "ordered", "buy", "grab", "love", "like", "got", "offer", "offered"):
		h.guests()
		return h.cup() && (h.stands() || h.whole((*aside).handedIn))
	case h.take("pour", "poured", "pouring"):
		return h.guests() && h.cup() && h.stands()
	case h.take("after", "before", "during", "at", "for"), begins(before) && h.take("over", "with"):
		return h.cup() && h.goesOn()
	}
	return false
}

// spills reports whether anything may tell where a drink went: a word of it
// anywhere, or a place behind.
func (h *aside) spills() bool {
	same := true // still the clause of the drink
	for i, w := range h.words {
		if isSpill(w.text) {
			return true
		}
		if i <= h.at {
			continue
		}
		same = same && w.mark == 0 && roleOf(w.text) != turn
		if isInside(w.text) && (same || isMoving(h.words[i-1].text)) {
			if there := (aside{h.words, i + 1}); !begins(there.before(2)) && !there.upTo("room", "meeting", "call", "hall", "boardroom", "hand", "hands", "kitchen", "corridor", "canteen", "here", "front") {
				return true
			}
		}
	}
	return false
}

func isSpill(word string) bool {
	switch word {
	case "spill", "spills", "spilled", "spilt", "spilling", "spillage", "tip", "tips", "tipped", "tipping", "knock", "knocks", "knocked", "knocking",
		"drop", "drops", "dropped", "dropping", "splash", "splashes", "splashed", "leak", "leaks", "leaked", "leaking", "wet", "soak", "soaks", "soaked", "soaking",
		"everywhere", "inside", "accident", "fall", "falls", "fell", "fallen", "falling", "run", "runs", "ran", "running", "upset", "slip", "slips", "slipped", "toppled",
		"drip", "drips", "dripped", "dripping", "flood", "floods", "flooded", "drenched", "swim", "swims", "swimming", "emptied", "empty", "puddle", "puddles",
		"damp", "all", "seeped", "seeping", "trickled", "trickles", "trickling", "catastrophe", "disaster", "mishap", "mess":
		return true
	}
	return false
}

func isInside(word string) bool {
	switch word {
	case "over", "in", "into", "onto", "under", "through", "between", "down":
		return true
	}
	return false
}

func isMoving(word string) bool {
	switch word {
	case "went", "go", "goes", "gone", "going", "got", "gets", "getting", "get", "came", "comes", "it", "is", "was", "has", "right", "straight":
		return true
	}
	return false
}

// served reads "a bottle of water is standing on the desk": a drink that stands
// there in what it is meant to be in.
func (h *aside) served() bool {
	for isLead(h.word()) || h.isNumber() {
		h.at++
	}
	if !h.phrase([]string{"water", "bottles"}) && !h.phrase([]string{"water", "bottle"}) && !h.phrase([]string{"water", "glasses"}) && !h.phrase([]string{"water", "jug"}) {
		if !h.is("cup", "cups", "mug", "mugs", "glass", "glasses", "bottle", "bottles", "pot", "jug", "jugs") || !h.cup() {
			return false
		}
	}
	h.auxiliaries()
	h.take("standing", "stood", "waiting")
	if h.phrase([]string{"in", "front", "of"}) {
		return true
	}
	return h.take("on", "by", "at") && h.upTo("table", "tables", "desk", "sideboard", "tray", "windowsill") && (h.ends() || h.is("next", "beside", "near"))
}

// isReady reads "the tea is served", "the coffee is getting cold".
func (h *aside) isReady() bool {
	if !h.cup() {
		return false
	}
	ready := h.auxiliaries() == "ready"
	h.take("getting")
	return ready || h.take("served", "cold", "hot", "fine", "good", "here", "arrives", "arrived", "comes", "coming", "lovely", "nice", "waiting")
}

// smellsOf reads "it smells of coffee", which is no burning.
func (h *aside) smellsOf() bool {
	if !h.take("smell", "smells", "smelling", "smelled", "smelt") || !h.take("of", "like") {
		return false
	}
	return h.cup() || h.take("lunch", "food", "perfume", "cheese", "flowers", "onions", "onion", "pizza", "garlic", "curry", "cake", "bread", "aftershave")
}

// guests reads those who get a drink.
func (h *aside) guests() bool {
	return h.take("me", "us", "myself", "ourselves", "you", "them") || h.people()
}

// handedIn reads "into the meeting", where people are and no plugs.
func (h *aside) handedIn() bool {
	return h.take("into", "to", "in", "round") && h.upTo("room", "meeting", "hall", "boardroom", "guests", "visitors", "people", "us")
}

// cup reads a drink, with what it is in.
func (h *aside) cup() bool {
	for isLead(h.word()) || h.isNumber() || h.is("some", "another", "more", "quick", "nice", "hot", "fresh", "first", "morning", "afternoon") {
		h.at++
	}
	if h.take("cup", "cups", "mug", "mugs", "glass", "glasses", "bottle", "bottles", "pot", "jug", "jugs", "drop") {
		h.take("of")
	}
	if !h.take("coffee", "coffees", "tea", "teas", "water", "juice", "wine", "beer", "drink", "drinks", "beverage", "beverages", "lemonade", "champagne", "cuppa", "soup", "latte", "espresso") {
		return false
	}
	h.take("break", "round")
	return true
}

// stands reports whether nothing more is said of the drink.
func (h *aside) stands() bool {
	if h.ends() {
		return true
	}
	switch h.word() {
	case "here", "together", "while", "when", "from", "first", "before", "if", "served":
		return true
	}
	return false
}

// goesOn reports whether the words behind the drink speak of something else, and
// not of what it did.
func (h *aside) goesOn() bool {
	w := h.word()
	return h.stands() || w != "all" && marksNoun(roleOf(w)) || isWisher(w) || w == "they" || w == "there" || w == "nobody" || w == "no" || w == "nothing"
}
