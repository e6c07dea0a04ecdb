package kb

import "testing"

// TestToldApart: every two causes of a symptom are told apart by at least one
// bit over the questions that a caller can answer, or stand as joint because
// one remedy serves both. The evidence is worked out in diagnose.Model.Apart:
// for each question the mean of the two relative entropies of its rows
// (Kullback and Leibler 1951), misreadings included, summed.
func TestToldApart(t *testing.T) {
	b, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range b.IDs(KindSymptom) {
		c, err := Compile(b, Setting{Symptoms: []Weighted{{id, 1}}, Who: WhoCaller})
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range c.confusions(b, id) {
			if !x.Joint {
				t.Errorf("%s: %s and %s are told apart by %.2f bit only: give a row that differs, or name them joint where one remedy serves both", id, x.A, x.B, x.Bits)
			}
		}
	}
}

// TestJointShareARemedy: what stands as joint has a remedy that usually cures
// either.
func TestJointShareARemedy(t *testing.T) {
	b, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	cures := func(e *Cause) map[string]bool {
		m := map[string]bool{}
		for _, r := range e.Remedies {
			m[r.ID] = r.CureChance() >= 0.5
		}
		return m
	}
	for _, e := range All[Cause](b) {
		for _, id := range e.Joint {
			shared := false
			own, other := cures(e), cures(Get[Cause](b, id))
			for r, ok := range own {
				shared = shared || ok && other[r]
			}
			if !shared {
				t.Errorf("%s and %s are joint and share no remedy that cures both as often as not", e.ID, id)
			}
		}
	}
}
