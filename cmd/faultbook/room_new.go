package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/room"

	"github.com/spf13/cobra"
)

func newRoomNewCommand(s streams) *cobra.Command {
	var by, day string
	cmd := &cobra.Command{
		Use:   "new ID",
		Short: "Make a sheet by asking what stands in the room",
		Long: `New asks its way through the room: screens, the box that switches them, what people
plug in, the room's computer, camera, sound, control and network, with the
figures that the sums need. An empty answer is "not known" and stays unknown.
The sheet is written at the end; everything can be changed in it by hand.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return runRoomNew(s, args[0], by, day) },
	}
	cmd.Flags().StringVar(&by, "by", "", "your `initials`")
	cmd.Flags().StringVar(&day, "day", "", "day of the survey, as 2026-04-02; today if empty")
	return cmd
}

func runRoomNew(s streams, id, by, day string) error {
	if !kb.ValidID(id) {
		return wrongUse("%q is no id: letters, digits and single hyphens, at most 60", id)
	}
	if day == "" {
		day = time.Now().Format(time.DateOnly)
	}
	var d room.Day
	if err := d.UnmarshalText([]byte(day)); err != nil {
		return wrongUse("--day: %w", err)
	}
	dir, err := roomFolder()
	if err != nil {
		return err
	}
	path := filepath.Join(dir, id+".yaml")
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		return wrongUse("%s is there already: change it by hand, or take another id", path)
	}
	data, err := interview(asker(s), room.Draft{ID: id, By: by, Surveyed: d})
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("make the folder of rooms: %w", err)
	}
	if err := cases.WriteFile(path, data, true); err != nil {
		return fmt.Errorf("keep the sheet: %w", err)
	}
	fmt.Fprintf(s.Out, "Written to %s.\n`faultbook room check %s` says what it can do and what is missing; `faultbook room import %s FILE` takes readings.\n", path, id, id)
	return nil
}

// asker gives a line for a question: from the terminal, or from lines on
// standard input.
func asker(s streams) func(question string) (string, error) {
	if _, isTerminal := terminalOf(s.In); isTerminal {
		keys := newKeyboard(s)
		return func(q string) (string, error) {
			line, err := keys.Line("  " + q + " ")
			return strings.TrimSpace(line), err
		}
	}
	lines := bufio.NewScanner(io.LimitReader(s.In, 1<<20))
	return func(q string) (string, error) {
		fmt.Fprintf(s.Out, "  %s\n", q)
		if !lines.Scan() {
			return "", lines.Err() // what nobody answers is unknown
		}
		return strings.TrimSpace(lines.Text()), nil
	}
}

// interview asks each question of the draft until its answer can be used.
func interview(ask func(string) (string, error), d room.Draft) ([]byte, error) {
	for {
		q := d.Next()
		if q == nil {
			break
		}
		text := q.Text
		for tries := 0; ; tries++ {
			line, err := ask(text)
			if err != nil {
				return nil, err
			}
			if err = q.Take(line); err == nil {
				break
			}
			if tries == mostTries {
				return nil, wrongUse("%s: %w", q.Text, err)
			}
			text = fmt.Sprintf("%v. %s", err, q.Text)
		}
	}
	data, err := d.YAML()
	if err != nil {
		return nil, err
	}
	if _, findings := room.Parse(data, d.ID+".yaml", nil); kb.CountErrors(findings) > 0 {
		return nil, fmt.Errorf("the answers make no sheet: %v", findings[0])
	}
	return data, nil
}

// mostTries is how often a question is put again.
const mostTries = 5
