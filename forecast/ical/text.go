package ical

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxLineOctets is the longest line without its line break. RFC 5545 §3.1.
const maxLineOctets = 75

// clean returns s as a TEXT value may hold it: valid UTF-8, line breaks of
// every kind as "\n", no control character but that and the tab. RFC 5545
// §3.3.11 and §3.1 (CONTROL). The C1 controls are dropped too, and the Unicode
// line and paragraph separators become "\n", since readers are known to break
// lines at them. clean(clean(s)) = clean(s).
func clean(s string) string {
	if plain(s) {
		return s
	}
	s = strings.ReplaceAll(strings.ToValidUTF8(s, string(utf8.RuneError)), "\r\n", "\n")
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\r' || r == '\u2028' || r == '\u2029':
			return '\n'
		case r == '\n' || r == '\t':
			return r
		case unicode.IsControl(r) || r == '\uFEFF':
			return -1
		}
		return r
	}, s)
}

// plain reports whether s is printable ASCII, which clean would not alter.
func plain(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// escaper holds the four escapes of RFC 5545 §3.3.11.
var escaper = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`)

// escape turns a clean text into a TEXT value.
func escape(s string) string { return escaper.Replace(s) }

// unescape undoes escape. It leaves a backslash before any other character as it stands, since
// some programs do not escape theirs.
func unescape(s string) string {
	if !strings.Contains(s, `\`) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' && i+1 < len(s) {
			switch c := s[i+1]; c {
			case '\\', ';', ',':
				b.WriteByte(c)
				i++
				continue
			case 'n', 'N':
				b.WriteByte('\n')
				i++
				continue
			}
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// splitList cuts a value at its unescaped commas and unescapes the parts.
// RFC 5545 §3.1.1.
func splitList(s string) []string {
	var parts []string
	from := 0
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '\\':
			i++
		case ',':
			parts = append(parts, unescape(s[from:i]))
			from = i + 1
		}
	}
	return append(parts, unescape(s[from:]))
}

// appendFolded appends one content line with its line breaks, folded so that
// no line passes maxLineOctets and no character is cut in two. The line holds
// valid UTF-8. RFC 5545 §3.1.
func appendFolded(dst []byte, line string) []byte {
	room := maxLineOctets
	for len(line) > room {
		cut := room
		for !utf8.RuneStart(line[cut]) {
			cut--
		}
		dst = append(dst, line[:cut]...)
		dst = append(dst, "\r\n "...)
		line, room = line[cut:], maxLineOctets-1 // the blank that marks a fold counts
	}
	dst = append(dst, line...)
	return append(dst, "\r\n"...)
}
