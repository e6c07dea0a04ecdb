package reading

import (
	"regexp"
	"strconv"
	"strings"
)

// text is a file cut into lines, without line ends and terminal codes.
type text struct {
	whole string
	lines []string
}

// terminalCodes are colours and the like; a lone escape goes too, so that
// nothing read can steer the terminal it is shown on.
var terminalCodes = regexp.MustCompile(`\x1b(?:\[[0-9;?]*[ -/]*[@-~])?`)

func newText(file []byte) *text {
	s := terminalCodes.ReplaceAllString(string(file), "")
	s = strings.ReplaceAll(s, "\r\n", "\n")
	s = strings.ReplaceAll(s, "\r", "\n")
	return &text{whole: s, lines: strings.Split(s, "\n")}
}

// has says whether one of the words stands in the text.
func (t *text) has(words ...string) bool {
	for _, w := range words {
		if strings.Contains(t.whole, w) {
			return true
		}
	}
	return false
}

// indent counts leading spaces, a tab as eight.
func indent(line string) int {
	n := 0
	for _, c := range line {
		switch c {
		case ' ':
			n++
		case '\t':
			n += 8
		default:
			return n
		}
	}
	return n
}

// number reads the digits at the start of s, 0 if there are none. It is bounded,
// so that a long run of digits cannot overflow.
func number(s string) int {
	n := 0
	for n < len(s) && n < 9 && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	v, _ := strconv.Atoi(s[:n])
	return v
}

// decimal reads a decimal number at the start of s.
func decimal(s string) (float64, bool) {
	n := 0
	for n < len(s) && n < 18 && (s[n] >= '0' && s[n] <= '9' || s[n] == '.') {
		n++
	}
	v, err := strconv.ParseFloat(s[:n], 64)
	return v, err == nil
}

// count reads a whole number that may be large.
func count(s string) (uint64, bool) {
	v, err := strconv.ParseUint(s, 10, 64)
	return v, err == nil
}

// plural writes a number with its noun.
func plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + one + "s"
}
