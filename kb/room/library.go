package room

import (
	"bufio"
	"bytes"
	"io/fs"
	"slices"
	"sort"
	"strings"
	"sync"

	"faultbook/kb"
)

// Library finds single sheets of a folder without reading the others whole: a
// house can have a thousand rooms, and a call needs one.
type Library struct {
	files fs.FS
	dir   string                  // as it is shown
	bad   func(list []kb.Finding) // told what is wrong with a sheet that is wanted
	mutex sync.Mutex              // over told
	told  map[kb.Finding]bool
}

// NewLibrary is a library over a folder; bad is told what cannot be used.
func NewLibrary(files fs.FS, dir string, bad func([]kb.Finding)) *Library {
	return &Library{files: files, dir: dir, bad: bad, told: map[kb.Finding]bool{}}
}

// label is what a room is called, as it stands at the top of its sheet: a
// Sheet with nothing but its names.
type label struct {
	file string
	*Sheet
}

// labels reads the names of all rooms, in the order of their files.
func (l *Library) labels() []label {
	files, err := fs.Glob(l.files, "*.yaml")
	if err != nil {
		return nil
	}
	sort.Strings(files)
	var list []label
	for _, f := range files {
		data, err := kb.ReadFile(l.files, f)
		if err != nil {
			l.tell([]kb.Finding{unreadable(l.dir+"/"+f, err)})
			continue
		}
		x := label{f, &Sheet{}}
		x.ID = strings.TrimSuffix(f, ".yaml")
		namesIn(data, x.Sheet)
		list = append(list, x)
	}
	return list
}

// tell passes findings on that were not told before: a call looks for its room
// more than once.
func (l *Library) tell(list []kb.Finding) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	list = slices.DeleteFunc(slices.Clone(list), func(f kb.Finding) bool {
		told := l.told[f]
		l.told[f] = true
		return told
	})
	if len(list) > 0 && l.bad != nil {
		l.bad(list)
	}
}

// namesIn takes title, words, site and type out of a sheet by its lines alone: they
// are keys at the left edge. What it misses is only a name that is not heard.
func namesIn(data []byte, s *Sheet) {
	lines := bufio.NewScanner(bytes.NewReader(data))
	lines.Buffer(nil, 1<<20)
	inWords := false
	for lines.Scan() {
		line := lines.Text()
		switch key, rest, _ := strings.Cut(line, ":"); {
		case key == "title":
			s.Title, inWords = bare(rest), false
		case key == "site":
			s.Site, inWords = bare(rest), false
		case key == "type":
			s.Type, inWords = bare(rest), false
		case key == "words":
			rest = strings.TrimSpace(rest)
			inWords = rest == ""
			for _, w := range strings.Split(strings.Trim(rest, "[]"), ",") {
				if w = bare(w); w != "" {
					s.Words = append(s.Words, w)
				}
			}
		case inWords && strings.HasPrefix(strings.TrimSpace(line), "- "):
			s.Words = append(s.Words, bare(strings.TrimPrefix(strings.TrimSpace(line), "- ")))
		case key == "places" || key == "devices":
			return
		default:
			inWords = inWords && strings.TrimSpace(line) == ""
		}
	}
}

// bare is a plain or quoted text without its quotes.
func bare(text string) string {
	text, _, _ = strings.Cut(text, " #")
	return strings.Trim(strings.TrimSpace(text), `"'`)
}

// Heard is the sheet of the room that the words name, nil where none is named
// or two are equally well.
func (l *Library) Heard(words string) *Sheet {
	var names []*Sheet
	files := map[*Sheet]string{}
	for _, x := range l.labels() {
		names = append(names, x.Sheet)
		files[x.Sheet] = x.file
	}
	if found := Heard(names, words); found != nil {
		return l.open(files[found])
	}
	return nil
}

// Find is the sheet with that id, title or word; where there is none, near is
// the id that was probably meant, as " (did you mean X?)".
func (l *Library) Find(name string) (s *Sheet, near string) {
	var ids []string
	list := l.labels()
	for _, x := range list {
		if x.ID == name {
			return l.open(x.file), ""
		}
		ids = append(ids, x.ID)
	}
	for _, x := range list {
		if slices.ContainsFunc(x.names(), func(n string) bool { return plain(n) == plain(name) }) {
			return l.open(x.file), ""
		}
	}
	return nil, kb.Nearest(name, ids)
}

// Labels are the sheets of all rooms with nothing but id, title, words, site and
// type.
func (l *Library) Labels() []*Sheet {
	var list []*Sheet
	for _, x := range l.labels() {
		list = append(list, x.Sheet)
	}
	return list
}

// open reads one sheet whole, nil where it cannot be used.
func (l *Library) open(file string) *Sheet {
	data, err := kb.ReadFile(l.files, file)
	if err != nil {
		l.tell([]kb.Finding{unreadable(l.dir+"/"+file, err)})
		return nil
	}
	s, findings := Parse(data, l.dir+"/"+file, l.files)
	l.tell(findings)
	if s == nil || kb.CountErrors(findings) > 0 {
		return nil
	}
	return s
}
