package kb

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"
)

// TestBroken loads each folder of broken entries in testdata/broken, one txtar
// archive a folder, and compares all findings at once with its file "want",
// which stands last. UPDATE=1 writes what was found.
func TestBroken(t *testing.T) {
	archives, err := filepath.Glob("../testdata/broken/*.txtar")
	if err != nil || len(archives) < 5 {
		t.Fatalf("archives: %v, %v", archives, err)
	}
	for _, path := range archives {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(path)
			if err != nil {
				t.Fatal(err)
			}
			want := ""
			folder := fstest.MapFS{}
			for _, f := range archive.Files {
				if f.Name == "want" {
					want = string(f.Data)
					continue
				}
				folder[f.Name] = &fstest.MapFile{Data: f.Data}
			}
			base, err := Builtin()
			if err != nil {
				t.Fatal(err)
			}
			own, findings := Load(folder, "")
			whole, more := Usable(base, own)
			findings = append(findings, more...)
			SortFindings(findings)
			var got strings.Builder
			for _, f := range findings {
				if f.Level == LevelError {
					got.WriteString(f.String() + "\n")
				}
			}
			if os.Getenv("UPDATE") != "" {
				archive.Files[len(archive.Files)-1].Data = []byte(got.String())
				if err := os.WriteFile(path, txtar.Format(archive), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if diff := cmp.Diff(want, got.String()); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
			if whole.Len() < base.Len() {
				t.Errorf("the built-in book lost entries: %d of %d left", whole.Len(), base.Len())
			}
		})
	}
}

// TestBookIsClean checks the authored book as a whole: not one error, not one
// warning.
func TestBookIsClean(t *testing.T) {
	book, findings := Load(os.DirFS("book"), "book")
	findings = append(findings, Check(book)...)
	for _, f := range findings {
		t.Error(f)
	}
}

// TestBuiltinIsTheBook holds the packed book equal to the YAML that it was
// made from.
func TestBuiltinIsTheBook(t *testing.T) {
	book, _ := Load(os.DirFS("book"), "book")
	built, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	if built.Len() != book.Len() {
		t.Fatalf("packed %d entries, authored %d: run go generate ./kb", built.Len(), book.Len())
	}
	for _, k := range Kinds() {
		for _, id := range book.IDs(k) {
			want, got := book.entries[key{k, id}], built.entries[key{k, id}]
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%s %s: run go generate ./kb (-authored +packed):\n%s", k, id, diff)
			}
			if a, b := book.File(want), built.File(got); a != b {
				t.Errorf("%s %s: file %q, packed as %q", k, id, a, b)
			}
		}
	}
}

// TestFingerprint names the content: an own entry that is added, changed or
// replaces a built-in one gives another name, the same again the same.
func TestFingerprint(t *testing.T) {
	base, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]string{base.Fingerprint(): "the built-in book"}
	for _, text := range []string{
		"kind: part\nid: own-hub\ntitle: A hub\n",
		"kind: part\nid: own-hub\ntitle: Another hub\n",
		"kind: symptom\nid: F-01\ntitle: Replaced\n",
	} {
		own := Empty()
		if err := own.Add(strings.NewReader(text), "x.yaml"); err != nil {
			t.Fatal(err)
		}
		f := Overlay(base, own).Fingerprint()
		if seen[f] != "" {
			t.Errorf("%q has the fingerprint of %q", text, seen[f])
		}
		seen[f] = text
		if again := Overlay(base, own).Fingerprint(); again != f {
			t.Errorf("%q: %s, then %s", text, f, again)
		}
	}
	if f := Overlay(base, Empty()).Fingerprint(); seen[f] != "the built-in book" {
		t.Error("an empty book laid over changes the fingerprint")
	}
}

// TestWriteParse writes every entry of the book as YAML and reads the same
// entry back.
func TestWriteParse(t *testing.T) {
	book, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, k := range Kinds() {
		for _, id := range book.IDs(k) {
			want := book.entries[key{k, id}]
			data, err := Write(want)
			if err != nil {
				t.Fatal(err)
			}
			got, _, findings := Parse(data, id)
			if len(findings) > 0 {
				t.Errorf("%s %s as written: %v\n%s", k, id, findings, data)
				continue
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%s %s (-want +got):\n%s", k, id, diff)
			}
			n++
		}
	}
	if n < 100 {
		t.Errorf("only %d entries were compared", n)
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte("kind: cause\nid: X-1\ntitle: t\ntells:\n  q: {a: often}\n"))
	f.Add([]byte("kind: words\nid: w\ntitle: t\nsame: [a, b]\n"))
	f.Add([]byte("a: &a [x]\nb: [*a, *a]\n"))
	f.Add([]byte("kind: symptom\nid: \"F-01\"\ntitle: >-\n  x\n---\nmore: y\n"))
	f.Add([]byte("\ufeffkind: part\r\nid: hub\r\ntitle: Hub\r\n"))
	f.Add([]byte("kind: part\nid: hub\ntitle: " + strings.Repeat("[", 20000)))
	f.Add([]byte("kind: part\nid: hub\ntitle: " + strings.Repeat("{a: ", 9000)))
	f.Add([]byte("kind: part\n" + strings.Repeat("? ", 9000)))
	bomb := "a0: &a0 [x, x, x, x, x, x, x, x, x]\n"
	for i := range 30 { // 9 to the 30th, were it unfolded
		bomb += fmt.Sprintf("a%d: &a%d [*a%d, *a%d, *a%d, *a%d, *a%d, *a%d, *a%d, *a%d, *a%d]\n", i+1, i+1, i, i, i, i, i, i, i, i, i)
	}
	f.Add([]byte("kind: words\nid: w\ntitle: t\n" + bomb + "same: *a30\n"))
	f.Add([]byte("kind: part\nid: hub\ntitle: !!binary x\nnote: !!float .inf\n<<: {a: b}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		e, _, findings := Parse(data, "fuzz.yaml")
		for _, x := range findings {
			if x.Line < 1 || x.Column < 1 || x.Text == "" {
				t.Errorf("finding without place or text: %+v", x)
			}
		}
		if e == nil || len(findings) > 0 {
			return
		}
		out, err := Write(e)
		if err != nil {
			t.Fatalf("accepted entry cannot be written: %v", err)
		}
		again, _, findings := Parse(out, "fuzz.yaml")
		if len(findings) > 0 {
			t.Fatalf("written entry is refused: %v\n%s", findings, out)
		}
		if diff := cmp.Diff(e, again); diff != "" {
			t.Fatalf("round trip (-first +second):\n%s", diff)
		}
	})
}
