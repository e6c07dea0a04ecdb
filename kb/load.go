package kb

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"reflect"
	"regexp"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// maxFile is the largest entry that is read, in bytes; authored entries have
// 1 to 4 kB, verification lists up to 10.
const maxFile = 256 << 10

// Load reads every .yaml file below fsys, one entry each; hidden ones are passed
// over. The book holds what could be used; the findings say what could not, at
// its place. name stands before each path in the findings ("" for none).
//
// Load looks at each file on its own; Check looks at the book as a whole.
func Load(fsys fs.FS, name string) (*Book, []Finding) {
	l := loader{book: newBook()}
	err := fs.WalkDir(fsys, ".", func(p string, d fs.DirEntry, err error) error {
		shown := path.Join(name, p)
		if err != nil {
			l.add(shown, 1, 1, "unreadable", fmt.Sprintf("cannot be read: %v", err))
			return nil
		}
		if d.IsDir() {
			if p != "." && strings.HasPrefix(d.Name(), ".") {
				return fs.SkipDir
			}
			return nil
		}
		if strings.HasPrefix(d.Name(), ".") { // what some systems leave beside a file
			return nil
		}
		if path.Ext(p) == ".yaml" || path.Ext(p) == ".yml" {
			l.file(fsys, p, shown)
		}
		return nil
	})
	if err != nil {
		l.add(name, 1, 1, "unreadable", fmt.Sprintf("cannot be read: %v", err))
	}
	l.book.sortIDs()
	SortFindings(l.findings)
	return l.book, l.findings
}

type loader struct {
	book     *Book
	findings []Finding
}

func (l *loader) add(file string, line, column int, code, text string) {
	l.findings = append(l.findings, Finding{File: file, Line: line, Column: column, Level: LevelError, Code: code, Text: text})
}

func (l *loader) file(fsys fs.FS, p, shown string) {
	data, err := ReadFile(fsys, p)
	if err != nil {
		l.add(shown, 1, 1, "unreadable", err.Error())
		return
	}
	entry, node, findings := Parse(data, shown)
	l.findings = append(l.findings, findings...)
	if entry == nil || CountErrors(findings) > 0 {
		return
	}
	h := entry.head()
	if base := strings.TrimSuffix(strings.TrimSuffix(path.Base(p), ".yaml"), ".yml"); base != h.ID {
		line, column := origin{node: node}.at("id")
		l.add(shown, line, column, "file-name", fmt.Sprintf("the id is %q, so the file must be named %s.yaml", h.ID, h.ID))
	}
	if other, ok := l.book.origins[key{h.Kind, h.ID}]; ok {
		line, column := origin{node: node}.at("id")
		l.add(shown, line, column, "id-twice", fmt.Sprintf("%s %q stands in %s already: give one of them another id", h.Kind, h.ID, other.file))
		return
	}
	l.book.put(entry, origin{file: shown, node: node})
}

