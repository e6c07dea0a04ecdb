package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"faultbook/kb"

	"github.com/spf13/cobra"
)

// version says what was built from what. Everything comes from the build
// itself, so two builds of the same tree say the same.
type version struct {
	Version  string `json:"version"`            // of the module, or "(devel)"
	Revision string `json:"revision,omitempty"` // of the version control
	Time     string `json:"time,omitempty"`     // of that revision
	Modified bool   `json:"modified"`           // built from a tree with changes
	Go       string `json:"go"`
	Platform string `json:"platform"`
	Entries  int    `json:"entries"` // in the built-in book
}

func newVersionCommand(s streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "version",
		Short:   "Say which version this is",
		Example: "  faultbook version --json",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return runVersion(s, asJSON) },
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON object")
	return cmd
}

func runVersion(s streams, asJSON bool) error {
	book, err := kb.Builtin()
	if err != nil {
		return err
	}
	v := builtVersion()
	for _, k := range kb.Kinds() {
		v.Entries += len(book.IDs(k))
	}
	if asJSON {
		return printJSON(s.Out, v)
	}
	fmt.Fprintf(s.Out, "faultbook %s, %s, %s\n", v.words(), v.Platform, v.Go)
	fmt.Fprintf(s.Out, "built-in book: %d entries\n", v.Entries)
	return nil
}

// builtVersion reads what the Go tool recorded in the program.
func builtVersion() version {
	v := version{Version: "(devel)", Go: runtime.Version(), Platform: runtime.GOOS + "/" + runtime.GOARCH}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return v
	}
	if info.Main.Version != "" {
		v.Version = info.Main.Version
	}
	for _, set := range info.Settings {
		switch set.Key {
		case "vcs.revision":
			v.Revision = set.Value
		case "vcs.time":
			v.Time = set.Value
		case "vcs.modified":
			v.Modified = set.Value == "true"
		}
	}
	return v
}

// words is the version on one line: "v1.2.0 (ab12cd34ef56, 2026-11-25)".
func (v version) words() string {
	if v.Revision == "" {
		return v.Version
	}
	text := v.Revision[:min(len(v.Revision), 12)]
	if len(v.Time) >= len("2006-01-02") {
		text += ", " + v.Time[:len("2006-01-02")]
	}
	if v.Modified {
		text += ", with changes"
	}
	return v.Version + " (" + text + ")"
}
