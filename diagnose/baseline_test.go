package diagnose

import "testing"

// The fixed order is neither kinder nor unkinder than somebody who goes down
// the list: each repair once, in the order of the list, none left out because
// it has become unlikely, nothing asked, and one final at the end, the one that
// is cheapest for somebody who knows that all of the list has failed. Worked
// out by hand for causes a and b at 0.6 and 0.4:
//
//	list: mend b (3 min, sure), then mend a (2 min, cures a in half of the cases)
//	3 + (1-0.4)·2 = 4.2; left: a with 0.3 of all
//	final "visit" 20 for a and 10 for b, final "ring" 12 for a and 50 for b
//	before the list ring costs 27.2 and visit 16, after it ring is cheaper:
//	4.2 + 0.3·12 = 7.8
func TestInOrder(t *testing.T) {
	m := NewModel([]string{"a", "b"}, []float64{0.6, 0.4})
	m.Questions = []Question{{ID: "q", Cost: 0.1, Place: -1, Answers: []string{"x", "y"}, Given: [][]float64{{1, 0}, {0, 1}}}}
	m.Repairs = []RepairAction{{ID: "mend-a", Cost: 2, Place: -1, Fixes: []float64{0.5, 0}},
		{ID: "mend-b", Cost: 3, Place: -1, Fixes: []float64{0, 1}}}
	m.Finals = []Final{{ID: "visit", Cost: []float64{20, 10}}, {ID: "ring", Cost: []float64{12, 50}}}
	near(t, "fixed order", costOf(t, m, m.InOrder([]int{1, 0})), 7.8)
	// The other way round: 2 + 0.7·3 + 0.3·12.
	near(t, "fixed order", costOf(t, m, m.InOrder([]int{0, 1})), 7.7)
	// With a repair too many, which is tried all the same: 4.2 + 0.3·9 + 0.3·12.
	m.Repairs = append(m.Repairs, RepairAction{ID: "vain", Cost: 9, Place: -1, Fixes: []float64{0, 0.5}})
	near(t, "fixed order", costOf(t, m, m.InOrder([]int{1, 0, 2})), 10.5)
}
