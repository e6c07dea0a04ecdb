package call

import (
	"runtime"
	"testing"
)

// A call on the symptom with the most causes, answered to its end, keeps what
// it holds below 50 MB, the book and the finding of words included.
func TestSessionMemory(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "it does not work")
	o := do(t, c, In{Symptom: "F-01"})
	most := uint64(0)
	for n := 0; n < 40 && o.Step.Kind == StepAsk; n++ {
		o = do(t, c, answer(o.Step.ID, o.Step.Answers[n%len(o.Step.Answers)].Value))
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		most = max(most, m.HeapAlloc) // garbage included
	}
	t.Logf("at most %.1f MB on the heap", float64(most)/(1<<20))
	if most == 0 || most > 50<<20 {
		t.Errorf("at most %.1f MB on the heap, want at most 50", float64(most)/(1<<20))
	}
}
