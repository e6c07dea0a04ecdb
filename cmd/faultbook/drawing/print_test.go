package drawing

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"faultbook/kb"
)

// TestPrinted prints cards with a browser and counts the pages, in the
// browser's own face and in a wide one.
func TestPrinted(t *testing.T) {
	browser, err := exec.LookPath("chromium")
	if err != nil {
		t.Fatal("chromium is not installed: apt-get install chromium")
	}
	b, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	for _, set := range []Setting{
		{Symptom: "F-01", Who: kb.WhoCaller, Cover: 0.8, OnePage: true},
		{Symptom: "F-12", Who: kb.WhoTechnician, Cover: 0.8, OnePage: true},
		{Symptom: "F-18", Who: kb.WhoCaller, Cover: 0.8, OnePage: true},
	} {
		card := drawn(t, build(t, b, set), formats()[4])
		for _, face := range []string{"sans-serif", "'DejaVu Sans', sans-serif"} {
			page := strings.Replace(card, "1.45 sans-serif;", "1.45 "+face+";", 1)
			if n := printedPages(t, browser, page); n != 1 {
				t.Errorf("%s for a %s in %s: %d pages", set.Symptom, set.Who, face, n)
			}
		}
	}
	// The measure itself: a card that is allowed to be long takes more pages.
	long := build(t, b, Setting{Symptom: "F-12", Who: kb.WhoCaller, Cover: 0.7})
	if n := printedPages(t, browser, drawn(t, long, formats()[4])); n < 2 {
		t.Errorf("a card of %d steps takes %d page", long.Steps, n)
	}
}

// pageObject is a page in a PDF file as the browser writes it.
var pageObject = regexp.MustCompile(`/Type\s*/Page\b`)

func printedPages(t *testing.T, browser, page string) int {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "card.html"), filepath.Join(dir, "card.pdf")
	if err := os.WriteFile(in, []byte(page), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
		"--disable-background-networking", "--disable-component-update", "--disable-sync", "--user-data-dir="+filepath.Join(dir, "profile"),
		"--no-pdf-header-footer", "--print-to-pdf="+out, "file://"+in)
	if text, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("print: %v\n%s", err, text)
	}
	pdf, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return len(pageObject.FindAll(pdf, -1))
}
