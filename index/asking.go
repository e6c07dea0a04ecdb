package index

// asking says what somebody asks for, told from the small words of the whole
// text: who wants to know how a thing is done rings about something else than
// who tells of the same thing that it fails.
type asking uint8

const (
	asksHow    asking = 1 << iota // how do I, how can we
	asksWhere                     // where is the
	asksWhich                     // which button, what cable
	asksLeave                     // can I, is it possible, could you show
	asksMeans                     // what does it mean, is it normal
	asksWishes                    // I want, we would like
)

// asks is what the text asks for that was read last.
func (l *lexer) asks() asking { return askingIn(l.words) }

// askingIn finds what is asked for in the words of a text.
func askingIn(words []raw) (a asking) {
	at := func(i int) string {
		if i < 0 || i >= len(words) || words[i].mark != 0 {
			return ""
		}
		return words[i].text
	}
	for i := range words {
		a |= askedAt(at, i)
	}
	return a
}

// askedAt finds what the word at i asks for, with the words around it.
func askedAt(at func(int) string, i int) asking {
	before, next := at(i-1), at(i+1)
	switch at(i) {
	case "how":
		return asksHow.when(!isTold(at, i) && asksToDo(at, i))
	case "where":
		return asksWhere.when(!isTold(at, i) && asksPlace(at, i))
	case "which", "what":
		return asksWhich.when(begins(before) && (!isHelper(next) || isAsker(at(i+2)) && at(i+3) != "do"))
	case "can", "could", "may", "should", "shall", "would", "will", "do":
		return asksLeave.when(begins(before) && isAsker(next) && next != "one")
	case "possible", "way":
		return asksLeave.when(next == "to" || next == "that")
	case "mean", "means", "matter", "normal", "supposed", "worry":
		return asksMeans.when(!isWisher(before) && before != "no" && before != "n't") // I mean, no matter what, don't worry
	case "want", "wants", "like", "wish", "prefer", "need":
		return asksWishes.when(isWished(at, i))
	}
	return 0
}

// asksPlace reports whether the "where" at i asks for a place: "where is it", "tell
// me where", but not "where the cable goes in it is loose".
func asksPlace(at func(int) string, i int) bool {
	if isHelper(at(i + 1)) {
		return true
	}
	return begins(at(i-1)) && leadsIn(at(i-1)) && !isLooking(at(i+2))
}

// isWished reports whether the wish at i is the caller's and is about the room.
func isWished(at func(int) string, i int) bool {
	if !isWisher(at(i-1)) && !(isSoftener(at(i-1)) && isWisher(at(i-2))) {
		return false
	}
	return (at(i+1) != "to" || !isComplaining(at(i+2))) && !isMarred(at, i)
}

// isMarred reports whether a fault follows the wish at i: "I want to start the
// meeting and the panel is frozen" is no wish to know how.
func isMarred(at func(int) string, i int) bool {
	const far, near = 16, 7 // words that are looked at
	for j := i + 1; j < i+far; j++ {
		switch at(j) {
		case "but", "however", "yet":
			return true
		case "and":
			for k := j + 1; k < j+near && at(k) != ""; k++ {
				if fails(at(k)) {
					return true
				}
			}
		case "":
			if next := at(j + 1); next != "but" && next != "and" && next != "however" {
				return false
			}
		}
	}
	return false
}

// fails reports whether a word can tell how a thing is, or that it is not.
func fails(word string) bool {
	switch word {
	case "is", "are", "was", "were", "isn", "does", "doesn", "do", "don", "did", "has", "have", "won", "cannot", "can", "no", "nothing", "nobody", "none", "not", "n't",
		"stays", "keeps", "remains", "says", "goes", "flickers", "freezes", "hangs":
		return true
	}
	return false
}

// isTold reports whether the question word at i only tells of what somebody said
// or knows: "she showed us how to connect", "I know how to share".
func isTold(at func(int) string, i int) bool {
	k := i - 1
	switch at(k) {
	case "me", "us", "him", "her", "them", "you", "exactly", "everybody", "everyone":
		k--
	}
	switch at(k) {
	case "showed", "shown", "told", "said", "says", "tells", "explained", "explains", "taught", "learnt", "learned", "knew", "remembered", "described", "shows":
		return true
	case "know", "understand":
		before := at(k - 1)
		return isWisher(before) || before == "already" || before == "do" && isWisher(at(k-2))
	}
	return false
}

// asksToDo reports whether the "how" at i asks how something in the room is done:
// nobody can be told how to put a fault in words, or how such a thing can be.
func asksToDo(at func(int) string, i int) bool {
	k := i + 1
	switch helper := at(k); {
	case helper == "to":
		k++
	case isHelper(helper):
		k++
		switch at(k) {
		case "it", "that", "this":
			return helper == "does" || helper == "do" || helper == "should"
		}
		if isAsker(at(k)) {
			k++
		}
	case isAsker(helper):
		k++
		if isHelper(at(k)) {
			k++
		}
	default:
		return false
	}
	switch at(k) {
	case "describe", "explain", "say", "put", "call", "tell", "express", "name", "spell", "fix", "solve", "repair", "mend":
		return false
	}
	return true
}

func isAsker(word string) bool {
	switch word {
	case "i", "we", "you", "one", "somebody", "someone":
		return true
	}
	return false
}

// leadsIn reports whether a word leads in a question that stands in a sentence.
func leadsIn(before string) bool {
	switch before {
	case "", "and", "but", "so", "then":
		return false
	}
	return true
}

// isComplaining reports whether somebody wishes what has nothing to do with the
// room: to go home, to scream, to report something.
func isComplaining(word string) bool {
	switch word {
	case "go", "leave", "scream", "cry", "shout", "apologise", "say", "complain", "report", "tell", "ask", "speak", "talk", "mention", "ring", "call", "be":
		return true
	}
	return false
}

func isLooking(word string) bool {
	return word == "look" || word == "start" || word == "begin" || word == "turn"
}

// seeks is what asks for something to be shown or told. asksLeave and asksWishes do
// so only where nothing is wrong.
const seeks = asksHow | asksWhere | asksWhich

// when gives the asking where it holds, else nothing.
func (a asking) when(holds bool) asking {
	if holds {
		return a
	}
	return 0
}

func isHelper(word string) bool {
	switch word {
	case "do", "does", "can", "could", "would", "should", "is", "are", "might", "must", "shall":
		return true
	}
	return false
}

func isWisher(word string) bool { return word == "i" || word == "we" || word == "id" }

func isSoftener(word string) bool {
	switch word {
	case "only", "just", "would", "simply", "really", "d":
		return true
	}
	return false
}

// begins reports whether a question can begin behind a word: at the beginning of
// a clause, or behind a word that leads in.
func begins(before string) bool {
	switch before {
	case "", "and", "but", "so", "please", "know", "me", "tell", "then", "hi", "hello", "wondering", "question", "sure", "just":
		return true
	}
	return false
}
