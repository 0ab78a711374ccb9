package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
)

// say writes to the terminal beside the result: errors, warnings and hints.
// Each line starts with the program's name, then lower case without a full
// stop, so that the result on standard output stays clean.
type say struct{ to io.Writer }

func (s say) failure(err error) {
	for line := range strings.Lines(err.Error()) { // a table may have several bad rows
		fmt.Fprintf(s.to, "bloomtide: error: %s\n", strings.TrimSuffix(line, "\n"))
	}
	var usage *usageError
	if errors.As(err, &usage) && usage.hint != "" {
		s.hint(usage.hint)
	}
}

func (s say) warning(format string, args ...any) {
	fmt.Fprintf(s.to, "bloomtide: warning: "+format+"\n", args...)
}

func (s say) hint(text string) { fmt.Fprintf(s.to, "bloomtide: hint: %s\n", text) }
