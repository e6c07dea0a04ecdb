package kb

import "gopkg.in/yaml.v3"

// origin is where an entry came from: its file and, where it was read from
// YAML, the node from which places of values are looked up.
type origin struct {
	file string
	node *yaml.Node // the mapping of the entry, nil for the packed book
	// built is true for an entry as the packed book has it.
	built bool
}

// at gives line and column of the value under the path of keys; the deepest
// part of the path that exists, 1:1 where nothing is known.
func (o origin) at(path ...string) (line, column int) {
	node := o.node
	if node == nil {
		return 1, 1
	}
	line, column = node.Line, node.Column
	for _, step := range path {
		next := find(node, step)
		if next == nil {
			break
		}
		node, line, column = next.value, next.place.Line, next.place.Column
	}
	return line, column
}

// found is the node under a key and the node that names the place.
type found struct{ value, place *yaml.Node }

// find takes one step: a key of a mapping, or in a list the item that is the
// scalar, or the mapping with a value equal to it under any key.
func find(node *yaml.Node, step string) *found {
	switch node.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(node.Content); i += 2 {
			if node.Content[i].Value == step {
				return &found{node.Content[i+1], node.Content[i]}
			}
		}
	case yaml.SequenceNode:
		for _, item := range node.Content {
			if item.Kind == yaml.ScalarNode && item.Value == step {
				return &found{item, item}
			}
			if item.Kind == yaml.MappingNode {
				for i := 1; i < len(item.Content); i += 2 {
					if item.Content[i].Value == step {
						return &found{item, item.Content[i]}
					}
				}
			}
		}
	}
	return nil
}
