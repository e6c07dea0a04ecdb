package index

import (
	"testing"
)

// TestCodes: every text of the book, and texts that it does not use, come back
// as they were.
func TestCodes(t *testing.T) {
	docs := Entries(builtin())
	c := codesOf(docs)
	read := readCodes(c.file())
	texts := []string{"", " ", "  two  blanks ", "Ünïcode – “quotes”…", "line\nbreaks\n", "AB-12345 at 10.1.2.3, 2160p60.", "\x00\xff", "a"}
	long, short := 0, 0
	for i := range docs {
		for _, f := range docs[i].texts() {
			texts = append(texts, f.text)
		}
	}
	var all []byte
	for _, text := range texts {
		before := len(all)
		all = c.encode(all, text)
		long, short = long+len(text), short+len(all)-before
	}
	for _, want := range texts {
		var got string
		var err error
		if got, all, err = read.decode(all); err != nil || got != want {
			t.Fatalf("%q came back as %q, %v", want, got, err)
		}
	}
	if short*2 > long {
		t.Errorf("%d bytes of text take %d", long, short)
	}
	t.Logf("%d bytes of text take %d", long, short)
}

// TestCodesCut: what is cut short is an error, never a fault.
func TestCodesCut(t *testing.T) {
	c := codesOf(Entries(smallBook(t)))
	whole := c.encode(nil, "the screen stays dark and AB-12345 hums")
	for n := range whole {
		if text, _, err := c.decode(whole[:n]); err == nil {
			t.Errorf("cut at %d gives %q", n, text)
		}
	}
}
