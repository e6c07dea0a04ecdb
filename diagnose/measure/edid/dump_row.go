package edid

import (
	"strconv"
	"strings"
)

type rowKind int

const (
	rowBlank rowKind = iota // nothing, or only brackets and comments
	rowHex
	rowText
)

// fewBytes is how many bytes a line with other words in it must have to count.
const fewBytes = 8

// mostPlaces bounds the places of a line at which bytes are looked for.
const mostPlaces = 64

// hexRow is one line of a dump.
type hexRow struct {
	line       int
	offsetText string // digits of the offset in front, "" if none
	data       []byte
	single     string // the line's only token, which may be an offset alone
	star       bool   // a star: the row before is repeated
	start      int    // place in the run
}

// offset reads the offset in a number base.
func (r hexRow) offset(base int) (int, bool) {
	text := r.offsetText
	if text == "" {
		text = r.single
	}
	if len(text) == 0 || len(text) > 8 {
		return 0, false
	}
	v, err := strconv.ParseInt(text, base, 32)
	return int(v), err == nil
}

// parseRow reads one line.
func parseRow(line string) (hexRow, rowKind) {
	s := strings.TrimSpace(stripComments(line))
	if strings.Trim(s, "{}[]();,\\\"'") == "" {
		return hexRow{}, rowBlank
	}
	if s == "*" {
		return hexRow{star: true}, rowHex
	}
	s = stripDirective(s)
	if off, rest, ok := splitOffset(s); ok {
		if data, ok := parseBytes(rest, 1); ok {
			return hexRow{offsetText: off, data: data}, rowHex
		}
	}
	if data, ok := parseBytes(s, 1); ok {
		row := hexRow{data: data}
		if isHexWord(s) {
			row.single = s
		}
		return row, rowHex
	}
	if isHexWord(s) && len(s) >= 4 && len(s) <= 8 {
		return hexRow{single: s}, rowHex // an odd number of digits: an offset alone
	}
	places := 0
	for i := 1; i < len(s) && places < mostPlaces; i++ {
		if !strings.ContainsRune(" \t:=>{[(\"'|,", rune(s[i-1])) {
			continue
		}
		places++
		if data, ok := parseBytes(s[i:], fewBytes); ok {
			return hexRow{data: data}, rowHex
		}
	}
	return hexRow{}, rowText
}

func isHexDigit(c byte) bool {
	return c >= '0' && c <= '9' || c >= 'a' && c <= 'f' || c >= 'A' && c <= 'F'
}

func isHexWord(s string) bool {
	for i := 0; i < len(s); i++ {
		if !isHexDigit(s[i]) {
			return false
		}
	}
	return s != ""
}

// stripComments removes /* … */ and what follows //.
func stripComments(s string) string {
	for {
		a := strings.Index(s, "/*")
		if a < 0 {
			break
		}
		b := strings.Index(s[a+2:], "*/")
		if b < 0 {
			s = s[:a]
			break
		}
		s = s[:a] + " " + s[a+2+b+2:]
	}
	if i := strings.Index(s, "//"); i >= 0 {
		s = s[:i]
	}
	return s
}

// stripDirective removes an assembler's "db" in front of bytes that are marked
// with h, since db could be a byte itself.
func stripDirective(s string) string {
	word, rest, ok := strings.Cut(s, " ")
	if ok && strings.EqualFold(word, "db") && strings.ContainsAny(rest, "hH") {
		return strings.TrimSpace(rest)
	}
	return s
}

// splitOffset takes an offset off the front: digits with a colon, bar or
// bracket behind, or four to eight digits before shorter groups.
func splitOffset(s string) (string, string, bool) {
	s, _ = cutHexPrefix(strings.TrimPrefix(s, "["))
	n := hexDigits(s)
	if n == 0 || n > 8 || n == len(s) {
		return "", "", false
	}
	digits, rest := s[:n], strings.TrimLeft(s[n:], " \thH")
	if rest == "" {
		return "", "", false
	}
	if strings.ContainsRune(":|>]", rune(rest[0])) {
		if n == 2 && colonBytes(rest) {
			return "", "", false
		}
		return digits, strings.TrimLeft(rest[1:], ": \t"), true
	}
	next, spaced := hexDigits(rest), s[n] == ' ' || s[n] == '\t'
	if spaced && (n >= 4 && next == 2 || n >= 7 && next == 4) {
		return digits, rest, true
	}
	return "", "", false
}

