package index

// who says whose doing or whose thing a word is: "they cannot hear us" is the
// far end's hearing, "our picture" is the near end's picture. It makes the
// difference between several symptoms and is said in the smallest words.
type who uint8

const (
	doneByUs   who = 1 << iota // I, we
	doneByThem                 // they, he, she
	doneToUs                   // me, us
	doneToThem                 // them, him
	ofOurs                     // my, our
	ofTheirs                   // their, his, her
)

// personReach is how many words after "they" are still theirs.
const personReach = 3

// person takes in a word that may name a person.
func (l *lexer) person(text string, tokens []token) {
	switch text {
	case "i", "we", "im", "ive":
		l.who, l.reach = doneByUs, personReach
	case "they", "he", "she", "theyre":
		l.who, l.reach = doneByThem, personReach
	case "me", "us":
		l.doneTo(doneToUs, tokens)
	case "them", "him":
		l.doneTo(doneToThem, tokens)
	case "my", "our":
		l.owner = ofOurs
	case "their", "his", "her":
		l.owner = ofTheirs
	}
}

// doneTo marks the last word of the clause.
func (l *lexer) doneTo(w who, tokens []token) {
	if n := len(tokens); n > l.first {
		tokens[n-1].who |= w
	}
}
