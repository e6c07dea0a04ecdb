package kb

// weighed multiplies causes by their factors; all causes together, and
// SomethingElse, keep the weight that they had.
func weighed(list []Weighted, factors map[string]float64) []Weighted {
	if len(factors) == 0 {
		return list
	}
	before, after := 0.0, 0.0
	for i, w := range list {
		if w.ID == SomethingElse {
			continue
		}
		before += w.Chance
		if f, ok := factors[w.ID]; ok {
			list[i].Chance *= f
		}
		after += list[i].Chance
	}
	if after == 0 {
		return list
	}
	for i := range list {
		if list[i].ID != SomethingElse {
			list[i].Chance *= before / after
		}
	}
	return list
}

// Priors are the chances of the causes of a symptom before any question, in
// order of their ids, SomethingElse last: authored weights as pseudoCalls
// calls, plus the counts. They sum to one.
func Priors(b *Book, symptom string, counts func(symptom, cause string) float64) []Weighted {
	var list []Weighted
	sum := 0.0
	for _, cause := range All[Cause](b) {
		if f := cause.frequencyIn(symptom); f != "" {
			list = append(list, Weighted{cause.ID, f.Weight()})
			sum += f.Weight()
		}
	}
	list = append(list, Weighted{SomethingElse, max(0.05*sum, 0.5)})
	sum += list[len(list)-1].Chance
	calls := 0.0
	if counts != nil {
		for _, w := range list {
			calls += counts(symptom, w.ID)
		}
	}
	for i := range list {
		n := 0.0
		if counts != nil {
			n = counts(symptom, list[i].ID)
		}
		list[i].Chance = (pseudoCalls*list[i].Chance/sum + n) / (pseudoCalls + calls)
	}
	return list
}

// frequencyIn is how common the cause is under a symptom, "" where it does not
// belong to it.
func (e *Cause) frequencyIn(symptom string) Frequency {
	for _, s := range e.Symptoms {
		if s.ID != symptom {
			continue
		}
		if s.Frequency != "" {
			return s.Frequency
		}
		return e.Frequency
	}
	return ""
}
