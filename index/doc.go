// Package index finds things by words.
//
// It has two halves that share their reading of English.
//
// # Reading English
//
// lexer.go cuts a text into tokens: the words that name something, each with
// its place and its mood. english.go holds the small words, figures.go keeps
// "500 mA" and "2160p60" whole, misspelt.go finds the word that was meant.
//
//   - mood: plain ("there is sound"), denied ("no sound", "cannot hear") or
//     fine ("the sound is fine")
//   - stem: what forms of a word have in common
//   - group: words that stand for each other, an entry of the book of kind
//     words
//
// # Opening words
//
// Opening turns what a caller says first into chances over the symptoms of the
// book and into facts that were said in passing, each with the words that gave
// it. It needs no file and no index, costs a few milliseconds to prepare and
// gives the same answer on every machine.
//
//   - concept: a stem or a group
//   - phrase: one line that an author wrote under `words`
//   - feature: a concept with its mood, or two in a row
//
// An example:
//
//	o := index.NewOpening(book)
//	h := o.Read("the beamer is black, sound is fine, and I smell burning")
//	h.Symptoms[0] // the likeliest symptom, with its chance
//	h.Facts[0]    // danger-signs, smoke-smell, [smell burning], Safety
//
// # Finding
//
// Index finds entries and closed calls by any of their words, with the groups
// as synonyms, misspellings forgiven and ids in any spelling. bleve keeps for
// each word the set of documents that have it (part.go); which are candidates is
// found with these sets alone (candidates.go), and their order is made from the
// places of the words (rank.go, places.go).
//
// The index is a cache beside the data, never the truth. It is built in one go
// (build.go) and sealed (seal.go), checked whenever it is opened, and never
// written afterwards: what came since lies in a journal beside it (journal.go)
// and in memory (recent.go). One that is missing, damaged, locked, older than the
// book or impossible to write is built anew or done without in memory, with a
// note (keep.go, open.go).
//
//   - part: an index of bleve with one segment, or what is in memory
//   - set: numbers of documents in one part
//   - key: id and kind of a document; equal scores are ordered by it
//
// An example:
//
//	src, err := index.FromStore(book, store)
//	x, err := index.Open(cacheFolder, src)
//	r, err := x.Search("sparkles at 2160p60", index.Options{Kinds: []string{"cause"}})
//
// # Limits
//
// English only. A sentence that means its opposite ("great, another black
// screen") is read as it stands. A denial reaches to the end of its clause at
// most, so "I do not think that the lamp is on" is not heard as a lamp that is
// off. Of a query, 2000 bytes are read. A fault in memory that bleve meets on a
// goroutine of its own cannot be caught; the seal is there so that it does not
// come to that.
package index
