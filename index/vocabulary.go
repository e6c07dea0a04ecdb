package index

import (
	"bytes"
	"fmt"
	"sort"
	"strconv"
	"strings"
	"sync"
)

// vocabulary counts the words of all documents as they are spelt, to mend
// misspellings and to complete beginnings. What the index on disk has lies in a
// file, a line "word count" for each word in order, which is searched as it is;
// what came since is kept beside it.
type vocabulary struct {
	file  []byte
	mutex sync.Mutex // over what follows
	more  map[string]int
	near  *lexicon // made when the first unknown word comes
}

func newVocabulary(file []byte) *vocabulary { return &vocabulary{file: file, more: map[string]int{}} }

// writeWords makes the file of some counts.
func writeWords(counts map[string]int) []byte {
	var b bytes.Buffer
	for _, w := range sortedKeys(counts) {
		fmt.Fprintf(&b, "%s %d\n", w, counts[w])
	}
	return b.Bytes()
}

// add counts words once more, or once less each with sign -1.
func (v *vocabulary) add(counts map[string]int, sign int) {
	v.mutex.Lock()
	defer v.mutex.Unlock()
	for w, n := range counts {
		v.more[w] += sign * n
		if v.near != nil {
			v.near.recount(w, v.total(w))
		}
	}
}

// count is how often a word stands in the documents.
func (v *vocabulary) count(word string) int {
	v.mutex.Lock()
	defer v.mutex.Unlock()
	return v.total(word)
}

func (v *vocabulary) total(word string) int {
	n := v.more[word]
	if line := v.line(v.find(word)); lineWord(line) == word {
		n += lineCount(line)
	}
	return n
}

// find gives where the first word that is not before a text begins in the file.
func (v *vocabulary) find(text string) int {
	low, high := 0, len(v.file) // beginnings of lines; the wanted one is between
	for low < high {
		mid := low + (high-low)/2
		start := bytes.LastIndexByte(v.file[:mid], '\n') + 1
		line := v.line(start)
		if lineWord(line) < text {
			low = start + len(line) + 1
		} else {
			high = start
		}
	}
	return low
}

// line gives the line that begins there, empty at the end.
func (v *vocabulary) line(start int) string {
	if start >= len(v.file) {
		return ""
	}
	end := bytes.IndexByte(v.file[start:], '\n')
	if end < 0 {
		end = len(v.file) - start
	}
	return string(v.file[start : start+end])
}

func lineWord(line string) string {
	if i := strings.LastIndexByte(line, ' '); i >= 0 {
		return line[:i]
	}
	return line
}

func lineCount(line string) int {
	n, err := strconv.Atoi(line[strings.LastIndexByte(line, ' ')+1:])
	if err != nil {
		return 0 // the file is sealed, so this is not met
	}
	return n
}

// beginning lists the words that begin with a text, the most used first, ties
// by the alphabet, no more than most.
func (v *vocabulary) beginning(text string, most int) []string {
	v.mutex.Lock()
	defer v.mutex.Unlock()
	counts := map[string]int{}
	for at := v.find(text); ; {
		line := v.line(at)
		if line == "" || !strings.HasPrefix(line, text) {
			break
		}
		counts[lineWord(line)] += lineCount(line)
		at += len(line) + 1
	}
	for w, n := range v.more {
		if strings.HasPrefix(w, text) {
			counts[w] += n
		}
	}
	list := sortedKeys(counts)
	sort.SliceStable(list, func(i, j int) bool { return counts[list[i]] > counts[list[j]] })
	return list[:min(most, len(list))]
}

// lexicon gives the words sorted for the search of misspellings.
func (v *vocabulary) lexicon() *lexicon {
	if v.near != nil {
		return v.near
	}
	v.near = &lexicon{words: map[string]*word{}}
	for at := 0; at < len(v.file); {
		line := v.line(at)
		v.near.words[lineWord(line)] = &word{count: lineCount(line)}
		at += len(line) + 1
	}
	for w := range v.more {
		v.near.words[w] = &word{count: v.total(w)}
	}
	for w, known := range v.near.words {
		if !mendable(w) || known.count <= 0 {
			delete(v.near.words, w)
		}
	}
	v.near.seal()
	return v.near
}

// mendable reports whether a misspelling may be mended to the word.
func mendable(word string) bool { return len(word) >= 4 && roleOf(word) == naming }

// recount takes in that a word is there so many times now.
func (lx *lexicon) recount(text string, count int) {
	if !mendable(text) {
		return
	}
	s := shape{text[0], len(text)}
	list := lx.shapes[s]
	i := sort.SearchStrings(list, text)
	there := i < len(list) && list[i] == text
	switch {
	case count <= 0 && there:
		lx.shapes[s] = append(list[:i:i], list[i+1:]...)
		delete(lx.words, text)
	case count > 0 && !there:
		lx.shapes[s] = append(list[:i:i], append([]string{text}, list[i:]...)...)
		fallthrough
	case count > 0:
		lx.words[text] = &word{count: count}
	}
}

// nearest is the word that an unknown one was probably meant to be; empty where
// there is none.
func (v *vocabulary) nearest(text string) string {
	v.mutex.Lock()
	defer v.mutex.Unlock()
	return v.lexicon().nearest(text)
}

// alike lists the words that are so many slips away at most and begin alike,
// the nearest first, then the most used, then by the alphabet, no more than
// most.
func (v *vocabulary) alike(text string, slipped, most int) []string {
	v.mutex.Lock()
	defer v.mutex.Unlock()
	lx := v.lexicon()
	var list []string
	away := map[string]int{}
	for size := len(text) - slipped; size <= len(text)+slipped; size++ {
		for _, known := range lx.shapes[shape{text[0], size}] {
			if d := slips(text, known, slipped); d <= slipped {
				list = append(list, known)
				away[known] = d
			}
		}
	}
	sort.Slice(list, func(i, j int) bool {
		a, b := list[i], list[j]
		if away[a] != away[b] {
			return away[a] < away[b]
		}
		if na, nb := lx.words[a].count, lx.words[b].count; na != nb {
			return na > nb
		}
		return a < b
	})
	return list[:min(most, len(list))]
}
