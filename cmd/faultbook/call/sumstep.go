package call

import (
	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/reading"
	"faultbook/diagnose/measure/sums"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// sumStep is the question with the sum that answers it, where it names one and
// the person on the line can give its inputs, or they are known.
func (v *view) sumStep(i int) (Step, bool) {
	q := v.compiled.Questions[i]
	sum, ok := sums.Find(q.Sum)
	if !ok {
		return Step{}, false
	}
	inputs := v.inputs(sum)
	known := true
	for _, in := range inputs {
		known = known && (!in.Required || in.Known != "")
	}
	if v.who != kb.WhoTechnician && !known {
		return Step{}, false
	}
	s := v.askStep(i)
	s.Kind, s.ID, s.Question, s.Inputs = StepSum, sum.Name, q.ID, inputs
	return s, true
}

// inputs describes what a sum is told, with what readings said already.
func (v *view) inputs(sum measure.Sum) []Input {
	var list []Input
	for _, in := range sum.Inputs {
		list = append(list, Input{Name: in.Name, Unit: in.Unit, Help: in.Help, Required: in.Required, Many: in.Many,
			Words: in.Words, Default: in.Default, Known: v.known(sum.Name, in.Name)})
	}
	return list
}

// known is what the last reading said that an input of a sum asks for.
func (v *view) known(sum, input string) string {
	fact, unit := inputFact(sum, input)
	for i := len(v.evidence) - 1; i >= 0 && fact != ""; i-- {
		for _, f := range v.evidence[i].Facts {
			if f.Name == fact && v.evidence[i].From == cases.FromRead {
				return f.Value + unit
			}
		}
	}
	return ""
}

// inputFact is the fact of a reading that says what an input of a sum asks
// for, with its unit.
func inputFact(sum, input string) (fact, unit string) {
	switch sum + " " + input {
	case "dock picture", "link format":
		return reading.EDIDPreferred, ""
	case "usb-power device":
		return reading.USBDeclared, "mA"
	case "poe budget":
		return reading.PoEBudget, "W"
	case "subnet host":
		return reading.Address, ""
	case "throughput link":
		return reading.LinkSpeed, "Mbit/s"
	}
	return "", ""
}

// evidenceTitle names evidence for people.
func evidenceTitle(e cases.Evidence) string {
	if e.From == cases.FromSum {
		return "Sum " + e.Name
	}
	return "File " + e.Name
}
