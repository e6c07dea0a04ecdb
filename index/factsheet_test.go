package index

import "testing"

// TestFactSheet holds how many of the facts that are said in passing are
// suggested, and how many of the suggestions were said. The sheet was written
// before its first run, from the list of questions and answers; the facts that
// were found right on reading the suggestions were added to it then.
func TestFactSheet(t *testing.T) {
	o := NewOpening(builtin())
	said, heard, suggested, right := 0, 0, 0, 0
	for _, l := range readSheet(t, "facts-fresh.txt", true) {
		var got []string
		for _, f := range o.Read(l.text).Facts {
			fact := f.Question + "=" + f.Value
			got = append(got, fact)
			suggested++
			if contains(l.want, fact) {
				right++
			} else {
				t.Logf("%q: %s was not said, from %v (%.2f)", l.text, fact, f.Words, f.Score)
			}
		}
		for _, w := range l.want {
			if w == "none" {
				continue
			}
			said++
			if contains(got, w) {
				heard++
			} else {
				t.Logf("%q: %s not heard", l.text, w)
			}
		}
	}
	t.Logf("%d of %d facts heard, %d of %d suggestions were said", heard, said, right, suggested)
	if share(heard, said) < 0.75 || share(right, suggested) < 0.85 {
		t.Errorf("heard %.2f, recorded 0.75; said %.2f, recorded 0.85", share(heard, said), share(right, suggested))
	}
}
