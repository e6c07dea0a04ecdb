// Package call runs one call: an input goes in, the state comes out. The
// terminal, the JSON lines and the page are faces of it and hold no rules of
// their own.
//
// A call is its events (package cases). After every input the view is computed
// anew from them: which symptoms are in play, what is known, the model that
// the book gives for that, the belief, the plan and the next step. So undo,
// resume and a change of an earlier answer need no code of their own, and the
// same events give the same step on every machine.
//
// A file or a sum is evidence: one event holds its facts with their figures
// and the answers that follow by the `measured` rows of the book, so that a
// replay needs neither the file nor the sum. Its answers are trusted as an
// instrument's. Where a question names a sum and a technician is on the line,
// the sum is offered as the step.
//
//	c, err := call.New(desk, "the screen is black")
//	out, err := c.Do(call.In{Answer: &cases.Answer{Question: "display-lamp", Value: "off"}})
//	fmt.Println(out.Step.Say)
package call
