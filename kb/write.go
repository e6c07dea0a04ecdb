package kb

import (
	"bytes"
	"fmt"
	"strconv"

	"gopkg.in/yaml.v3"
)

// Write gives the YAML of an entry as it is kept in a file; Parse reads the
// same entry back. What is empty is left out.
func Write(e Entry) ([]byte, error) {
	var node yaml.Node
	if err := node.Encode(e); err != nil {
		return nil, fmt.Errorf("write %s %s: %w", e.head().Kind, e.head().ID, err)
	}
	prune(&node)
	var buf bytes.Buffer
	enc := yaml.NewEncoder(&buf)
	enc.SetIndent(2)
	if err := enc.Encode(&node); err != nil {
		return nil, fmt.Errorf("write %s %s: %w", e.head().Kind, e.head().ID, err)
	}
	if err := enc.Close(); err != nil {
		return nil, fmt.Errorf("write %s %s: %w", e.head().Kind, e.head().ID, err)
	}
	return buf.Bytes(), nil
}

// prune drops keys without a value.
func prune(node *yaml.Node) {
	if node.Kind != yaml.MappingNode {
		for _, item := range node.Content {
			prune(item)
		}
		return
	}
	var kept []*yaml.Node
	for i := 0; i+1 < len(node.Content); i += 2 {
		value := node.Content[i+1]
		prune(value)
		if value.Kind == yaml.ScalarNode && value.Value == "" || value.Kind != yaml.ScalarNode && len(value.Content) == 0 {
			continue
		}
		kept = append(kept, node.Content[i], value)
	}
	node.Content = kept
}

// MarshalYAML writes the rows as a mapping, in order.
func (t Tells) MarshalYAML() (any, error) {
	return mapping(len(t), 0, func(i int) (string, any) { return t[i].Question, t[i].Row })
}

// MarshalYAML writes the row as a mapping on one line, in order.
func (r Row) MarshalYAML() (any, error) {
	return mapping(len(r), yaml.FlowStyle, func(i int) (string, any) { return r[i].Answer, r[i].Chance })
}

// MarshalYAML writes the word of the scale, or the number.
func (c Chance) MarshalYAML() (any, error) {
	text := c.String()
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!float", Value: text}, nil
	}
	return text, nil
}

// MarshalYAML writes the bare id where nothing differs.
func (s SymptomRef) MarshalYAML() (any, error) {
	if s.Frequency == "" {
		return s.ID, nil
	}
	return mapping(2, yaml.FlowStyle, func(i int) (string, any) {
		return [...]string{"id", "frequency"}[i], [...]string{s.ID, string(s.Frequency)}[i]
	})
}

// MarshalYAML writes the bare id where no chance is given.
func (c Cure) MarshalYAML() (any, error) {
	if c.Cures == 0 {
		return c.ID, nil
	}
	return mapping(2, yaml.FlowStyle, func(i int) (string, any) {
		return [...]string{"id", "cures"}[i], [...]any{c.ID, c.Cures}[i]
	})
}

func mapping(n int, style yaml.Style, pair func(i int) (string, any)) (*yaml.Node, error) {
	node := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Style: style}
	for i := range n {
		name, value := pair(i)
		k, v := &yaml.Node{}, &yaml.Node{}
		if err := k.Encode(name); err != nil { // quotes names such as "yes"
			return nil, err
		}
		if err := v.Encode(value); err != nil {
			return nil, err
		}
		node.Content = append(node.Content, k, v)
	}
	return node, nil
}

// Copy gives an entry of its own with the same content.
func Copy(e Entry) (Entry, error) {
	data, err := Write(e)
	if err != nil {
		return nil, err
	}
	out, _, findings := Parse(data, e.head().ID)
	if out == nil || CountErrors(findings) > 0 {
		return nil, fmt.Errorf("copy %s %s: %s", e.head().Kind, e.head().ID, findings[0].Text)
	}
	return out, nil
}
