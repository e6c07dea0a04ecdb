package diagnose_test

import (
	"fmt"

	"faultbook/diagnose"
)

// Two boxes, a prize: the order of chance over cost (question 144646 of
// cs.stackexchange.com, 2021).
func ExampleModel_Plan() {
	m := diagnose.NewModel([]string{"box1", "box2"}, []float64{0.8, 0.2})
	m.Repairs = []diagnose.RepairAction{
		{ID: "open1", Cost: 3, Place: -1, Fixes: []float64{1, 0}},
		{ID: "open2", Cost: 2, Place: -1, Fixes: []float64{0, 1}}}
	plan, err := m.Plan(m.NewState(), diagnose.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s %s, %.1f minutes\n", plan.First.Kind, m.Repairs[plan.First.Index].ID, plan.Expected)
	// Output: repair open1, 3.4 minutes
}
