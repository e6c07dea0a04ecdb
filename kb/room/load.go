package room

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"reflect"
	"sort"
	"strings"

	"faultbook/kb"

	"gopkg.in/yaml.v3"
)

// Load reads every sheet of a folder; the findings say what could not be used.
// Sheets with errors are left out. name stands before each file in findings.
func Load(fsys fs.FS, name string) ([]*Sheet, []kb.Finding) {
	files, err := fs.Glob(fsys, "*.yaml")
	if err != nil {
		return nil, []kb.Finding{{File: name, Line: 1, Column: 1, Level: kb.LevelError, Code: "unreadable", Text: err.Error()}}
	}
	sort.Strings(files)
	var sheets []*Sheet
	var findings []kb.Finding
	for _, f := range files {
		shown := path.Join(name, f)
		data, err := kb.ReadFile(fsys, f)
		if err != nil {
			findings = append(findings, unreadable(shown, err))
			continue
		}
		s, list := Parse(data, shown, fsys)
		findings = append(findings, list...)
		if s == nil || kb.CountErrors(list) > 0 {
			continue
		}
		if base := strings.TrimSuffix(f, ".yaml"); base != s.ID {
			findings = append(findings, s.finding("id", "", "file-name", fmt.Sprintf("the id is %q, so the file must be named %s.yaml", s.ID, s.ID)))
			continue
		}
		sheets = append(sheets, s)
	}
	return sheets, findings
}

// unreadable is the finding of a file that cannot be read at all.
func unreadable(file string, err error) kb.Finding {
	return kb.Finding{File: file, Line: 1, Column: 1, Level: kb.LevelError, Code: "unreadable", Text: err.Error()}
}

// ErrNoSheet says that there is no sheet of that name.
var ErrNoSheet = errors.New("there is no sheet of that room")

// Parse reads one sheet. files holds the EDID files that it names, nil where
// they cannot be had. The sheet is nil where nothing could be made of it; with
// findings of level error it must not be used for sums.
func Parse(data []byte, file string, files fs.FS) (*Sheet, []kb.Finding) {
	s := &Sheet{file: file}
	node, findings := kb.Strict(data, file, s)
	if node == nil {
		return nil, findings
	}
	s.node = node
	v := validator{s: s, files: files, findings: findings}
	v.head()
	v.places()
	v.devices()
	v.index()
	v.cables()
	v.presets()
	v.plan()
	kb.SortFindings(v.findings)
	return s, v.findings
}

// Schema gives the JSON Schema of a sheet; comments gives the text of fields.
func Schema(comments map[string]string) ([]byte, error) {
	return kb.SchemaOf("room", reflect.TypeFor[Sheet](), comments)
}

// at is the line and column of an item of a list of the sheet, or of a key of
// it; of the sheet itself where it is not found.
func (s *Sheet) at(section, id string, keys ...string) (line, column int) {
	node := s.node
	if node == nil {
		return 1, 1
	}
	line, column = 1, 1
	step := func(name string) bool {
		next, place := child(node, name)
		if next == nil {
			return false
		}
		node, line, column = next, place.Line, place.Column
		return true
	}
	if !step(section) || id != "" && !step(id) {
		return line, column
	}
	for _, k := range keys {
		if !step(k) {
			break
		}
	}
	return line, column
}

// child takes a key of a mapping, or the item of a list with that id or text.
func child(node *yaml.Node, name string) (value, place *yaml.Node) {
	switch node.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(node.Content); i += 2 {
			if node.Content[i].Value == name {
				return node.Content[i+1], node.Content[i]
			}
		}
	case yaml.SequenceNode:
		for _, item := range node.Content {
			if item.Kind == yaml.ScalarNode && item.Value == name {
				return item, item
			}
			if item.Kind == yaml.MappingNode {
				if v, _ := child(item, "id"); v != nil && v.Value == name {
					return item, item
				}
			}
		}
	}
	return nil, nil
}

func (s *Sheet) finding(section, id, code, text string, keys ...string) kb.Finding {
	line, column := s.at(section, id, keys...)
	return kb.Finding{File: s.file, Line: line, Column: column, Level: kb.LevelError, Code: code, Text: text}
}

// Path is the file that the sheet was read from.
func (s *Sheet) Path() string { return s.file }
