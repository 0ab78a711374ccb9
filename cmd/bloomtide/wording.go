package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"bloomtide/config"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// flagError words what is wrong with an option: its name, the value, and the
// mend.
func flagError(c *cobra.Command, err error) error {
	hint := fmt.Sprintf("run \"%s --help\" for the options", c.CommandPath())
	var (
		invalid  *pflag.InvalidValueError
		required *pflag.ValueRequiredError
		unknown  *pflag.NotExistError
	)
	switch {
	case errors.As(err, &invalid):
		return &usageError{fmt.Errorf("--%s: %s", invalid.GetFlag().Name, wrongValue(invalid)), hint}
	case errors.As(err, &required):
		return &usageError{fmt.Errorf("--%s: no value is given; write it behind the name", required.GetSpecifiedName()), hint}
	case errors.As(err, &unknown) && unknown.GetSpecifiedName() != "":
		if near := nearFlag(c, unknown.GetSpecifiedName()); near != "" {
			hint = fmt.Sprintf("did you mean --%s? %s", near, hint)
		}
		return &usageError{fmt.Errorf("unknown option --%s", unknown.GetSpecifiedName()), hint}
	}
	return &usageError{err, hint}
}

// wrongValue tells what a value should have been.
func wrongValue(e *pflag.InvalidValueError) string {
	value, want := strconv.Quote(e.GetValue()), "a value of another kind"
	switch e.GetFlag().Value.Type() {
	case "float64":
		want = "a number such as 47.5"
	case "int", "intSlice", "uint", "int64":
		want = "a whole number such as 7"
	case "bool":
		want = "true or false"
	case "duration":
		want = "a time such as 30s or 5m"
	}
	if errors.Is(e, strconv.ErrRange) {
		return value + " is too large; give " + want
	}
	return value + " is not " + want
}

// nearFlag returns the option of a command whose name is nearest, "" where none
// is near.
func nearFlag(c *cobra.Command, name string) string {
	var names []string
	c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	if near := config.Nearest(name, names); len(near) > 0 {
		return near[0]
	}
	return ""
}

// newHelp replaces cobra's own command, which takes any word for done.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Show how a command is used",
		Long:  "help shows what a command does, its options and an example.",
		Example: `  bloomtide help plan
  bloomtide plan --help`,
		ValidArgsFunction: func(c *cobra.Command, args []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
			var out []cobra.Completion
			for _, sub := range c.Root().Commands() {
				if len(args) == 0 && sub.IsAvailableCommand() && strings.HasPrefix(sub.Name(), typed) {
					out = append(out, cobra.CompletionWithDesc(sub.Name(), sub.Short))
				}
			}
			return out, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error {
			topic, rest, err := c.Root().Find(args)
			if err != nil || topic == nil || len(rest) > 0 {
				return noArguments(c.Root(), args)
			}
			topic.InitDefaultHelpFlag()
			return topic.Help()
		},
	}
}
