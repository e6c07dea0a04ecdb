// Package synthetic makes up past calls, as many as are wanted, by dice with a
// fixed seed: what callers say about the symptoms of a book, what was answered,
// tried and found, and notes as agents leave them, 60 to 150 words a call, with
// rooms, figures, device numbers and slips of the keyboard. Call i of a seed is
// the same always, whatever was made before it, so that calls can be made side
// by side.
//
//	g := synthetic.New(book, 1, 100000)
//	c := g.Case(17)           // a closed case
//	q := g.Queries(500)       // what people type who look for such
//
// It is for tests and benchmarks; nothing in it is data of anybody.
package synthetic
