package index

import (
	"strings"

	porterstemmer "github.com/blevesearch/go-porterstemmer"
)

// role is what a word does in a sentence beside naming something.
type role uint8

const (
	naming      role = iota // names something
	stop                    // names nothing
	denier                  // no, not, without, never …: what follows is denied
	turn                    // but, and, because …: a new clause begins
	approve                 // fine, ok, perfect: what the clause names is all right
	works                   // works, working: all right where the clause ends with it
	ceased                  // stopped, quit: denies a following -ing word
	limits                  // only, until, when …: takes "works" its force
	hollow                  // sure, idea, think …: takes a denial its object
	preposition             // on, off, in …: names something unless a noun follows
	determiner              // the, a, my …: marks a noun
	quantifier              // all, both, only …: names how many, and marks a noun
	entering                // into: names something whatever follows
)

// roleOf tells the role of a small-letter word. The lists are ordinary
// English; what is a word of the trade comes from the book.
func roleOf(word string) role {
	switch word {
	case "no", "not", "without", "never", "neither", "nor", "nobody", "hardly", "barely", "cannot", "none",
		"dont", "doesnt", "didnt", "isnt", "arent", "wasnt", "werent", "wont", "cant", "couldnt", "wouldnt",
		"shouldnt", "hasnt", "havent", "hadnt", "n't":
		return denier
	case "but", "and", "although", "though", "however", "because", "so", "then", "while", "whereas", "except", "yet", "otherwise", "still":
		return turn
	case "fine", "ok", "okay", "good", "great", "perfect", "perfectly", "alright", "normal", "normally", "well":
		return approve
	case "works", "work", "working", "worked":
		return works
	case "stopped", "stops", "stop", "quit", "quits", "ceased", "refuses", "refused", "refuse", "fails", "failed", "fail":
		return ceased
	case "until", "till", "when", "if", "unless", "once", "sometimes", "for", "after", "before", "with", "whenever", "as":
		return limits
	case "sure", "idea", "know", "think", "matter", "worry", "mind", "problem", "problems", "just", "doubt", "understand",
		"clue", "knows", "knew", "remember":
		return hollow
	case "on", "off", "in", "out", "up", "down", "over", "through", "back":
		return preposition
	case "the", "a", "an", "my", "our", "your", "his", "her", "its", "their", "this", "that", "these", "those",
		"some", "any", "it", "us", "me", "him", "them", "you", "somebody", "someone":
		return determiner
	}
	switch word {
	case "all", "both", "every", "each", "another", "only", "too", "itself", "one", "two", "everything":
		return quantifier
	case "into":
		return entering
	}
	if isFiller(word) {
		return stop
	}
	return naming
}

// isFiller lists words that name nothing.
func isFiller(word string) bool {
	switch word {
	case "i", "we", "he", "she", "they", "who", "whom", "whose", "which", "what", "there", "here", "where", "why", "how",
		"is", "are", "am", "was", "were", "be", "been", "being", "do", "does", "did", "done", "doing",
		"have", "has", "had", "having", "will", "would", "shall", "should", "can", "could", "may", "might", "must",
		"of", "to", "at", "by", "from", "onto", "about", "than", "also", "very", "really", "quite", "rather",
		"or", "either", "please", "hello", "hi", "hey", "help", "morning", "afternoon", "sorry", "thanks", "thank",
		"im", "ive", "its", "theres", "s", "t", "re", "ve", "ll", "d", "m", "now", "today", "just", "even",
		"get", "gets", "got", "getting", "seem", "seems", "like", "kind", "sort", "bit", "thing", "things", "something",
		"anything", "everybody", "everyone", "people", "want", "need", "needs", "let", "try", "tried", "trying",
		"oh", "um", "er", "yes", "much", "many", "more", "most", "actually", "probably", "maybe", "already",
		"such", "yourself", "myself", "ourselves", "hers", "ours", "mine":
		return true
	}
	return false
}

// switches lists the words that make one word with "on", "off", "over" and the
// like whatever follows: "turn on the projector", "hangs off the wall".
func switches(word string) bool {
	switch word {
	case "turn", "turns", "turned", "turning", "switch", "switches", "switched", "switching", "power", "powers", "powered",
		"shut", "shuts", "cut", "cuts", "log", "sign", "dial", "start", "starts",
		"hang", "hangs", "hanging", "come", "comes", "coming", "came", "fall", "falls", "falling", "fell", "fallen",
		"drop", "drops", "dropped", "lean", "leans", "leaning", "tip", "tips", "tipped", "tipping", "knock", "knocked",
		"pour", "poured", "go", "goes", "went", "gone", "run", "runs", "ran":
		return true
	}
	return false
}

// baseForm gives the plain form of irregular words that callers use, and one
// spelling of words that are spelt in two ways.
func baseForm(word string) string {
	if base, ok := baseForms[word]; ok {
		return base
	}
	return word
}

// baseForms is irregular turned round: the plain form of each word.
var baseForms = turnedRound(irregular)

func turnedRound(list map[string][]string) map[string]string {
	out := map[string]string{}
	for base, words := range list {
		for _, w := range words {
			out[w] = base
		}
	}
	return out
}

// irregular lists the words that stand for a plain form.
var irregular = map[string][]string{
	"burn":    {"burnt", "burned", "burning"},
	"smell":   {"smelt", "smelling", "smelly", "stinks", "stank", "stunk"},
	"spill":   {"spilt", "spilled", "spilling"},
	"freeze":  {"froze", "frozen", "freezes", "freezing"},
	"break":   {"broke", "broken", "breaks", "breaking"},
	"hear":    {"heard"},
	"see":     {"saw", "seen"},
	"show":    {"shown"},
	"go":      {"went", "gone", "goes"},
	"come":    {"came"},
	"lose":    {"lost", "loses", "losing"},
	"in":      {"into"},
	"swell":   {"swollen", "swelled"},
	"fall":    {"fallen", "fell", "falling", "falls"},
	"tear":    {"torn"},
	"bend":    {"bent"},
	"close":   {"shut"},
	"take":    {"took", "taken"},
	"say":     {"said", "says"},
	"keep":    {"kept"},
	"leak":    {"leaking", "leaked", "leaks", "leaky"},
	"grey":    {"gray"},
	"colour":  {"color", "colors", "colours"},
	"centre":  {"center"},
	"metre":   {"meter", "meters", "metres"},
	"program": {"program", "programs", "programme", "programmes"},
	"mic":     {"mics"},
}

// stemOf gives the stem of a small-letter word; figures stay whole.
func stemOf(word string) string {
	if base := baseForm(word); base != word {
		word = base
	}
	for i := 0; i < len(word); i++ {
		if word[i] < 'a' || word[i] > 'z' {
			return word
		}
	}
	if len(word) < 4 || word == "news" { // no plural of new
		return word
	}
	return porterstemmer.StemString(word)
}

// isInflected reports whether a word ends as a usual form of another does. The
// stemmer takes more endings off, such as that of "projecter", which is a
// misspelling and no form of "project".
func isInflected(word string) bool {
	return strings.HasSuffix(word, "s") || strings.HasSuffix(word, "ed") || strings.HasSuffix(word, "ing") || baseForm(word) != word
}
