package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// example is a command line that a text shows.
type example struct {
	from string
	args []string
}

// TestExamples takes every command line that README.md, DEVELOPERS.md, a help
// topic or a command's own help shows: the command and its flags must be
// there, and a line without a placeholder is run and must succeed.
func TestExamples(t *testing.T) {
	var list []example
	for _, pattern := range []string{"../../README.md", "../../DEVELOPERS.md", "topics/*.txt"} {
		paths, err := filepath.Glob(pattern)
		if err != nil || len(paths) == 0 {
			t.Fatalf("%s: %v, %v", pattern, paths, err)
		}
		for _, path := range paths {
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			list = append(list, examplesIn(filepath.Base(path), string(text))...)
		}
	}
	var entered bool
	walkCommands(newRootCommand(streams{}, &entered), func(c *cobra.Command) {
		list = append(list, examplesIn("help of "+c.CommandPath(), c.Example+"\n"+c.Long)...)
	})
	if len(list) < 60 {
		t.Fatalf("only %d examples were found", len(list))
	}
	ferries := filepath.Join(t.TempDir(), "ferries") // the demo that the README works on
	if code := run([]string{"demo", ferries}, streams{In: strings.NewReader(""), Out: io.Discard, Err: os.Stderr}); code != exitDone {
		t.Fatalf("demo: status %d", code)
	}
	t.Setenv("FAULTBOOK_HOME", ferries)
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	t.Chdir("../..") // examples name files from the top
	ran := 0
	for _, e := range list {
		if !known(t, e) || !concrete(e.args) {
			continue
		}
		ran++
		if e.args[0] == "call" && !strings.Contains(strings.Join(e.args, " "), "--script") {
			e.args = append([]string{"call", "--json"}, e.args[1:]...) // there is no terminal
		}
		var out, errs bytes.Buffer
		if code := run(e.args, streams{In: strings.NewReader(""), Out: &out, Err: &errs}); code != exitDone && !(code == exitFailed && strings.HasPrefix(strings.Join(e.args, " "), "room check")) {
			t.Errorf("%s: faultbook %s: status %d: %s", e.from, strings.Join(e.args, " "), code, errs.String())
		}
	}
	t.Logf("%d examples, %d of them run", len(list), ran)
}

func walkCommands(c *cobra.Command, visit func(*cobra.Command)) {
	visit(c)
	for _, sub := range c.Commands() {
		walkCommands(sub, visit)
	}
}

var (
	inBlock = regexp.MustCompile(`(?m)^ {2,8}(?:\$ )?(?:go run \./cmd/)?faultbook ([^\n]*)$`)
	inText  = regexp.MustCompile("`(?:go run \\./cmd/)?faultbook ([^`]*)`")
	aside   = regexp.MustCompile(`\s{2,}[^\s-]| #| [|>]`)
	// word is one word of a command line, in quotes or not.
	word = regexp.MustCompile(`"[^"]*"|'[^']*'|[^\s"']+`)
)

// examplesIn finds the command lines of a text: lines that begin with the
// program's name, and code within a sentence.
func examplesIn(from, text string) []example {
	var list []example
	text = indentFences(text)
	for _, at := range []*regexp.Regexp{inBlock, inText} {
		for _, m := range at.FindAllStringSubmatch(text, -1) {
			line := m[1]
			if i := aside.FindStringIndex(line); i != nil {
				line = line[:i[0]] // what follows is a remark, or another program
			}
			var args []string
			for _, w := range word.FindAllString(line, -1) {
				args = append(args, strings.Trim(w, `"'`))
			}
			if len(args) > 0 {
				list = append(list, example{from, args})
			}
		}
	}
	return list
}

// indentFences indents what stands between fences, as help texts do, and joins
// lines that go on.
func indentFences(text string) string {
	lines := strings.Split(strings.ReplaceAll(text, "\\\n", " "), "\n")
	fenced := false
	for i, line := range lines {
		if strings.HasPrefix(line, "```") {
			fenced = !fenced
		} else if fenced {
			lines[i] = "  " + line
		}
	}
	return strings.Join(lines, "\n")
}

// known reports whether the command of an example is there, and complains
// where it or one of its flags is not.
func known(t *testing.T, e example) bool {
	var entered bool
	root := newRootCommand(streams{}, &entered)
	root.InitDefaultHelpCmd()
	root.InitDefaultVersionFlag()
	cmd, rest, err := root.Find(e.args)
	if err != nil || cmd == root && !strings.HasPrefix(e.args[0], "-") {
		if regexp.MustCompile(`^[a-z]+$`).MatchString(e.args[0]) && !strings.HasPrefix(e.from, "help of") {
			t.Errorf("%s: faultbook %s: there is no such command", e.from, strings.Join(e.args, " "))
		}
		return false
	}
	cmd.InitDefaultHelpFlag()
	for _, w := range rest {
		name, _, _ := strings.Cut(strings.Trim(w, "[]…"), "=")
		if long, ok := strings.CutPrefix(name, "--"); ok && long != "" && cmd.Flags().Lookup(long) == nil && cmd.InheritedFlags().Lookup(long) == nil {
			t.Errorf("%s: faultbook %s: there is no flag %s", e.from, strings.Join(e.args, " "), name)
		}
	}
	return true
}

// stands is a word that stands for something of the reader's.
var stands = regexp.MustCompile(`^\[|…|^[A-Z]+$|\.\.\.|^<`)

// concrete reports whether an example can be run as it stands, in a moment,
// without a terminal, a browser, a file or a call that the reader has.
func concrete(args []string) bool {
	switch args[0] {
	case "rehearse", "serve", "completion", "sync", "demo", "conflicts", "edit", "review":
		return false
	}
	line := strings.Join(args, " ")
	for _, of := range []string{"--resume", "--case", "cases ", "call.yaml"} {
		if strings.Contains(line+" ", of) {
			return false
		}
	}
	for _, w := range args {
		if stands.MatchString(w) || strings.Contains(w, ".") && !exists(w) {
			return false
		}
	}
	return len(args) > 1 || args[0] == "version"
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
