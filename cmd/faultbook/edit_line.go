package main

import (
	"faultbook/kb"

	"gopkg.in/yaml.v3"
)

// withLine gives the entries with one line changed, as learn --rows proposes it:
// the row of a question, or the symptoms of a cause.
func withLine(s streams, book *kb.Book, old []kb.Entry, line string) ([]kb.Entry, error) {
	if len(old) != 1 || kb.HeadOf(old[0]).Kind != kb.KindCause {
		return nil, wrongUse("--line changes a row of one cause; name it by its id")
	}
	var given yaml.Node
	if err := yaml.Unmarshal([]byte(line), &given); err != nil {
		return nil, wrongUse("--line %q: %w", line, err)
	}
	if len(given.Content) != 1 || given.Content[0].Kind != yaml.MappingNode || len(given.Content[0].Content) != 2 {
		return nil, wrongUse("--line %q: write one line of the entry, as `question: {answer: often}`", line)
	}
	key, value := given.Content[0].Content[0], given.Content[0].Content[1]
	if key.Value != "symptoms" && kb.Get[kb.Question](book, key.Value) == nil {
		return nil, wrongUse("--line %q: there is no question %q in the book", line, key.Value)
	}
	text, err := kb.Write(old[0])
	if err != nil {
		return nil, err
	}
	var entry yaml.Node
	if err := yaml.Unmarshal(text, &entry); err != nil {
		return nil, failed("read the entry: %w", err)
	}
	in := entry.Content[0]
	if key.Value != "symptoms" {
		in = child(in, "tells", &yaml.Node{Kind: yaml.MappingNode})
	}
	*child(in, key.Value, value) = *value
	if text, err = yaml.Marshal(&entry); err != nil {
		return nil, failed("write the entry: %w", err)
	}
	list, err := parseEntries(s, text)
	if err != nil {
		return nil, failed("%w", err)
	}
	return list, nil
}

// child is the value of a key of a mapping, which is put in where it is missing.
func child(in *yaml.Node, key string, missing *yaml.Node) *yaml.Node {
	for i := 0; i+1 < len(in.Content); i += 2 {
		if in.Content[i].Value == key {
			return in.Content[i+1]
		}
	}
	in.Content = append(in.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: key}, missing)
	return missing
}