// colonBytes says whether what follows two digits goes on as bytes with colons
// between: ":ff:ff".
func colonBytes(rest string) bool {
	return rest[0] == ':' && len(rest) >= 3 && isHexWord(rest[1:3]) && (len(rest) == 3 || rest[3] == ':')
}

// cutHexPrefix takes a 0x off the front.
func cutHexPrefix(s string) (string, bool) {
	if len(s) > 2 && s[0] == '0' && (s[1] == 'x' || s[1] == 'X') {
		return s[2:], true
	}
	return s, false
}

// hexDigits counts the digits at the front.
func hexDigits(s string) int {
	n := 0
	for n < len(s) && isHexDigit(s[n]) {
		n++
	}
	return n
}

// parseBytes reads bytes until the end of the line or a column of characters.
// It fails if there are fewer than least, or if something other than such a
// column follows.
func parseBytes(s string, least int) ([]byte, bool) {
	var data []byte
	for {
		rest := strings.TrimLeft(s, " \t,;:-\\\"'{}[]()_")
		if strings.HasPrefix(rest, "x") && strings.HasSuffix(s[:len(s)-len(rest)], "\\") {
			rest = "0" + rest
		}
		if rest == "" || rest[0] == '<' || rest[0] == '|' {
			return data, len(data) >= least
		}
		wide := len(s)-len(strings.TrimLeft(s, " \t")) >= 2 || strings.HasPrefix(s, "\t")
		if wide && len(data) > 0 && len(data)%16 == 0 && isColumn(rest) {
			return data, len(data) >= least
		}
		group, after, ok := hexGroup(rest)
		if !ok {
			return data, len(data) >= max(least, fewBytes) && isGap(s, rest)
		}
		data = append(data, group...)
		s = after
	}
}

// isGap says whether a space or quote parts the bytes from what follows.
func isGap(s, rest string) bool {
	return len(s) > len(rest) && strings.ContainsAny(s[:len(s)-len(rest)], " \t\"'")
}

// isColumn says whether what follows a full row is a column of characters
// rather than a second half row of bytes.
func isColumn(s string) bool {
	n := 0
	for s != "" {
		group, after, ok := hexGroup(s)
		if !ok {
			return true
		}
		n += len(group)
		s = strings.TrimLeft(after, " \t,;:-")
	}
	return n < fewBytes
}

// hexGroup reads one group of digits: an even number of them, or a single one
// after 0x. It must end at a separator.
func hexGroup(s string) ([]byte, string, bool) {
	s, prefixed := cutHexPrefix(s)
	n := hexDigits(s)
	digits, after := s[:n], s[n:]
	if after != "" && (after[0] == 'h' || after[0] == 'H' || after[0] == 'u' || after[0] == 'U') {
		after = after[1:]
	}
	if after != "" && !strings.ContainsRune(" \t,;:-\\\"'{}[]()_<|", rune(after[0])) {
		return nil, s, false
	}
	if n == 1 && prefixed {
		digits, n = "0"+digits, 2
	}
	if n == 0 || n%2 != 0 {
		return nil, s, false
	}
	out := make([]byte, n/2)
	for i := range out {
		v, _ := strconv.ParseUint(digits[2*i:2*i+2], 16, 8)
		out[i] = byte(v)
	}
	return out, after, true
}

// HexBytes reads the bytes of one line of a dump: an offset in front and a
// column of characters behind are left out. False if the line is something else.
func HexBytes(line string) ([]byte, bool) {
	row, kind := parseRow(line)
	return row.data, kind == rowHex && len(row.data) > 0
}
