package index

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"faultbook/kb/cases"
)

// stampsName is the file that says which cases an index was made of: a line
// "id stamp" for each, in order. It lies apart from the seal because a call
// does without it.
const (
	stampsName = "stamps"
	wordsName  = "words"
)

func writeStamps(c content) []byte {
	var b bytes.Buffer
	for _, id := range c.ids {
		b.WriteString(id + " " + c.cases[id] + "\n")
	}
	return b.Bytes()
}

// readStamps reads the stamps of a sealed index.
func readStamps(folder string) (map[string]string, error) {
	data, err := cases.ReadPlain(filepath.Join(folder, stampsName))
	if err != nil {
		return nil, fmt.Errorf("read the index: %w", err)
	}
	stamps := make(map[string]string, bytes.Count(data, []byte("\n")))
	for line := range strings.Lines(string(data)) {
		id, stamp, _ := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		stamps[id] = stamp
	}
	return stamps, nil
}
