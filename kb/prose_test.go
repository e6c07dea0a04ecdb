package kb

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// authored is the book as it stands in the tree.
func authored(t testing.TB) *Book {
	t.Helper()
	book, findings := Load(os.DirFS("book"), "book")
	if len(findings) > 0 {
		t.Fatal(findings[0])
	}
	return book
}

// lines reads a list in testdata without its comments.
func lines(t testing.TB, file string) []string {
	t.Helper()
	f, err := os.Open("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var list []string
	for sc := bufio.NewScanner(f); sc.Scan(); {
		if line := strings.TrimSpace(sc.Text()); line != "" && line[0] != '#' {
			list = append(list, line)
		}
	}
	return list
}

// TestProseOfTheBook holds the ceiling for the prose and safety of the book:
// no finding, not even advice.
func TestProseOfTheBook(t *testing.T) {
	codes := []string{"hard-reading", "long-sentence", "jargon", "no-term", "dangerous-advice", "missing-caution", "few-danger-words"}
	for _, f := range Check(authored(t)) {
		if slices.Contains(codes, f.Code) {
			t.Error(f)
		}
	}
}

// TestKindsReadEasily takes all that callers hear of a kind as one long text,
// for which Flesch's figure is made: 80 and more is "easy".
func TestKindsReadEasily(t *testing.T) {
	book := authored(t)
	for _, kind := range []Kind{KindQuestion, KindRemedy, KindCause, KindSymptom, KindCaution, KindHandover, KindRule} {
		var all []string
		for _, id := range book.IDs(kind) {
			for _, p := range told(book.entries[key{kind, id}]) {
				all = append(all, p.text)
			}
			if c := Get[Cause](book, id); kind == KindCause {
				all = append(all, c.Plain)
			}
		}
		r := read(strings.Join(all, " . "))
		t.Logf("%s: reading ease %.1f, %d words, %.1f a sentence", kind, r.ease(), r.words, float64(r.words)/float64(r.sentences))
		if r.words < 200 || r.ease() < 80 {
			t.Errorf("%s: %d words with reading ease %.1f, wanted 80 or more", kind, r.words, r.ease())
		}
	}
}

// TestEaseWorked works Flesch's formula by hand (1948, from memory).
func TestEaseWorked(t *testing.T) {
	// 13 words, 2 sentences, 14 syllables: pic-ture has two.
	r := read("The cat sat on the mat. Look at the picture, and sit down!")
	want := 206.835 - 1.015*13/2 - 84.6*14/13
	if r.words != 13 || r.sentences != 2 || r.syllables != 14 || math.Abs(r.ease()-want) > 1e-9 {
		t.Errorf("%+v with ease %.3f, want 13 words, 2 sentences, 14 syllables, %.3f", r, r.ease(), want)
	}
	for text, longest := range map[string]int{
		"":                       0,
		"No full stop":           3,
		"At 4.40 V it works.":    5,
		"Yes. The second is it.": 4,
		"What is it: a, b, c?":   6,
		"Wait! Pull no plug...":  3,
		"5.1 or stereo":          3,
	} {
		if got := read(text).longest; got != longest {
			t.Errorf("%q: longest sentence %d, want %d", text, got, longest)
		}
	}
}

// TestReadingBesideStyle compares with GNU style on texts of the book. It must
// count the same words and sentences. Its index may be kinder, since it does
// not count figures and abbreviations as they are said, never sterner by more
// than two points.
func TestReadingBesideStyle(t *testing.T) {
	list := lines(t, "style.txt")
	if len(list) < 10 {
		t.Fatalf("%d passages", len(list))
	}
	for _, line := range list {
		var words, sentences int
		var index float64
		numbers, text, _ := strings.Cut(line, " | ")
		if _, err := fmt.Sscan(numbers, &words, &sentences, &index); err != nil {
			t.Fatal(err)
		}
		r := read(text)
		if r.words != words || r.sentences != sentences {
			t.Errorf("%d words, %d sentences, style has %d and %d: %.40s", r.words, r.sentences, words, sentences, text)
		}
		if r.ease() > index+2 || r.ease() < index-14 {
			t.Errorf("ease %.1f, style has %.1f: %.40s", r.ease(), index, text)
		}
	}
}

// TestSyllables compares with a pronouncing dictionary over the words of the
// book that callers hear.
func TestSyllables(t *testing.T) {
	list := lines(t, "syllables.txt")
	wrong, sum := 0, 0
	for _, line := range list {
		word, counts, _ := strings.Cut(line, " ")
		got := syllables(word)
		if options := strings.Split(counts, ","); !slices.Contains(options, strconv.Itoa(got)) {
			first, _ := strconv.Atoi(options[0])
			wrong, sum = wrong+1, sum+got-first
			t.Logf("%s: %d, the dictionary has %s", word, got, counts)
		}
	}
	if len(list) < 1000 || wrong*100 > 2*len(list) || max(sum, -sum)*200 > len(list) {
		t.Errorf("%d of %d words wrong, by %d syllables on the whole", wrong, len(list), sum)
	}
	for word, want := range map[string]int{"HDMI": 4, "60": 2, "1080": 3, "1080p": 4, "169": 6, "48": 3, "second-screen": 3, "www": 1, "WWW": 9} {
		if got := syllables(word); got != want {
			t.Errorf("%s: %d syllables, want %d", word, got, want)
		}
	}
}

// TestJargon finds each word of the list in a sentence, and leaves alone what
// only looks like one.
func TestJargon(t *testing.T) {
	n := 0
	for _, line := range strings.Split(jargonList, "\n") {
		if line == "" || line[0] == '#' {
			continue
		}
		words, instead, _ := strings.Cut(line, "=")
		if strings.TrimSpace(instead) == "" {
			t.Errorf("no word to say instead in %q", line)
		}
		for _, word := range strings.Split(words, ",") {
			n++
			if len(jargonIn("Please look at the "+strings.TrimSpace(word)+" once more.")) == 0 {
				t.Errorf("%q is not found", word)
			}
		}
	}
	if n < 100 {
		t.Errorf("%d words", n)
	}
	for text, want := range map[string]int{
		"Are two VLANs there?":                     1,
		"Is hot-plug on?":                          1,
		"Make a hot plug cold.":                    1,
		"It is hot. Plug it in.":                   0,
		"The mac is on the table.":                 0,
		"Turn the screw driverless.":               0,
		"It takes IT a minute.":                    0,
		`Look for a name such as "CEC" or "link".`: 1, // unquoted takes it out
	} {
		if got := len(jargonIn(text)); got != want {
			t.Errorf("%q: %d words found, want %d", text, got, want)
		}
	}
	if got := unquoted(`a "CEC" b`); len(jargonIn(got)) != 0 {
		t.Errorf("quoted words are left: %q", got)
	}
}

// abbreviation is a word with two capitals or more, or a capital after a small
// letter.
var abbreviation = regexp.MustCompile(`\b[A-Za-z]*[A-Z][A-Za-z]*[A-Z][A-Za-z]*\b|\b[a-z]+[A-Z][A-Za-z]*\b`)

// TestGlossary holds that every id in lists/terms.txt is an entry, and that no
// abbreviation of a technical text escapes the list.
func TestGlossary(t *testing.T) {
	book := authored(t)
	for _, list := range terms() {
		for _, l := range list {
			if Get[Term](book, l.instead) == nil {
				t.Errorf("lists/terms.txt: there is no term %q", l.instead)
			}
		}
	}
	known := lines(t, "abbreviations.txt")
	for _, kind := range []Kind{KindCause, KindQuestion, KindRemedy} {
		for _, id := range book.IDs(kind) {
			for _, word := range abbreviation.FindAllString(technicalText(book.entries[key{kind, id}]), -1) {
				word = strings.TrimSuffix(word, "s")
				if len(termsIn(word)) == 0 && !slices.Contains(known, word) {
					t.Errorf("%s %s: %q is neither in lists/terms.txt nor in testdata/abbreviations.txt", kind, id, word)
				}
			}
		}
	}
}

// TestSpelling runs the word list of aspell, British spelling, over all that
// is written in the book. What callers say is left out: they may say what they
// like.
func TestSpelling(t *testing.T) {
	book := authored(t)
	var text bytes.Buffer
	for _, k := range Kinds() {
		for _, id := range book.IDs(k) {
			written(&text, reflect.ValueOf(book.entries[key{k, id}]).Elem())
		}
	}
	cmd := exec.Command("aspell", "list", "-l", "en_GB", "--encoding=utf-8")
	cmd.Stdin = &text
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("aspell: %v\n%sinstall it: apt-get install aspell aspell-en", err, out)
	}
	accepted := map[string]bool{}
	for _, line := range lines(t, "spelling.txt") {
		for _, word := range strings.Fields(line) {
			accepted[word] = true
		}
	}
	wrong := map[string]bool{}
	for _, word := range strings.Fields(string(out)) {
		base := strings.TrimSuffix(word, "'s")
		if !accepted[base] && !accepted[strings.ToLower(base)] {
			wrong[word] = true
		}
	}
	for word := range wrong {
		t.Errorf("%q is misspelt, or a word of the trade that testdata/spelling.txt lacks", word)
	}
}

// written collects the sentences of an entry: every string but ids, sources,
// callers' words and what is chosen from a list.
func written(out *bytes.Buffer, v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		out.WriteString(v.String() + "\n")
	case reflect.Pointer:
		if !v.IsNil() {
			written(out, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			written(out, v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			switch v.Type().Field(i).Name {
			case "Title", "Plain", "Why", "Ask", "Look", "Technical", "Say", "Steps", "Check", "Undo", "Defer", "Note",
				"Figure", "Text", "Ticks", "Workarounds", "Head", "Answers", "Stop":
				written(out, v.Field(i))
			}
		}
	}
}
