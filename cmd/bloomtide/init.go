package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bloomtide/config"

	"github.com/spf13/cobra"
)

// configName is looked for in the working folder when --config is not given.
const configName = "bloomtide.yaml"

// coverName is the starter list that stands beside a configuration.
const coverName = "cover.csv"

func newInit(w world) *cobra.Command {
	var o initOptions
	c := &cobra.Command{
		Use:   "init [FILE]",
		Short: "Write a commented configuration for your own place",
		Long: `init writes a configuration with every setting explained, by default
bloomtide.yaml in this folder, where the other commands find it. "-" writes to
standard output.

With --region it also writes cover.csv beside it: plants that a published source
names for a broad region, as a start. Walk the neighbourhood within two to three
kilometres, take out what does not grow there, add what does, and fill in the
hectares. "--region list" names the regions.`,
		Example: `  bloomtide init
  bloomtide init --region "new england"
  bloomtide init --region list
  bloomtide init - | less`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return &usageError{errors.New("init takes one file name at most"), ""}
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			o.name = configName
			if len(args) == 1 {
				o.name = args[0]
			}
			return runInit(w, o)
		},
	}
	c.Flags().BoolVar(&o.force, "force", false, "write over a configuration, and a cover.csv, that is already there")
	c.Flags().StringVar(&o.region, "region", "", "also write cover.csv, a starter list of this region; list names the regions")
	_ = c.RegisterFlagCompletionFunc("region", func(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
		all, err := config.Regions()
		if err != nil {
			return nil, cobra.ShellCompDirectiveError
		}
		names := make([]cobra.Completion, len(all))
		for i, r := range all {
			names[i] = r.Name
		}
		return names, cobra.ShellCompDirectiveNoFileComp
	})
	return c
}

// initOptions are the options of init.
type initOptions struct {
	name   string // of the configuration, - for standard output
	force  bool
	region string // whose starter list is written beside it; empty: none
}

// written is a file to write.
type written struct {
	name    string
	content []byte
}

func runInit(w world, o initOptions) error {
	files := []written{{o.name, config.Example()}}
	switch o.region {
	case "":
	case "list":
		return listRegions(w)
	default:
		r, err := config.RegionByName(o.region)
		if err != nil {
			return err
		}
		if o.name == "-" {
			return &usageError{errors.New("--region writes two files and not to standard output"), "leave - out, or name the configuration"}
		}
		files[0].content = config.ExampleWithCover(coverName)
		files = append(files, written{filepath.Join(filepath.Dir(o.name), coverName), r.CoverCSV()})
	}
	return writeExample(w, o, files)
}

func listRegions(w world) error {
	all, err := config.Regions()
	if err != nil {
		return err
	}
	for _, r := range all {
		names := make([]string, len(r.Plants))
		for i, p := range r.Plants {
			names[i] = p.Plant
		}
		if _, err := fmt.Fprintf(w.stdout, "%s: %s\n", r.Name, strings.Join(names, ", ")); err != nil {
			return err
		}
	}
	return nil
}

// writeExample writes all of the files or, where one is already there, none.
func writeExample(w world, o initOptions, files []written) error {
	if o.name == "-" {
		_, err := w.stdout.Write(files[0].content)
		return err
	}
	for _, f := range files {
		if _, err := os.Stat(f.name); !o.force && !errors.Is(err, fs.ErrNotExist) {
			return &usageError{fmt.Errorf("%s is already there", f.name), "use --force to write over it, or name another file"}
		}
	}
	names := make([]string, len(files))
	for i, f := range files {
		if err := writeFile(f.name, f.content); err != nil {
			return err
		}
		names[i] = f.name
	}
	next := "bloomtide plan"
	if o.name != configName {
		next += " --config " + o.name
	}
	todo := "fill in your place and weather file"
	if len(files) > 1 {
		todo += ", correct the list by walking the neighbourhood"
	}
	_, err := fmt.Fprintf(w.stdout, "wrote %s: %s, then run \"%s\"\n", strings.Join(names, " and "), todo, next)
	return err
}