// ReadFile reads a file of a folder of entries or sheets: a plain one, or one
// that a link leads to, of at most 256 kB. Anything else is an error; a pipe
// without a writer would keep the program waiting for ever.
func ReadFile(fsys fs.FS, p string) ([]byte, error) {
	if info, err := fs.Stat(fsys, p); err == nil && !info.Mode().IsRegular() {
		return nil, errors.New("not a plain file: move it out of the folder")
	}
	f, err := fsys.Open(p)
	if err != nil {
		return nil, fmt.Errorf("cannot be opened: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	if err != nil {
		return nil, fmt.Errorf("cannot be read: %w", err)
	}
	if len(data) > maxFile {
		return nil, fmt.Errorf("larger than %d kB: shorten it", maxFile>>10)
	}
	return data, nil
}

// Parse reads one entry from YAML and reports everything in it that is wrong
// by itself. The entry is nil where nothing could be made of it.
func Parse(data []byte, file string) (Entry, *yaml.Node, []Finding) {
	var findings []Finding
	report := func(n *yaml.Node, code, text string) {
		findings = append(findings, Finding{File: file, Line: n.Line, Column: n.Column, Level: LevelError, Code: code, Text: text})
	}
	start := &yaml.Node{Line: 1, Column: 1}
	node, err := document(data)
	if err != nil {
		if tab := indentTab.FindIndex(data); tab != nil { // the parser names the line before
			start.Line = 1 + bytes.Count(data[:tab[1]-1], []byte("\n"))
			report(start, "bad-yaml", "not YAML as it stands: the line is indented with a tab: use spaces")
			return nil, nil, findings
		}
		start.Line = lineOf(err)
		report(start, "bad-yaml", "not YAML as it stands: "+plainError(err))
		return nil, nil, findings
	}
	if node == nil || node.Kind != yaml.MappingNode {
		report(start, "empty-file", "holds no entry: it must begin with `kind:`, `id:` and `title:`")
		return nil, nil, findings
	}
	entry := blankFor(node, report)
	if entry == nil {
		return nil, node, findings
	}
	decode(node, reflect.ValueOf(entry).Elem(), report)
	if id := entry.head().ID; !validID.MatchString(id) {
		line, column := origin{node: node}.at("id")
		report(&yaml.Node{Line: line, Column: column}, "bad-id", fmt.Sprintf("%q is no id: letters, digits and single hyphens, at most 60", id))
	}
	return entry, node, findings
}

// validID keeps ids fit for file names on every system.
var validID = regexp.MustCompile(`^[A-Za-z0-9]+(-[A-Za-z0-9]+){0,11}$`)

// indentTab finds a tab in the indentation of a line.
var indentTab = regexp.MustCompile(`(?m)^ *\t`)

// document parses the one document of a file.
func document(data []byte) (node *yaml.Node, err error) {
	defer func() {
		if p := recover(); p != nil { // the parser panics on a few broken inputs
			err = fmt.Errorf("%v", p)
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			return nil, nil
		}
		return nil, err
	}
	var more yaml.Node
	if err := dec.Decode(&more); !errors.Is(err, io.EOF) {
		if err == nil {
			return nil, fmt.Errorf("line %d: a second document begins here: one entry a file", more.Line)
		}
		return nil, err
	}
	if len(doc.Content) == 0 {
		return nil, nil
	}
	return doc.Content[0], nil
}

func blankFor(node *yaml.Node, report reporter) Entry {
	f := find(node, "kind")
	if f == nil {
		report(node, "no-kind", fmt.Sprintf("no `kind:`; write one of %s", kindList()))
		return nil
	}
	e := blank(Kind(f.value.Value))
	if e == nil {
		report(f.value, "no-kind", fmt.Sprintf("no kind %q%s; known: %s", f.value.Value, nearest(f.value.Value, kindNames()), kindList()))
	}
	return e
}

func kindNames() []string {
	var names []string
	for _, k := range Kinds() {
		names = append(names, string(k))
	}
	return names
}

func kindList() string { return strings.Join(kindNames(), ", ") }

var errorLine = regexp.MustCompile(`line (\d+)`)

// lineOf takes the line out of a parser's error; 1 where it names none.
func lineOf(err error) int {
	if m := errorLine.FindStringSubmatch(err.Error()); m != nil {
		if n, e := strconv.Atoi(m[1]); e == nil && n > 0 {
			return n
		}
	}
	return 1
}

// plainError drops the parser's prefix, which says nothing to an author.
func plainError(err error) string {
	text := strings.TrimPrefix(err.Error(), "yaml: ")
	return strings.TrimSpace(text)
}

// Empty is a book without entries, to which Add adds.
func Empty() *Book { return newBook() }

// Add reads one entry from YAML into a book that nobody else reads yet; file
// is its place for findings. The first finding is the error.
func (b *Book) Add(r io.Reader, file string) error {
	data, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return fmt.Errorf("%s: cannot be read: %w", file, err)
	}
	e, node, findings := Parse(data, file)
	if len(findings) > 0 {
		return errors.New(findings[0].String())
	}
	b.put(e, origin{file: file, node: node})
	b.sortIDs()
	return nil
}
