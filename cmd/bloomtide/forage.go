package main

import (
	"bloomtide/config"

	"github.com/spf13/cobra"
)

func newForage(w world) *cobra.Command {
	return &cobra.Command{
		Use:   "forage",
		Short: "Print the forage table, to read or to edit",
		Long: `forage prints the table of plants as CSV: what bloom needs in degree days, how
long it lasts, what nectar it gives, and the source of each figure. Save it,
edit it, and give it back with --forage.`,
		Example: `  bloomtide forage > my-forage.csv
  bloomtide bloom --forage my-forage.csv`,
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error {
			_, err := w.stdout.Write(config.ForageCSV())
			return err
		},
	}
}
