package ical

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"bloomtide/ingest/weather"
)

// Bounds of what is read, beside maxOctets. Our own choice: RFC 5545 nests
// three components deep, and asks for lines of 75 octets, though programs are
// known not to fold at all.
const (
	maxDepth        = 8
	maxPhysicalLine = 1 << 20 // octets
)

// ReadPublished reads what Published needs from a calendar that Write made,
// also after another program has stored it anew: in other line breaks, another
// order, unfolded, with properties added. Events whose UID does not end in
// UIDSuffix are passed over. Where a UID occurs twice, the higher SEQUENCE
// counts.
//
// A file that is no calendar or is cut short is refused with a
// *weather.SyntaxError, whose File the caller may set; an error of r is
// wrapped. Memory is bounded by the 64 MiB that a calendar may have.
func ReadPublished(r io.Reader) (Published, error) {
	limited := &io.LimitedReader{R: r, N: maxOctets + 1}
	in := bufio.NewScanner(limited)
	in.Buffer(nil, maxPhysicalLine)
	p := parser{out: Published{}}
	last, err := unfold(in, p.line)
	switch {
	case limited.N <= 0: // first, since the cut makes other faults
		return nil, fault(last, "", "calendar is larger than 64 MiB")
	case err != nil:
		return nil, err
	case errors.Is(in.Err(), bufio.ErrTooLong):
		return nil, fault(last, "", "line is longer than 1 MiB")
	case in.Err() != nil:
		return nil, fmt.Errorf("read calendar: %w", in.Err())
	case !p.begun:
		return nil, fault(0, "", "file is empty")
	case len(p.open) > 0:
		return nil, fault(last, "", "calendar ends inside "+p.open[len(p.open)-1])
	}
	return p.out, nil
}

// fault is a bad place in the calendar.
func fault(line int, value, what string) error {
	return &weather.SyntaxError{File: "calendar", Line: line, Value: value, What: what,
		Mend: "give the whole .ics file that an earlier plan was written to, or none"}
}

// unfold calls use with every content line and its number, and returns the
// number of the last line read. Continuation lines are joined as octets, since
// other writers cut characters in two; blank lines are passed over. RFC 5545
// §3.1.
func unfold(in *bufio.Scanner, use func(n int, line string) error) (last int, err error) {
	var line []byte
	start := 1
	for in.Scan() {
		last++
		b := in.Bytes()
		if last == 1 {
			b = bytes.TrimPrefix(b, []byte("\uFEFF"))
		}
		if len(b) > 0 && (b[0] == ' ' || b[0] == '\t') && last > 1 {
			line = append(line, b[1:]...)
			continue
		}
		if err := useLine(start, line, use); err != nil {
			return last, err
		}
		line, start = append(line[:0], b...), last
	}
	return last, useLine(start, line, use)
}

func useLine(n int, line []byte, use func(int, string) error) error {
	if len(line) == 0 {
		return nil
	}
	return use(n, string(line))
}

// property is a value with the line it stands on.
type property struct {
	value string
	line  int
}

// parser keeps the open components and the event under way.
type parser struct {
	out   Published
	begun bool
	open  []string // names of the components around the line
	event map[string]property
	words []string // categories, cleaned
}

// line takes in one content line.
func (p *parser) line(n int, s string) error {
	name, value, ok := cutLine(s)
	if !p.begun && (name != "BEGIN" || !strings.EqualFold(value, "VCALENDAR")) {
		return fault(n, s, "file does not begin with BEGIN:VCALENDAR")
	}
	p.begun = true
	switch {
	case !ok:
		return fault(n, s, fmt.Sprintf("no colon in %.40q", s))
	case name == "BEGIN":
		return p.begin(n, strings.ToUpper(value))
	case name == "END":
		return p.end(n, strings.ToUpper(value))
	case len(p.open) == 0:
		return fault(n, s, fmt.Sprintf("%.40q stands outside the calendar", s))
	}
	p.keep(n, name, value)
	return nil
}

// cutLine returns the name of a content line in capitals and its value. A
// colon in a quoted parameter ends neither. RFC 5545 §3.1.
func cutLine(s string) (name, value string, ok bool) {
	quoted := false
	for i := range len(s) {
		switch {
		case s[i] == '"':
			quoted = !quoted
		case s[i] == ':' && !quoted:
			name, _, _ = strings.Cut(s[:i], ";")
			return strings.ToUpper(name), s[i+1:], true
		}
	}
	return "", "", false
}

func (p *parser) begin(n int, name string) error {
	if len(p.open) >= maxDepth {
		return fault(n, name, fmt.Sprintf("%.40q is nested more than %d deep", name, maxDepth))
	}
	p.open = append(p.open, name)
	if p.inside("VCALENDAR", "VEVENT") || p.inside("VCALENDAR", "VTODO") {
		p.event, p.words = map[string]property{}, nil
	}
	return nil
}

func (p *parser) end(n int, name string) error {
	top := len(p.open) - 1
	if top < 0 || p.open[top] != name {
		return fault(n, name, fmt.Sprintf("END:%.40s closes nothing that is open", name))
	}
	if p.inside("VCALENDAR", "VEVENT") || p.inside("VCALENDAR", "VTODO") {
		if err := p.finish(n); err != nil {
			return err
		}
	}
	p.open = p.open[:top]
	return nil
}

// inside reports whether exactly these components are open.
func (p *parser) inside(names ...string) bool {
	if len(p.open) != len(names) {
		return false
	}
	for i, n := range names {
		if p.open[i] != n {
			return false
		}
	}
	return true
}

