package main

import (
	"fmt"
	"strings"

	"faultbook/kb"

	"github.com/spf13/cobra"
)

func newListCommand(s streams) *cobra.Command {
	var kind string
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "list [--kind K]",
		Short:   "List the entries of the book",
		Long:    "List prints every entry, or those of one kind, in order of kind and id.",
		Example: "  faultbook list --kind symptom",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return runList(s, kind, asJSON) },
	}
	cmd.Flags().StringVar(&kind, "kind", "", "only this `kind`: "+kindWords())
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON array")
	return cmd
}

func kindWords() string {
	var list []string
	for _, k := range kb.Kinds() {
		list = append(list, string(k))
	}
	return strings.Join(list, ", ")
}

func runList(s streams, kind string, asJSON bool) error {
	book, err := openBook(s)
	if err != nil {
		return err
	}
	list := []kb.Summary{}
	known := kind == ""
	for _, k := range kb.Kinds() {
		if kind != "" && string(k) != kind {
			continue
		}
		known = true
		for _, id := range book.IDs(k) {
			for _, e := range book.Find(id) {
				if kb.HeadOf(e).Kind == k {
					list = append(list, kb.Summarise(book, e))
				}
			}
		}
	}
	if !known {
		return wrongUse("there is no kind %q; known: %s", kind, kindWords())
	}
	if asJSON {
		return printJSON(s.Out, list)
	}
	for _, e := range list {
		fmt.Fprintf(s.Out, "%-9s %-28s %s\n", e.Kind, e.ID, e.Title)
	}
	return nil
}
