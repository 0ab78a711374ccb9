package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"bloomtide/config"

	"github.com/spf13/cobra"
)

// configName is looked for in the working folder when --config is not given.
const configName = "bloomtide.yaml"

func newInit(w world) *cobra.Command {
	var force bool
	c := &cobra.Command{
		Use:   "init [FILE]",
		Short: "Write a commented configuration for your own place",
		Long: `init writes a configuration with every setting explained, by default
bloomtide.yaml in this folder, where the other commands find it. "-" writes to
standard output.`,
		Example: `  bloomtide init
  bloomtide init - | less`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return &usageError{errors.New("init takes one file name at most"), ""}
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			name := configName
			if len(args) == 1 {
				name = args[0]
			}
			return writeExample(w, name, force)
		},
	}
	c.Flags().BoolVar(&force, "force", false, "write over a configuration that is already there")
	return c
}

func writeExample(w world, name string, force bool) error {
	if name == "-" {
		_, err := w.stdout.Write(config.Example())
		return err
	}
	if _, err := os.Stat(name); !force && !errors.Is(err, fs.ErrNotExist) {
		return &usageError{fmt.Errorf("%s is already there", name), "use --force to write over it, or name another file"}
	}
	if err := writeFile(name, config.Example()); err != nil {
		return err
	}
	next := "bloomtide plan"
	if name != configName {
		next += " --config " + name
	}
	_, err := fmt.Fprintf(w.stdout, "wrote %s: fill in your place and weather file, then run \"%s\"\n", name, next)
	return err
}
