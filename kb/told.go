package kb

// Told counts how the person on the line got on with questions, by place; the
// place "" is anywhere.
type Told struct {
	Answered map[string]int
	Unknown  map[string]int
}

// toldWeight is how many questions the book's own
// expectation counts for, and elsewhere how much a question put in another place
// counts (common practice, no source).
const (
	toldWeight = 2
	elsewhere  = 0.25
)

// chance is the chance that a question at a place gets an answer: base, that of
// its sense, corrected by how the questions before went. Somebody who cannot
// look at the screen will not see its lamp either.
func (t Told) chance(base float64, place string) float64 {
	answered, unknown := 0.0, 0.0
	for p, n := range t.Answered {
		answered += weightOf(p, place) * float64(n)
	}
	for p, n := range t.Unknown {
		unknown += weightOf(p, place) * float64(n)
	}
	if unknown == 0 {
		return base // who answers everything is no better than the book expects
	}
	return min(base, (toldWeight*base+answered)/(toldWeight+answered+unknown))
}

func weightOf(place, at string) float64 {
	if place == at {
		return 1
	}
	return elsewhere
}

// talk is the minutes of talk around a question: each one that could not be
// told makes the next harder to put to the same person.
func (t Told) talk() float64 {
	unknown := 0
	for _, n := range t.Unknown {
		unknown += n
	}
	return talkQuestion * float64(1+unknown)
}
