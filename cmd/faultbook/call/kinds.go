package call

import "strings"

// FindKinds lists what can be found, in the order in which it is shown.
func FindKinds() []string {
	return []string{"cause", "symptom", "practice", "case", "remedy", "caution", "value", "term", "part"}
}

// KindTitle names several things of a kind, as above a list.
func KindTitle(kind string) string {
	switch kind {
	case "practice":
		return "Ways of working"
	case "case":
		return "Past calls"
	case "remedy":
		return "Remedies"
	case "value":
		return "Figures"
	case "term":
		return "Glossary"
	case "words":
		return "Words for one thing"
	}
	return strings.ToUpper(kind[:1]) + kind[1:] + "s"
}
