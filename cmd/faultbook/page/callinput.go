package page

import (
	"math"
	"strconv"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/diagnose/measure"
	"faultbook/kb/cases"
)

// readInput makes an input of a form: `do` says which kind, `id` what it is
// about, `value` or `text` what is said of it.
func readInput(v *visit) (input, error) {
	version, err := strconv.Atoi(v.value("version"))
	if err != nil {
		version = -1
	}
	p := input{version: version, key: v.value("key")}
	switch do := v.value("do"); do {
	case "say", "note", "meeting":
		return textInput(p, do, v.value("text"))
	case "read":
		sent := &readPage{Text: v.value("text")}
		data, err := sent.sent(v)
		if err == nil && len(strings.TrimSpace(string(data))) == 0 {
			err = wrong("Choose a file, or paste what it says.")
		}
		p.file = &attached{sent.File, data}
		return p, err
	case "sum-of":
		p.in.Sum = &call.SumIn{Name: v.value("id"), Values: fieldValues(v)}
		return p, nil
	default:
		return chosenInput(p, v, do)
	}
}

// chosenInput is an input that was chosen, not typed.
func chosenInput(p input, v *visit, do string) (input, error) {
	id, value := v.value("id"), v.value("value")
	switch do {
	case call.StepAsk, call.StepSum:
		p.in = answerIn(id, value, "")
	case "confirm":
		p.in = answerIn(id, value, "volunteered")
	case call.StepTry:
		p.in.Tried = &cases.Tried{Remedy: id, Result: value}
	case call.StepHandover, call.StepStop:
		p.in.Handover = value
	case "symptom":
		p.in.Symptom = value
	case "who":
		p.in.Who = value
	case "room":
		p.in.Room = strings.TrimSpace(value)
	case "workaround":
		p.in.Workaround = value
	case "undo":
		p.in.Undo = true
	case "close":
		p.in.Close = &cases.Close{Cause: value, Note: v.value("text")}
	default:
		return p, wrong("The page sent something that is no input of a call.")
	}
	return p, nil
}

// textInput is an input that was typed.
func textInput(p input, do, text string) (input, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return p, wrong("There are no words in it.")
	}
	switch do {
	case "say":
		p.in.Say, p.anyTime = text, true
	case "note":
		p.in.Note, p.anyTime = text, true
	default:
		minutes, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(minutes) || math.IsInf(minutes, 0) {
			return p, wrong("Minutes until the meeting: %q is no number.", text)
		}
		p.in.Meeting = &minutes
	}
	return p, nil
}

func answerIn(question, value, from string) call.In {
	if value == "unknown" {
		return call.In{Unknown: question}
	}
	return call.In{Answer: &cases.Answer{Question: question, Value: value, From: from}}
}

// fieldValues are the inputs of a sum in a call: the fields that begin with in-, lists
// split at commas and line ends.
func fieldValues(v *visit) measure.Values {
	values := measure.Values{}
	for name, list := range v.r.PostForm {
		name, ok := strings.CutPrefix(name, "in-")
		for _, text := range list {
			for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '\n' || r == ';' }) {
				if part = strings.TrimSpace(part); ok && part != "" {
					values[name] = append(values[name], part)
				}
			}
		}
	}
	return values
}
