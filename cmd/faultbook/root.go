package main

import (
	"github.com/spf13/cobra"
)

// newRootCommand builds the command tree. entered is set once a command's own
// work begins, so that an error before it counts as wrong use.
func newRootCommand(s streams, entered *bool) *cobra.Command {
	root := &cobra.Command{
		Use:           "faultbook",
		Short:         "Find out what is wrong with a meeting room",
		SilenceErrors: true,
		SilenceUsage:  true,
		Version:       builtVersion().words(),
	}
	root.SetIn(s.In)
	root.SetOut(s.Out)
	root.SetErr(s.Err)
	root.AddCommand(
		newCallCommand(s),
		newServeCommand(s),
		newFindCommand(s),
		newCasesCommand(s),
		newLearnCommand(s),
		newReadCommand(s),
		newPlanCommand(s),
		newTreeCommand(s),
		newCalcCommand(s),
		newAddCommand(s),
		newEditCommand(s),
		newReviewCommand(s),
		newExportCommand(s),
		newImportCommand(s),
		newSyncCommand(s),
		newConflictsCommand(s),
		newRehearseCommand(s),
		newRoomCommand(s),
		newDemoCommand(s),
		newShowCommand(s),
		newListCommand(s),
		newCheckCommand(s),
		newVersionCommand(s),
		newManualCommand(),
	)
	root.AddCommand(newTopicCommands()...)
	markEntered(root, entered)
	return root
}

// markEntered wraps every command so that entered tells whether its work
// began, and gives groups an error for words that are no subcommand.
func markEntered(cmd *cobra.Command, entered *bool) {
	for _, sub := range cmd.Commands() {
		markEntered(sub, entered)
	}
	if inner := cmd.RunE; inner != nil {
		cmd.RunE = func(c *cobra.Command, args []string) error {
			*entered = true
			return inner(c, args)
		}
	}
}
