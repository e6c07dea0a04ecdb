package room

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// schemaLine names the schema for editors; it is the first line of a sheet.
const schemaLine = "# yaml-language-server: $schema=../schema/room.json\n"

// set puts a value under keys of an item of a list, or of a list in it; keys
// name mapping keys or ids of items. What stands there already stays, and set
// reports false.
func (s *Sheet) set(value string, path ...string) bool {
	node := s.node
	for i, step := range path {
		next, _ := child(node, step)
		if next == nil {
			if node.Kind != yaml.MappingNode {
				return false
			}
			next = &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Style: yaml.FlowStyle}
			if i == len(path)-1 {
				next = scalar(value)
			}
			node.Content = append(node.Content, &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: step}, next)
			if i == len(path)-1 {
				return true
			}
		} else if i == len(path)-1 {
			return false
		}
		node = next
	}
	return false
}

// scalar writes numbers plain and texts as they need it.
func scalar(value string) *yaml.Node {
	n := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: value}
	if _, err := strconv.Atoi(value); err == nil {
		n.Tag = "!!int"
	}
	return n
}

// raise counts the revision up.
func (s *Sheet) raise() {
	if v, _ := child(s.node, "revision"); v != nil {
		v.Value = strconv.Itoa(s.Revision + 1)
		return
	}
	s.set("1", "revision")
}

// Encode writes the sheet with what was set; comments stay.
func (s *Sheet) Encode() ([]byte, error) {
	var buf bytes.Buffer
	enc := yaml.NewEncoder(&buf)
	enc.SetIndent(2)
	if err := enc.Encode(s.node); err != nil {
		return nil, fmt.Errorf("write the sheet: %w", err)
	}
	text := buf.String()
	if !strings.Contains(text, "yaml-language-server") {
		text = schemaLine + text
	}
	return []byte(text), nil
}
