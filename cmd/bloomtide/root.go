package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// newRoot returns the program's command with those below it that the arguments
// may call.
func newRoot(w world, args []string) *cobra.Command {
	root := &cobra.Command{
		Use:   "bloomtide",
		Short: "When forage blooms, how the nectar flows, and what to do at the hive when",
		Long: `bloomtide reads the daily temperatures of your place, tells when each plant
will bloom this year, how long and how strong the nectar flow will be, and which
work at the hive falls due when, each with its odds and its reason.

Start with the invented demo:       bloomtide plan
Then with your own place:           bloomtide init, and fill in what it writes`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          noArguments,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },

		PersistentPreRunE: func(c *cobra.Command, _ []string) error { return outputToScreen(c) },
	}
	root.SetFlagErrorFunc(flagError)
	root.AddCommand(commandsFor(w, args)...)
	root.SetHelpCommand(newHelp())
	root.SuggestionsMinimumDistance = 2 // letters apart at which a command is suggested. Our own choice.
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), ".FlagUsages |", ".FlagUsagesWrapped 75 |"))
	completeValues(root.Commands()...)
	root.CompletionOptions.HiddenDefaultCmd = true
	return root
}

// commandsFor makes the one command that the arguments name, or all where they
// name none, as for help and completion: making all costs a start milliseconds.
func commandsFor(w world, args []string) []*cobra.Command {
	known := []struct {
		name string
		new  func(world) *cobra.Command
	}{
		{"plan", newPlan}, {"bloom", newBloom}, {"compare", newCompare}, {"report", newReport}, {"serve", newServe},
		{"trial", newTrial}, {"fetch", newFetch}, {"ingest", newIngest}, {"stations", newStations}, {"check", newCheck},
		{"flow", newFlow}, {"calibrate", newCalibrate}, {"hindcast", newHindcast}, {"forage", newForage}, {"ripe", newRipe},
		{"syrup", newSyrup}, {"assumptions", newAssumptions}, {"init", newInit},
	}
	for _, m := range known {
		if len(args) > 0 && args[0] == m.name {
			return []*cobra.Command{m.new(w)}
		}
	}
	var all []*cobra.Command
	for _, m := range known {
		all = append(all, m.new(w))
	}
	return append(all, newMan())
}

// noArguments refuses words that no command understands.
func noArguments(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	hint := fmt.Sprintf("run \"%s --help\"", c.CommandPath())
	if near := c.SuggestionsFor(args[0]); len(near) > 0 {
		hint = fmt.Sprintf("did you mean %q? %s", near[0], hint)
	}
	return &usageError{fmt.Errorf("unknown word %q after %s", args[0], c.CommandPath()), hint}
}

// outputToScreen takes an output file named - for the screen (POSIX.1-2017,
// Utility Syntax Guidelines, 13).
func outputToScreen(c *cobra.Command) error {
	if f := c.Flags().Lookup("output"); f != nil && f.Value.String() == "-" {
		return f.Value.Set("")
	}
	return nil
}
