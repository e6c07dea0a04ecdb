package index

import (
	"sync"

	"faultbook/kb"
)

// Opening reads what a caller says. It is not changed once built and may be
// used by several goroutines.
type Opening struct {
	lex      *lexicon
	symptoms symptomModel
	facts    factModel
}

// Heard is what was understood.
type Heard struct {
	// All symptoms of the book, the likeliest first, ties by id. The chances
	// sum to 1; where nothing was recognised they are all the same.
	Symptoms []Chance
	// Facts that were said in passing, at most one a question, the surest
	// first.
	Facts []HeardFact
}

// Chance is how likely a symptom is what the caller rings about, 0..1.
type Chance struct {
	ID, Title string
	Chance    float64
}

// HeardFact is an answer to a question that has not been put.
type HeardFact struct {
	Question string
	Value    string
	// Label is the answer as it is shown.
	Label string
	// Words are the caller's own words that gave it, in their order.
	Words []string
	// Score is how well they fit, above 0 and at most 1.
	Score float64
	// Safety says that a rule stops the call for safety on this fact.
	Safety bool
}

// NewOpening prepares for reading with the words of a book: the callers' words
// of its symptoms, the plain sentences of its causes, what callers say of
// their own accord under its answers, and its groups of words.
func NewOpening(book *kb.Book) *Opening { return newOpening(book, tuned()) }

func newOpening(book *kb.Book, k constants) *Opening {
	o := &Opening{lex: newLexicon(book)}
	o.symptoms.k = k
	lessons := o.symptoms.lessons(o.lex, kb.All[kb.Symptom](book), kb.All[kb.Cause](book))
	var beside sync.WaitGroup
	beside.Go(func() { o.symptoms.study(lessons) })
	o.facts.study(o.lex, book)
	o.lex.seal()
	beside.Wait()
	return o
}

// Read understands words of a caller: one sentence or many. The same words
// give the same answer always.
func (o *Opening) Read(words string) Heard {
	l := lexer{own: o.lex.lexer.own}
	terms := o.lex.hear(l.lex(words))
	asks := l.asks()
	symptoms := o.symptoms.read(terms, asks)
	return Heard{Symptoms: symptoms, Facts: o.facts.read(terms, asks, symptoms)}
}
