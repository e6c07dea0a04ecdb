package edid

import (
	"bytes"
	"strings"
)

// Dump is one EDID found in a text.
type Dump struct {
	Data []byte
	// Line is the line, from 1, on which the EDID begins.
	Line int
	// Label is the connector that the text names before the EDID, as a listing
	// of outputs does ("HDMI-1"), else "".
	Label string
}

// Find returns the EDIDs in a file: one or several behind each other in binary,
// or, if the file does not begin with one, those in its text (see FromText).
func Find(file []byte) []Dump {
	if len(file) < shortestBase || !hasHeader(file) {
		return FromText(file)
	}
	var found []Dump
	for len(file) > 0 {
		next := len(file)
		if size := announcedSize(file); size < next && bytes.HasPrefix(file[size:], header[:]) {
			next = size
		}
		found = append(found, Dump{Data: file[:next], Line: 1})
		file = file[next:]
	}
	return found
}

// FromText finds the EDIDs in a text: hexadecimal bytes with or without spaces,
// commas, colons, offsets in front, a column of characters behind, 0x or \x
// before each byte; lists of numbers in program text; logs; listings of outputs
// with a block for each; a star for repeated rows. Several EDIDs may stand in
// one text. It returns nil if there is none.
//
// An EDID begins where a stretch of bytes begins with its header (two of the
// eight bytes may be wrong there) or has it whole further on. Its extension
// blocks may follow under headings of their own; other text ends it.
func FromText(text []byte) []Dump {
	var found []Dump
	for _, r := range hexRuns(text) {
		data := r.join()
		starts := headerPlaces(data)
		lead := len(data)
		if len(starts) > 0 {
			lead = starts[0]
		}
		if lead > 0 && len(found) > 0 {
			found[len(found)-1].extend(data[:lead])
		}
		for i, at := range starts {
			end := len(data)
			if i+1 < len(starts) {
				end = starts[i+1]
			}
			one := bytes.Clone(data[at:end])
			if want := announcedSize(one); len(one) > want && len(one) < want+fewBytes {
				one = one[:want] // a stray number on the lines behind
			}
			found = append(found, Dump{Data: one, Line: r.lineOf(at), Label: r.label})
		}
	}
	return found
}

// extend appends what stood under a heading of its own, if blocks are missing
// and it has a block or more.
func (e *Dump) extend(data []byte) {
	missing := announcedSize(e.Data) - len(e.Data)
	if missing > 0 && len(data) >= min(missing, blockSize) {
		e.Data = append(e.Data, data[:min(missing, len(data))]...)
	}
}

// announcedSize is how many bytes an EDID says it has, 128 at least.
func announcedSize(data []byte) int {
	if len(data) <= 0x7E {
		return blockSize
	}
	return blockSize * (int(data[0x7E]) + 1)
}

// headerPlaces lists where EDIDs begin in a stretch of bytes.
func headerPlaces(data []byte) []int {
	var places []int
	if len(data) >= shortestBase && hasHeader(data) {
		places = append(places, 0)
	}
	for at := 0; ; {
		i := bytes.Index(data[at:], header[:])
		if i < 0 {
			return places
		}
		if at+i > 0 || len(places) == 0 {
			places = append(places, at+i)
		}
		at += i + len(header)
	}
}

// hexRun is a stretch of lines that hold bytes, without other text between.
type hexRun struct {
	label string
	rows  []hexRow
}

// hexRuns gathers the stretches of a text.
func hexRuns(text []byte) []hexRun {
	var runs []hexRun
	var run hexRun
	label := ""
	flush := func() {
		if len(run.rows) > 0 {
			runs = append(runs, run)
		}
		run = hexRun{label: label}
	}
	for i, line := range strings.Split(string(text), "\n") {
		row, kind := parseRow(line)
		row.line = i + 1
		switch kind {
		case rowHex:
			run.rows = append(run.rows, row)
		case rowText:
			if name, ok := connector(line); ok {
				label = name
			}
			flush()
		}
	}
	flush()
	return runs
}

// connector recognises a line of a listing of outputs: "HDMI-1 connected …".
func connector(line string) (string, bool) {
	words := strings.Fields(line)
	if len(words) < 2 || strings.HasPrefix(line, " ") || strings.HasPrefix(line, "\t") {
		return "", false
	}
	return words[0], words[1] == "connected" || words[1] == "disconnected"
}

