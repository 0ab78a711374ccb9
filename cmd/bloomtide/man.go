package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// newMan writes manual pages. It is hidden: whoever packs the program calls it
// once, keepers read --help.
func newMan() *cobra.Command {
	return &cobra.Command{
		Use:    "man FOLDER",
		Short:  "Write a manual page for each command into a folder",
		Long:   "man writes a manual page for each command, section 1, into a folder.",
		Hidden: true,
		Example: `  bloomtide man man1
  man ./man1/bloomtide-plan.1`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return &usageError{errors.New("man takes one folder"), "bloomtide man FOLDER"}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			const readable = 0o755
			if err := os.MkdirAll(args[0], readable); err != nil {
				return fmt.Errorf("write manual pages: %w", err)
			}
			for _, of := range append(c.Root().Commands(), c.Root()) {
				if of.Hidden || of.IsAdditionalHelpTopicCommand() {
					continue
				}
				name := filepath.Join(args[0], pageName(of)+".1")
				if err := writeFile(name, manualPage(of)); err != nil {
					return err
				}
			}
			return nil
		},
	}
}

func pageName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// manualPage writes a page in the macros of man(7). The library's own writer
// goes by way of Markdown, whose parser costs each start of the program two
// milliseconds. The day is fixed, so that pages are the same whenever they are
// written.
func manualPage(c *cobra.Command) []byte {
	c.InitDefaultHelpFlag()
	var b strings.Builder
	fmt.Fprintf(&b, ".TH %q 1 \"2026-11-01\" \"bloomtide\" \"bloomtide\"\n", strings.ToUpper(pageName(c)))
	fmt.Fprintf(&b, ".SH NAME\n%s \\- %s\n", roff(pageName(c)), roff(c.Short))
	fmt.Fprintf(&b, ".SH SYNOPSIS\n.nf\n%s\n.fi\n", roff(c.UseLine()))
	b.WriteString(".SH DESCRIPTION\n")
	for i, part := range strings.Split(c.Long, "\n\n") {
		if i > 0 {
			b.WriteString(".PP\n")
		}
		b.WriteString(roff(part) + "\n")
	}
	b.WriteString(".SH OPTIONS\n")
	c.Flags().VisitAll(func(f *pflag.Flag) { b.WriteString(manualOption(f)) })
	if c.Example != "" {
		fmt.Fprintf(&b, ".SH EXAMPLES\n.nf\n%s\n.fi\n", roff(c.Example))
	}
	var also []string
	for _, other := range append(c.Root().Commands(), c.Root()) {
		if other != c && !other.Hidden {
			also = append(also, "\\fB"+roff(pageName(other))+"\\fP(1)")
		}
	}
	fmt.Fprintf(&b, ".SH SEE ALSO\n%s\n", strings.Join(also, ", "))
	return []byte(b.String())
}

// manualOption is an option with what it takes and means.
func manualOption(f *pflag.Flag) string {
	if f.Hidden {
		return ""
	}
	kind, usage := pflag.UnquoteUsage(f)
	name := "\\fB" + roff("--"+f.Name) + "\\fP"
	if f.Shorthand != "" {
		name = "\\fB" + roff("-"+f.Shorthand) + "\\fP, " + name
	}
	if kind != "" {
		name += " \\fI" + roff(kind) + "\\fP"
	}
	return ".TP\n" + name + "\n" + roff(usage) + "\n"
}

// roff keeps a text from being read as macros: hyphens stay hyphens, and no line
// begins with a control character.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\(rs`, "-", `\-`).Replace(text)
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, ".") || strings.HasPrefix(l, "'") {
			lines[i] = `\&` + l
		}
	}
	return strings.Join(lines, "\n")
}
