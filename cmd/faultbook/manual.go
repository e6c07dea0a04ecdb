package main

import (
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// newManualCommand writes the manual pages of all commands for a package. It
// is hidden: who uses the program has `faultbook help`.
func newManualCommand() *cobra.Command {
	return &cobra.Command{
		Use:    "manual FOLDER",
		Short:  "Write the manual pages of all commands into a folder",
		Hidden: true,
		Args:   cobra.ExactArgs(1),
		RunE:   func(cmd *cobra.Command, args []string) error { return runManual(cmd.Root(), args[0]) },
	}
}

// runManual writes a page a command, section 1. The pages bear the time of the
// revision that the program was built from, so they can be made again equal.
func runManual(root *cobra.Command, folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("make the folder for the manual pages: %w", err)
	}
	v := builtVersion()
	at, err := time.Parse(time.RFC3339, v.Time)
	if err != nil {
		at = time.Unix(0, 0).UTC() // built outside version control
	}
	root.DisableAutoGenTag = true
	head := &doc.GenManHeader{Section: "1", Date: &at, Source: strings.TrimSpace("faultbook " + v.Version), Manual: "faultbook"}
	if err := doc.GenManTree(root, head, folder); err != nil {
		return fmt.Errorf("write manual pages: %w", err)
	}
	return nil
}
