package kb

import (
	"bytes"
	"fmt"
	"reflect"

	"gopkg.in/yaml.v3"
)

// Strict fills into, a pointer to a struct with yaml keys, from one YAML
// document, as entries of the book are read: unknown and repeated keys, wrong
// kinds, empty values, anchors and aliases are reported, each at its place.
// So other records than entries have the same errors and the same bounds. The
// node is nil where the document is no mapping.
func Strict(data []byte, file string, into any) (*yaml.Node, []Finding) {
	var findings []Finding
	report := func(n *yaml.Node, code, text string) {
		findings = append(findings, Finding{File: file, Line: n.Line, Column: n.Column, Level: LevelError, Code: code, Text: text})
	}
	start := &yaml.Node{Line: 1, Column: 1}
	if len(data) > maxFile {
		report(start, "too-large", fmt.Sprintf("larger than %d kB: shorten it", maxFile>>10))
		return nil, findings
	}
	node, err := document(data)
	if err != nil {
		if tab := indentTab.FindIndex(data); tab != nil { // the parser names the line before
			start.Line = 1 + bytes.Count(data[:tab[1]-1], []byte("\n"))
			report(start, "bad-yaml", "not YAML as it stands: the line is indented with a tab: use spaces")
			return nil, findings
		}
		start.Line = lineOf(err)
		report(start, "bad-yaml", "not YAML as it stands: "+plainError(err))
		return nil, findings
	}
	if node == nil || node.Kind != yaml.MappingNode {
		report(start, "empty-file", "holds nothing: it must begin with keys, as `key: value`")
		return nil, findings
	}
	decode(node, reflect.ValueOf(into).Elem(), report)
	return node, findings
}

// Nearest names the one of the known words that the wrong one was probably
// meant to be, as " (did you mean X?)", or nothing.
func Nearest(wrong string, known []string) string { return nearest(wrong, known) }

// ValidID reports whether text can be an id and a file name.
func ValidID(text string) bool { return validID.MatchString(text) }
