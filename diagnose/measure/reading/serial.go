package reading

import (
	"fmt"
	"math/bits"
	"regexp"
	"strings"

	"faultbook/diagnose/measure/edid"
)

// Serial is a capture of a serial line.
type Serial struct {
	Messages []SerialMessage `json:"messages"`
	Bytes    int             `json:"bytes"`
	// Ending is how lines end: cr, lf, crlf, framed (02 … 03), none, mixed.
	Ending string `json:"line_ending"`
	// SevenBit is the text with bit 7 taken off, where parity bits are suspected.
	SevenBit string `json:"seven_bit_text"`
}

// SerialMessage is one line of the capture.
type SerialMessage struct {
	Direction string `json:"direction"` // "sent", "received", "" not marked
	Hex       string `json:"hex"`
	Text      string `json:"text"` // control bytes as <0D>
	data      []byte
}

var serialMark = regexp.MustCompile(`(?i)^\s*(?:\[[^\]]*\]|[\d:.]{6,})?\s*(tx|rx|sent|send|received|recv|out|in|>+|<+|->|<-)\s*[:>\]]?\s+(.*)$`)

// fewestSerial is how many bytes a capture must have to be taken for one.
const fewestSerial = 2

// readSerial takes a text for a serial capture if most of its lines are bytes.
func readSerial(t *text) (*Reading, error) {
	s := Serial{Messages: []SerialMessage{}}
	first, other, firstOther := 0, 0, 0
	var all []byte
	for i, line := range t.lines {
		trimmed := strings.TrimSpace(line)
		if trimmed == "" || strings.HasPrefix(trimmed, "#") {
			continue
		}
		m, ok := serialMessage(line)
		if !ok {
			other++
			if firstOther == 0 {
				firstOther = i + 1
			}
			continue
		}
		if first == 0 {
			first = i + 1
		}
		all = append(all, m.data...)
		s.Messages = append(s.Messages, m)
	}
	if len(all) < fewestSerial || other > len(s.Messages) {
		if firstOther > 0 {
			return nil, fmt.Errorf("line %d: %w", firstOther, ErrUnknown)
		}
		return nil, ErrUnknown
	}
	if err := looksLikeBlock(all, first); err != nil {
		return nil, err
	}
	s.Bytes = len(all)
	r := newReading(KindSerial, "", first)
	serialFacts(r, &s, received(s.Messages))
	r.Decoded = s
	for _, m := range s.Messages {
		label := m.Direction
		if label == "" {
			label = "bytes"
		}
		r.row(label, "%s  %s", m.Hex, m.Text)
	}
	return r, nil
}

// looksLikeBlock refuses bytes that are an EDID block without its base block.
func looksLikeBlock(all []byte, line int) error {
	if len(all)%128 != 0 {
		return nil
	}
	sum := byte(0)
	for _, b := range all[:128] {
		sum += b
	}
	if sum == 0 && all[0] != 0 {
		return fmt.Errorf("line %d: %d bytes with an EDID checksum but no EDID header; paste the base block (00 FF FF FF FF FF FF 00 …) too", line, len(all))
	}
	return nil
}

func serialMessage(line string) (SerialMessage, bool) {
	m := SerialMessage{}
	if mark := serialMark.FindStringSubmatch(line); mark != nil {
		m.Direction = "sent"
		switch strings.ToLower(mark[1])[0] {
		case 'r', 'i', '<':
			m.Direction = "received"
		}
		line = mark[2]
	}
	data, ok := edid.HexBytes(line)
	if !ok {
		return m, false
	}
	m.data, m.Text = data, printable(data)
	m.Hex = fmt.Sprintf("% X", data)
	return m, true
}

// received are the bytes that came in, or all where no line is marked so.
func received(messages []SerialMessage) []byte {
	var in, all []byte
	for _, m := range messages {
		all = append(all, m.data...)
		if m.Direction == "received" {
			in = append(in, m.data...)
		}
	}
	if len(in) > 0 {
		return in
	}
	return all
}

func isPrintable(b byte) bool { return b >= 0x20 && b < 0x7F || b == '\r' || b == '\n' || b == '\t' }

// printable shows text as it is and other bytes as <0D>.
func printable(data []byte) string {
	var s strings.Builder
	for _, b := range data {
		if b >= 0x20 && b < 0x7F {
			s.WriteByte(b)
		} else {
			fmt.Fprintf(&s, "<%02X>", b)
		}
	}
	return s.String()
}