// join puts the rows of a run together: offsets and row labels taken off, rows
// cut to the step between offsets, repeated rows filled in, swapped words put
// right.
func (r *hexRun) join() []byte {
	r.dropHeading()
	if !r.useOffsets() {
		r.useLabels()
	}
	var data []byte
	for i := range r.rows {
		r.rows[i].start = len(data)
		data = append(data, r.rows[i].data...)
	}
	if isSwapped(data) {
		for i := 0; i+1 < len(data); i += 2 {
			data[i], data[i+1] = data[i+1], data[i]
		}
	}
	return data
}

// isSwapped recognises 16-bit words printed low byte last.
func isSwapped(data []byte) bool {
	if len(data) < len(header) || hasHeader(data) {
		return false
	}
	first := bytes.Clone(data[:len(header)])
	for i := 0; i < len(first); i += 2 {
		first[i], first[i+1] = first[i+1], first[i]
	}
	return hasHeader(first)
}

func (r *hexRun) lineOf(at int) int {
	line := 0
	for _, row := range r.rows {
		if row.start > at {
			break
		}
		line = row.line
	}
	return line
}

// dropHeading removes a row that only numbers the columns: 00 01 02 … 0F, or
// 0123456789abcdef.
func (r *hexRun) dropHeading() {
	if len(r.rows) == 0 || len(r.rows[0].data) < 8 {
		return
	}
	counts := true
	for i, v := range r.rows[0].data {
		counts = counts && int(v) == i
	}
	if counts || bytes.Equal(r.rows[0].data, []byte{0x01, 0x23, 0x45, 0x67, 0x89, 0xAB, 0xCD, 0xEF}) {
		r.rows = r.rows[1:]
	}
}

// useOffsets applies the offsets in front of the rows, if there are any.
func (r *hexRun) useOffsets() bool {
	base := r.offsetBase()
	if base == 0 {
		return false
	}
	step, repeated := 0, false
	var out []hexRow
	for _, row := range r.rows {
		if row.star {
			repeated = true
			continue
		}
		at, ok := row.offset(base)
		if ok && len(out) > 0 {
			gap := out[len(out)-1].fit(at, base, repeated)
			if step == 0 {
				step = gap
			}
			repeated = false
		}
		if row.offsetText == "" && ok {
			continue // the line that only gives the length
		}
		out = append(out, row)
	}
	if n := len(out); n > 1 && step > 0 && len(out[n-1].data) > step {
		out[n-1].data = out[n-1].data[:step]
	}
	r.rows = out
	return true
}

// fit makes a row reach to the offset of the next: it is cut there, or, where a
// star stood between, repeated up to there. It returns the distance.
func (r *hexRow) fit(next, base int, repeated bool) int {
	at, ok := r.offset(base)
	gap := next - at
	if !ok || gap <= 0 || gap > maxBlocks*blockSize {
		return 0
	}
	if repeated && len(r.data) > 0 {
		r.data = bytes.Repeat(r.data, gap/len(r.data))
	}
	if gap < len(r.data) {
		r.data = r.data[:gap]
	}
	return gap
}

// offsetBase finds the number base in which the offsets advance as the rows do;
// 0 if the rows have none.
func (r *hexRun) offsetBase() int {
	best, bestHits := 0, 0
	for _, base := range []int{16, 8, 10} {
		hits := 0
		for i := 1; i < len(r.rows); i++ {
			a, okA := r.rows[i-1].offset(base)
			b, okB := r.rows[i].offset(base)
			if okA && okB && b > a && b-a <= len(r.rows[i-1].data) && b-a >= 4 {
				hits++
			}
		}
		if hits > bestHits {
			best, bestHits = base, hits
		}
	}
	if best == 0 && len(r.rows) == 1 && r.rows[0].offsetText != "" && len(r.rows[0].data) > 0 {
		return 16
	}
	return best
}

// useLabels takes off row labels that look like a byte: rows of 9, 17 or 33
// whose first bytes count 00, 10, 20 …
func (r *hexRun) useLabels() {
	if len(r.rows) < 3 {
		return
	}
	n := len(r.rows[0].data) - 1
	if n != 8 && n != 16 && n != 32 {
		return
	}
	for i, row := range r.rows {
		if len(row.data) != n+1 || row.data[0] != byte(i*n) {
			return
		}
	}
	for i := range r.rows {
		r.rows[i].data = r.rows[i].data[1:]
	}
}
