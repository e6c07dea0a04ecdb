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
		return asksHow.when((isHelper(next) || next == "to") && !tellsHow(before))
	case "where":
		return asksWhere.when(isHelper(next) || begins(before))
	case "which", "what":
		return asksWhich.when(begins(before) && !isHelper(next))
	case "can", "could", "may", "should", "shall", "would", "will", "do":
		return asksLeave.when(begins(before) && (next == "i" || next == "we" || next == "you" || next == "someone" || next == "somebody"))
	case "possible", "way":
		return asksLeave.when(next == "to" || next == "that")
	case "mean", "means", "matter", "normal", "supposed", "worry":
		return asksMeans
	case "want", "wants", "like", "wish", "prefer", "need":
		return asksWishes.when(isWisher(before) || isSoftener(before) && isWisher(at(i-2)))
	}
	return 0
}

// when gives the asking where it holds, else nothing.
func (a asking) when(holds bool) asking {
	if holds {
		return a
	}
	return 0
}

// tellsHow reports whether "how" after the word tells of what somebody did.
func tellsHow(before string) bool {
	switch before {
	case "showed", "shown", "explained", "demonstrated", "matter":
		return true
	}
	return false
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