func serialFacts(r *Reading, s *Serial, in []byte) {
	r.fact(SerialBytes, s.Bytes, "", "%s", plural(s.Bytes, "byte"))
	s.Ending = ending(s.Messages)
	r.fact(SerialEnding, s.Ending, "", "lines end with %s", map[string]string{
		"cr": "CR (0D)", "lf": "LF (0A)", "crlf": "CR LF (0D 0A)", "framed": "a frame of 02 … 03", "none": "nothing", "mixed": "different bytes",
	}[s.Ending])
	good := 0
	for _, b := range in {
		if isPrintable(b) {
			good++
		}
	}
	share := float64(good) * 100 / float64(len(in))
	r.fact(SerialPrintable, share, "%", "%.0f %% of the bytes are text", share)
	parity := parityBits(in)
	r.fact(SerialParity, parity, "", "parity bit in the data: %s", yesNo(parity))
	speed := !parity && wrongSpeed(in, share)
	r.fact(SerialSpeed, speed, "", "bytes of a wrong speed: %s", yesNo(speed))
	escape := false
	for _, m := range s.Messages {
		escape = escape || strings.Contains(m.Text, `\r`) || strings.Contains(m.Text, `\n`) || strings.Contains(m.Text, `\x`)
	}
	r.fact(SerialEscape, escape, "", "backslash and letter in the data: %s", yesNo(escape))
	if parity {
		seven := make([]byte, len(in))
		for i, b := range in {
			seven[i] = b & 0x7F
		}
		s.SevenBit = printable(seven)
		r.remark("C-014", "computed", "every byte has even parity and without bit 7 reads %q: the sender uses 7 bits with even parity (7E1), the receiver 8 bits without (8N1)", s.SevenBit)
	}
	if speed {
		r.remark("C-013", "computed; looks: common practice, no source", "bytes such as 00, 80, E0, F8: the speeds differ, often by a factor of two; set both ends alike")
	}
	if escape {
		r.remark("C-016", "computed", "a backslash and a letter (5C 72) is in the data: the controller sends two letters instead of a return")
	}
	if s.Ending == "none" && len(s.Messages) > 0 && share > 60 {
		r.remark("C-015", srcPractice, "no line ending: a device that waits for CR or CR LF gives no answer at all, or answers the command before")
	}
}

func yesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

// ending tells how lines end. Of marked messages those sent count, since what
// the device wants is decided there; unmarked lines are one stream, cut anywhere.
func ending(messages []SerialMessage) string {
	kinds := map[string]int{}
	var stream []byte
	for _, m := range messages {
		switch m.Direction {
		case "":
			stream = append(stream, m.data...)
		case "sent":
			kinds[endOf(m.data)]++
		}
	}
	if len(kinds) == 0 {
		for _, m := range messages {
			if m.Direction != "" {
				kinds[endOf(m.data)]++
			}
		}
	}
	if len(kinds) == 0 {
		return streamEnding(stream)
	}
	for _, kind := range []string{"cr", "lf", "crlf", "framed", "none"} {
		if kinds[kind] > 0 && len(kinds) == 1 {
			return kind
		}
	}
	return "mixed"
}

// endOf is how one message ends.
func endOf(d []byte) string {
	n := len(d)
	switch {
	case n >= 2 && d[n-2] == '\r' && d[n-1] == '\n':
		return "crlf"
	case d[n-1] == '\r':
		return "cr"
	case d[n-1] == '\n':
		return "lf"
	case n >= 2 && d[0] == 0x02 && (d[n-1] == 0x03 || d[n-2] == 0x03):
		return "framed"
	}
	return "none"
}

// streamEnding looks at a stream without marks, parity bits taken off.
func streamEnding(d []byte) string {
	cr, lf, crlf := 0, 0, 0
	for i, b := range d {
		switch b & 0x7F {
		case '\r':
			if i+1 < len(d) && d[i+1]&0x7F == '\n' {
				crlf++
			} else {
				cr++
			}
		case '\n':
			if i == 0 || d[i-1]&0x7F != '\r' {
				lf++
			}
		}
	}
	switch {
	case crlf > 0 && cr+lf == 0:
		return "crlf"
	case cr > 0 && crlf+lf == 0:
		return "cr"
	case lf > 0 && crlf+cr == 0:
		return "lf"
	case crlf+cr+lf > 0:
		return "mixed"
	case len(d) > 2 && d[0] == 0x02 && strings.IndexByte(string(d), 0x03) > 0:
		return "framed"
	}
	return "none"
}

// parityBits says whether the bytes are text with an even parity bit in bit 7
// (check value C-014): all have an even number of ones, some have bit 7 set,
// and without it all are text.
func parityBits(in []byte) bool {
	if len(in) < 4 {
		return false
	}
	set := false
	for _, b := range in {
		if bits.OnesCount8(b)%2 != 0 || !isPrintable(b&0x7F) {
			return false
		}
		set = set || b >= 0x80
	}
	return set
}

// wrongSpeed says whether most bytes are of the kind that a wrong speed makes
// (check value C-013): runs of ones or zeros from one end of the byte.
func wrongSpeed(in []byte, printableShare float64) bool {
	if len(in) < 4 || printableShare > 40 {
		return false
	}
	odd := 0
	for _, b := range in {
		switch b {
		case 0x00, 0x80, 0xC0, 0xE0, 0xF0, 0xF8, 0xFC, 0xFE, 0xFF:
			odd++
		}
	}
	return odd*2 > len(in)
}
