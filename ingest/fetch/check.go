package fetch

import (
	"bytes"
	"fmt"
	"strings"
)

// kind is what a file should be.
type kind int

const (
	stationList kind = iota
	inventoryList
	stationRecord
	outlookTable
)

// headLength is how much of a file is looked at to know it, octets. The
// metadata and the header of the longest of these stand in it.
const headLength = 1024

// check says what is wrong with the beginning of a file, "" for nothing.
func (k kind) check(head []byte) string {
	first, rest, _ := bytes.Cut(bytes.TrimPrefix(head, []byte("\ufeff")), []byte("\n"))
	switch k {
	case stationList, inventoryList:
		l := line{"", 1, bytes.TrimRight(first, "\r ")}
		_, err := l.site()
		if k == inventoryList {
			_, err = l.span()
		}
		if err != nil {
			return "the first line is not one of a station list"
		}
	case stationRecord:
		names := strings.Split(strings.ReplaceAll(strings.TrimSpace(string(first)), `"`, ""), ",")
		if len(names) < 2 || names[0] != "STATION" || names[1] != "DATE" {
			return fmt.Sprintf("the first line is %q and not the header of a by-station record", clip(first))
		}
	case outlookTable:
		if !bytes.HasPrefix(first, []byte("latitude,")) || !bytes.Contains(rest, []byte("\ntime,")) {
			return fmt.Sprintf("the first line is %q and not the header of an outlook", clip(first))
		}
	}
	return ""
}

// clip shortens a text for a message.
func clip(b []byte) string {
	const most = 60 // octets
	b = bytes.TrimSpace(b)
	if len(b) > most {
		b = b[:most]
	}
	return strings.ToValidUTF8(string(b), "?")
}

// webPage reports whether an answer is a page for a browser.
func webPage(contentType string, head []byte) bool {
	if strings.HasPrefix(strings.ToLower(strings.TrimSpace(contentType)), "text/html") {
		return true
	}
	head = bytes.ToLower(bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n"))
	for _, tag := range []string{"<!doctype", "<html", "<head", "<body", "<?xml"} {
		if bytes.HasPrefix(head, []byte(tag)) {
			return true
		}
	}
	return false
}

// tail keeps the last line that goes through it.
type tail struct {
	line    []byte
	started bool // the line is finished: the next octet begins another
	size    int64
}

// Write takes the next octets; it never fails.
func (t *tail) Write(b []byte) (int, error) {
	n := len(b)
	t.size += int64(n)
	for len(b) > 0 {
		if t.started {
			t.line, t.started = t.line[:0], false
		}
		at := bytes.IndexByte(b, '\n')
		if at < 0 {
			t.keep(b)
			break
		}
		if last := bytes.LastIndexByte(b[:len(b)-1], '\n'); last > at { // skip to the last whole line
			b, t.line = b[last+1:], t.line[:0]
			continue
		}
		t.keep(b[:at])
		t.started = true
		b = b[at+1:]
	}
	return n, nil
}

func (t *tail) keep(b []byte) {
	t.line = append(t.line, b[:min(len(b), max(0, maxLine-len(t.line)))]...)
}

// whole reports whether the last line is finished.
func (t *tail) whole() bool { return t.started }

// day returns the date of the last line, its second column, "" where there is
// none.
func (t *tail) day() string {
	_, rest, _ := bytes.Cut(t.line, []byte(","))
	day, _, _ := bytes.Cut(rest, []byte(","))
	day = bytes.Trim(day, `" `)
	if len(day) != len("2006-01-02") || day[4] != '-' || day[7] != '-' {
		return ""
	}
	return string(day)
}