// keep remembers a property that Stamp needs, the first of its name.
func (p *parser) keep(n int, name, value string) {
	switch {
	case p.inside("VCALENDAR", "VEVENT"), p.inside("VCALENDAR", "VTODO"):
		switch name {
		case "CATEGORIES": // may come in several lines, RFC 5545 §3.6.1
			p.words = append(p.words, splitList(value)...)
			return
		case "UID", "DTSTART", "DTEND", "SEQUENCE", "LAST-MODIFIED", "DTSTAMP",
			"SUMMARY", "DESCRIPTION", "STATUS", "DUE", "COMPLETED":
		default:
			return
		}
	case name == "TRIGGER" && (p.inside("VCALENDAR", "VEVENT", "VALARM") || p.inside("VCALENDAR", "VTODO", "VALARM")):
	default:
		return
	}
	if _, twice := p.event[name]; !twice {
		p.event[name] = property{value, n}
	}
}

// finish turns the event under way into its Stamp.
func (p *parser) finish(n int) error {
	e := Event{
		UID:         clean(unescape(p.event["UID"].value)),
		Summary:     unescape(p.event["SUMMARY"].value),
		Description: unescape(p.event["DESCRIPTION"].value),
		Categories:  p.words,
		Cancelled:   strings.EqualFold(p.event["STATUS"].value, "CANCELLED"),
	}
	if !strings.HasSuffix(e.UID, UIDSuffix) || e.UID == UIDSuffix {
		return nil
	}
	var err error
	task := p.inside("VCALENDAR", "VTODO")
	if task {
		e.Day, e.End, e.Done, err = p.due(n)
	} else {
		e.Day, e.End, err = p.span(n)
	}
	if err != nil {
		return err
	}
	if e, err = e.tidy(); err != nil {
		return fault(n, e.UID, err.Error())
	}
	seq, err := p.sequence()
	if err != nil {
		return err
	}
	mod, err := p.modified(seq)
	if err != nil {
		return err
	}
	if old, twice := p.out[e.UID]; twice && old.Sequence >= seq {
		return nil
	}
	p.out[e.UID] = Stamp{Sequence: seq, Modified: mod, Day: e.Day, End: e.End, Summary: e.Summary,
		Cancelled: e.Cancelled, Digest: e.digest(p.event["TRIGGER"].value, task)}
	return nil
}

// span returns the days of the event under way. Without an end after its
// beginning an all-day event lasts one day, RFC 5545 §3.6.1.
func (p *parser) span(n int) (day, end weather.Date, err error) {
	start, ok := p.event["DTSTART"]
	if !ok {
		return 0, 0, fault(n, "", "event has no DTSTART")
	}
	if day, err = parseDay(start); err != nil {
		return 0, 0, err
	}
	stop, ok := p.event["DTEND"]
	if !ok {
		return day, day + 1, nil
	}
	if end, err = parseDay(stop); err != nil {
		return 0, 0, err
	}
	return day, max(end, day+1), nil
}

// due returns the days of the task item under way, and the day on which it was
// done, 0 for not yet. DUE is its last day.
func (p *parser) due(n int) (day, end, done weather.Date, err error) {
	last, ok := p.event["DUE"]
	if !ok {
		return 0, 0, 0, fault(n, "", "task item has no DUE")
	}
	if day, err = parseDay(last); err != nil {
		return 0, 0, 0, err
	}
	end = day + 1
	if start, ok := p.event["DTSTART"]; ok {
		if day, err = parseDay(start); err != nil {
			return 0, 0, 0, err
		}
	}
	if c, ok := p.event["COMPLETED"]; ok {
		if done, err = parseDay(c); err != nil {
			return 0, 0, 0, err
		}
	}
	return day, max(end, day+1), done, nil
}

// parseDay reads a DATE, or the day of a DATE-TIME.
func parseDay(p property) (weather.Date, error) {
	s, _, _ := strings.Cut(p.value, "T")
	if len(s) == len(dateLayout) {
		if d, err := weather.ParseDate(s[:4] + "-" + s[4:6] + "-" + s[6:]); err == nil {
			return d, nil
		}
	}
	return 0, fault(p.line, p.value, fmt.Sprintf("not a day of the form YYYYMMDD: %.40q", p.value))
}

// sequence returns SEQUENCE, 0 where there is none. RFC 5545 §3.8.7.4.
func (p *parser) sequence() (int, error) {
	s, ok := p.event["SEQUENCE"]
	if !ok {
		return 0, nil
	}
	n, err := strconv.ParseInt(s.value, 10, 32)
	if err != nil || n < 0 {
		return 0, fault(s.line, s.value, fmt.Sprintf("SEQUENCE %.40q is outside 0..%d", s.value, maxSequence))
	}
	return int(n), nil
}

// modified returns LAST-MODIFIED, or DTSTAMP where a program has dropped it,
// or else the time that a first SEQUENCE goes with.
func (p *parser) modified(seq int) (int64, error) {
	s, ok := p.event["LAST-MODIFIED"]
	if !ok {
		s, ok = p.event["DTSTAMP"]
	}
	if !ok {
		return min(baseModified(sequenceEpoch)+int64(seq)*secondsPerDay, maxModified), nil
	}
	t, err := time.Parse(stampLayout, s.value)
	if err != nil {
		return 0, fault(s.line, s.value, fmt.Sprintf("not a time of the form YYYYMMDDTHHMMSSZ: %.40q", s.value))
	}
	return t.Unix(), nil
}
