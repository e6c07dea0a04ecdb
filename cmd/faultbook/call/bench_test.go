package call

import (
	"testing"

	"faultbook/index"
	"faultbook/kb"
)

// BenchmarkUnpack is the part of a start that grows with the book.
func BenchmarkUnpack(b *testing.B) {
	for b.Loop() {
		book, err := kb.UnpackBuiltin()
		if err != nil || book.Len() == 0 {
			b.Fatal(err)
		}
	}
}

// BenchmarkListen builds the hearing of opening words.
func BenchmarkListen(b *testing.B) {
	d := newDesk(b)
	for b.Loop() {
		index.NewOpening(d.Book)
	}
}

// BenchmarkStep is one step after an answer on each of the first symptoms:
// event, file, belief, plan, texts.
func BenchmarkStep(b *testing.B) {
	for _, symptom := range []string{"F-01", "F-10", "F-11", "F-12", "F-14", "F-18"} {
		b.Run(symptom, func(b *testing.B) {
			d := newDesk(b)
			c := d.open(b, "it does not work")
			o := do(b, c, In{Symptom: symptom})
			if o.Step.Kind != StepAsk || len(o.Step.Answers) == 0 {
				b.Fatalf("first step is %s", o.Step.Kind)
			}
			in := answer(o.Step.ID, o.Step.Answers[0].Value)
			for b.Loop() {
				do(b, c, in)
				b.StopTimer()
				do(b, c, In{Undo: true})
				b.StartTimer()
			}
		})
	}
}
