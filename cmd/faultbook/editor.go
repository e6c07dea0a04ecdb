package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
)

// editorCommand is the user's editor: VISUAL, else EDITOR, each with options,
// else one that the system has.
func editorCommand() ([]string, error) {
	for _, name := range []string{"VISUAL", "EDITOR"} {
		if words := strings.Fields(os.Getenv(name)); len(words) > 0 {
			return words, nil
		}
	}
	usual := []string{"editor", "nano", "vi"}
	if runtime.GOOS == "windows" {
		usual = []string{"notepad"}
	}
	for _, name := range usual {
		if path, err := exec.LookPath(name); err == nil {
			return []string{path}, nil
		}
	}
	return nil, wrongUse("no editor: set VISUAL or EDITOR to yours")
}

// between divides the entries in the text that is edited.
const between = "---\n"

const editNote = `# Change what is wrong, save, and close the editor. What is not checked to be
# right is not saved. Delete everything to give up. Lines that begin with # go.
`

// errGivenUp says that the user emptied the text.
var errGivenUp = errors.New("given up, nothing was saved")

// editEntries lets the user change entries in the editor until they pass the
// check and what else is asked of them; at a terminal it says what is wrong and
// opens the editor again.
func editEntries(s streams, book *kb.Book, list []kb.Entry, right func([]kb.Entry) error) ([]kb.Entry, error) {
	text := []byte(editNote)
	for i, e := range list {
		data, err := kb.Write(e)
		if err != nil {
			return nil, err
		}
		if i > 0 {
			text = append(text, between...)
		}
		text = append(text, data...)
	}
	f, err := os.CreateTemp("", "faultbook-*.yaml")
	if err != nil {
		return nil, fmt.Errorf("make a file to edit: %w", err)
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, fmt.Errorf("make a file to edit: %w", err)
	}
	for {
		edited, err := editOnce(s, book, f.Name())
		if err == nil {
			err = right(edited)
		}
		if err == nil || errors.Is(err, errGivenUp) {
			os.Remove(f.Name())
			return edited, err
		}
		if !askAgain(s, err) {
			return nil, failed("%w; nothing was saved, your text is in %s", err, f.Name())
		}
	}
}

// editOnce opens the editor and reads what it leaves.
func editOnce(s streams, book *kb.Book, path string) ([]kb.Entry, error) {
	words, err := editorCommand()
	if err != nil {
		return nil, err
	}
	cmd := exec.Command(words[0], append(words[1:], path)...)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = s.In, s.Out, s.Err
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("editor %s: %w", words[0], err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("read the text back: %w", err)
	}
	list, err := parseEntries(s, data)
	if err != nil {
		return nil, err
	}
	dir, err := home()
	if err != nil {
		return nil, err
	}
	_, _, findings, err := call.CheckEntries(dir, book, list)
	if err == nil && kb.CountErrors(findings) > 0 {
		for _, f := range findings {
			fmt.Fprintln(s.Err, f)
		}
		err = call.ErrFindings
	}
	return list, err
}

// parseEntries reads entries that are divided by lines of three hyphens.
func parseEntries(s streams, data []byte) ([]kb.Entry, error) {
	var list []kb.Entry
	line := 1
	for _, part := range bytes.SplitAfter(append(data, '\n'), []byte("\n"+between)) {
		body := bytes.TrimSuffix(part, []byte(between))
		if len(bytes.TrimSpace(uncommented(body))) > 0 {
			e, _, findings := kb.Parse(body, "your text")
			for _, f := range findings {
				f.Line += line - 1
				fmt.Fprintln(s.Err, f)
			}
			if e == nil || kb.CountErrors(findings) > 0 {
				return nil, call.ErrFindings
			}
			list = append(list, e)
		}
		line += bytes.Count(part, []byte("\n"))
	}
	if len(list) == 0 {
		return nil, errGivenUp
	}
	return list, nil
}

func uncommented(text []byte) []byte {
	var kept []byte
	for _, l := range bytes.SplitAfter(text, []byte("\n")) {
		if !bytes.HasPrefix(bytes.TrimSpace(l), []byte("#")) {
			kept = append(kept, l...)
		}
	}
	return kept
}

// askAgain asks at a terminal whether the text is to be edited once more.
func askAgain(s streams, err error) bool {
	if _, ok := terminalOf(s.In); !ok {
		return false
	}
	fmt.Fprintf(s.Err, "faultbook: %v\n", err)
	answer, err := newKeyboard(s).Line("Edit it again? (y/n) ")
	return err == nil && strings.HasPrefix(strings.ToLower(strings.TrimSpace(answer)), "y")
}

// initialsFrom is the environment variable with the user's initials.
const initialsFrom = "FAULTBOOK_BY"

// initials are those given by a flag, else by the environment; "" for none.
func initials(flag string) string {
	if flag == "" {
		flag = os.Getenv(initialsFrom)
	}
	return kb.Initials(flag)
}
