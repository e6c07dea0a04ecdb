package main

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"github.com/spf13/cobra"
)

// The help topics are what README.md and DEVELOPERS.md say, for somebody
// without a browser. The first line of each file is "name: what it is about".
//
//go:embed topics/*.txt
var topicFiles embed.FS

// newTopicCommands are the topics as commands that only have help:
// `faultbook help sharing`.
func newTopicCommands() []*cobra.Command {
	names, err := fs.Glob(topicFiles, "topics/*.txt")
	if err != nil {
		panic(fmt.Errorf("help topics: %w", err)) // the pattern is ours
	}
	var list []*cobra.Command
	for _, name := range names {
		text, err := topicFiles.ReadFile(name)
		if err != nil {
			panic(fmt.Errorf("help topic %s: %w", name, err)) // it is in the program
		}
		short, long, _ := strings.Cut(string(text), "\n")
		list = append(list, &cobra.Command{
			Use:   strings.TrimSuffix(path.Base(name), ".txt"),
			Short: short,
			Long:  strings.Trim(long, "\n"),
		})
	}
	return list
}
