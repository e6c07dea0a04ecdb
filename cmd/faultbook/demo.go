package main

import (
	"fmt"

	"faultbook/cmd/faultbook/demo"
	"faultbook/kb"

	"github.com/spf13/cobra"
)

func newDemoCommand(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "demo FOLDER",
		Short: "Write twelve rooms and a year of calls of an invented ferry operator to look at",
		Long: `Demo writes the sheets of twelve briefing rooms of an invented ferry operator and
the calls that its helpdesk took in a year, made up by dice with a fixed seed.
Set FAULTBOOK_HOME to the folder to work with them; your own data stays apart.`,
		Example: "  faultbook demo ferries\n  FAULTBOOK_HOME=ferries faultbook room check bowline",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			book, err := kb.Builtin()
			if err != nil {
				return err
			}
			done, err := demo.Write(args[0], book)
			if err != nil {
				return wrongUse("%w", err)
			}
			fmt.Fprintf(s.Out, "%d rooms and %d calls written to %s.\nSet FAULTBOOK_HOME to that folder, then look: faultbook room list, room check, call --room bowline, cases list, learn.\n", done.Rooms, done.Cases, args[0])
			return nil
		},
	}
}
