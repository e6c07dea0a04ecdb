package index

import "strings"

// isUnit reports whether a small-letter word is a unit that a number before it
// belongs to, so that "500 mA" and "500mA" are one figure. Units that are
// ordinary words (a, in) are left out; the number has to be written next to
// those.
func isUnit(word string) bool {
	switch word {
	case "ma", "mv", "mw", "kw", "va", "w", "v", "volt", "volts", "watt", "watts", "amp", "amps",
		"hz", "khz", "mhz", "ghz", "k", "p", "i", "fps",
		"bit", "bits", "kbit", "mbit", "gbit", "kb", "mb", "gb", "kbps", "mbps", "gbps", "kbit/s", "mbit/s", "gbit/s", "baud",
		"mm", "cm", "m", "km", "ft", "inch", "db", "dbu", "dbv", "dbm", "ohm", "ohms", "ms", "us", "ns", "pf", "nf":
		return true
	}
	return false
}

// unitShort gives the one spelling under which a unit is kept.
func unitShort(unit string) string {
	switch unit {
	case "volt", "volts":
		return "v"
	case "watt", "watts":
		return "w"
	case "amp", "amps":
		return "a"
	case "ohms":
		return "ohm"
	case "bits":
		return "bit"
	case "kbps", "kbit/s":
		return "kbit"
	case "mbps", "mbit/s":
		return "mbit"
	case "gbps", "gbit/s":
		return "gbit"
	}
	return unit
}

// splitFigure cuts "500ma" into "500" and "ma". ok is false where the word
// does not begin with a digit, or has digits behind its letters (2160p60, 4k60)
// and so is whole already.
func splitFigure(word string) (number, unit string, ok bool) {
	i := 0
	for i < len(word) && (isDigit(word[i]) || word[i] == '.' || word[i] == ',') {
		i++
	}
	if i == 0 {
		return "", "", false
	}
	unit = word[i:]
	for j := 0; j < len(unit); j++ {
		if isDigit(unit[j]) {
			return "", "", false
		}
	}
	return word[:i], unit, true
}

// wholeFigure gives the one spelling of a figure: "500", "mA" and "500mA"
// become "500ma", "10 volts" "10v", "2160p" and "60" (or "60hz") "2160p60".
func wholeFigure(word string) string {
	number, unit, ok := splitFigure(word)
	if !ok {
		return word
	}
	return strings.TrimRight(number, ".,") + unitShort(unit)
}

// joinsFigure reports whether two words that follow each other are one figure
// and gives its spelling: "500 ma", "2160p 60", "4k 60hz", "2160p60 hz".
func joinsFigure(a, b string) (string, bool) {
	number, unit, ok := splitFigure(a)
	if !ok { // a format with its rate takes the unit of the rate in
		return a, (b == "hz" || b == "fps") && isDigit(a[len(a)-1]) && strings.ContainsAny(a, "pik")
	}
	if unit == "" && isUnit(b) {
		return wholeFigure(number + b), true
	}
	return joinsRate(a, b)
}

// joinsRate does so for a format and its rate.
func joinsRate(a, b string) (string, bool) {
	number, unit, ok := splitFigure(a)
	if !ok || unit != "p" && unit != "i" && unit != "k" {
		return "", false
	}
	rate, hertz, ok := splitFigure(b)
	if !ok || hertz != "" && hertz != "hz" && hertz != "fps" || !isRate(rate) {
		return "", false
	}
	return number + unit + rate, true
}

// isRate reports whether a number is a picture rate.
func isRate(n string) bool {
	switch n {
	case "24", "25", "30", "48", "50", "59.94", "60", "75", "100", "120", "144":
		return true
	}
	return false
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// withRates makes, of words that stand for one format ("4k", "2160p"), the same
// for each rate: "4k60" stands for "2160p60". Nil where fewer than two of the
// words are formats that take a rate.
func withRates(words []string) [][]string {
	var formats []string
	for _, w := range words {
		w = strings.ToLower(w)
		if _, unit, ok := splitFigure(w); ok && (unit == "p" || unit == "i" || unit == "k") {
			formats = append(formats, w)
		}
	}
	if len(formats) < 2 {
		return nil
	}
	var groups [][]string
	for _, rate := range []string{"24", "25", "30", "50", "60", "120"} {
		var same []string
		for _, f := range formats {
			same = append(same, f+rate)
		}
		groups = append(groups, same)
	}
	return groups
}
