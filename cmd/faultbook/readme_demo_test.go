package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
)

// TestReadmeDemo runs the guided first session of README.md, command by
// command, in a folder of its own: every line that it shows must be what the
// program prints. With UPDATE=1 the shown lines are written anew.
func TestReadmeDemo(t *testing.T) {
	const path = "../../README.md"
	readme, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	_, rest, ok := strings.Cut(string(readme), "## A first session with demo rooms\n")
	if !ok {
		t.Fatal("README.md has no first session")
	}
	section, _, _ := strings.Cut(rest, "\n## ")
	t.Chdir(t.TempDir())
	t.Setenv("HOME", t.TempDir())
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	t.Setenv("FAULTBOOK_HOME", "")
	t.Setenv("NO_COLOR", "1")
	ran := 0
	out := section
	for _, block := range strings.Split(section, "```")[1:] {
		block, isConsole := strings.CutPrefix(block, "console\n")
		if !isConsole {
			continue
		}
		got := replay(t, block)
		ran++
		if got != block {
			out = strings.Replace(out, block, got, 1)
		}
	}
	switch {
	case ran < 3:
		t.Errorf("the first session has %d blocks", ran)
	case out != section && os.Getenv("UPDATE") != "":
		text := strings.Replace(string(readme), section, out, 1)
		if err := file.Truncate(0); err != nil {
			t.Fatal(err)
		}
		if _, err := file.WriteAt([]byte(text), 0); err != nil {
			t.Fatal(err)
		}
	case out != section:
		t.Errorf("the first session in README.md is out of date; UPDATE=1 writes it anew. Now:\n%s", out)
	}
}

// replay runs the commands of a block and gives the block as it is now.
func replay(t *testing.T, block string) string {
	t.Helper()
	var b strings.Builder
	for line := range strings.Lines(block) {
		command, ok := strings.CutPrefix(line, "$ ")
		if !ok {
			continue
		}
		b.WriteString(line)
		words := strings.Fields(command)
		if words[0] == "export" {
			name, value, _ := strings.Cut(words[1], "=")
			t.Setenv(name, value)
			continue
		}
		var out bytes.Buffer
		run(words[1:], streams{In: strings.NewReader(""), Out: &out, Err: &out})
		for line := range strings.Lines(out.String()) {
			b.WriteString(strings.TrimRight(line, " \n") + "\n")
		}
	}
	return b.String()
}
