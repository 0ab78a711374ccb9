package format

import (
	"math"
	"strings"
	"time"

	"bloomtide/ingest/weather"
)

// Oldest and Newest bound the years that a file may hold: daily thermometer
// records begin in the eighteenth century (Uppsala 1722, from memory), and a
// year far ahead is a slip. The bound also bounds memory.
const (
	Oldest = 1700
	Newest = 2100
)

// dateOrder says which number comes first in a date that does not start with
// the year.
type dateOrder uint8

const (
	orderUnknown dateOrder = iota
	dayFirst
	monthFirst
)

// The ways in which a date can be wrong; empty is right.
const (
	notADate  = "not a date"
	noSuchDay = "no such day in the calendar"
	farYear   = "year outside 1700..2100"
	ambiguous = "day and month cannot be told apart"
	monthOnly = "a month, not a day"
	shortYear = "not a date, the year has two digits"
)

// stamp is a date with what the cell said of the hour.
type stamp struct {
	date    weather.Date
	hour    int // 0..23, -1 where the cell has no time of day
	problem string
}

// daysBefore is the number of days before each month of a common year.
var daysBefore = [13]int{0, 0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334}

func leap(y int) bool { return y%4 == 0 && (y%100 != 0 || y%400 == 0) }

// civil returns the Date of a year, month and day by arithmetic, ten times as
// fast as through package time.
func civil(y, m, d int) (weather.Date, string) {
	if m < 1 || m > 12 || d < 1 || d > 31 {
		return 0, noSuchDay
	}
	if d > 28 && d > weather.DaysIn(y, time.Month(m)) {
		return 0, noSuchDay
	}
	if y < Oldest || y > Newest {
		return 0, farYear
	}
	p := y - 1
	n := p*365 + p/4 - p/100 + p/400 + daysBefore[m] + d
	if m > 2 && leap(y) {
		n++
	}
	const untilEpoch = 719163 // days from 0001-01-01 to 1970-01-01, plus one
	return weather.Date(n - untilEpoch), ""
}

// yearDay returns the Date of a year and a day of the year from 1.
func yearDay(y, yday, length int) (weather.Date, string) {
	if leap(y) && length == 0 {
		length = 366
	} else if length == 0 {
		length = 365
	}
	if yday < 1 || yday > length {
		return 0, noSuchDay
	}
	first, problem := civil(y, 1, 1)
	return first + weather.Date(yday-1), problem
}

// parseStamp reads a date with or without a time of day: YYYY-MM-DD, YYYYMMDD,
// YYYYMMDDhhmm, YYYY/M/D, D.M.YYYY, M/D/YYYY, D-Mon-YYYY, each optionally
// followed by T or a space and hh:mm.
func parseStamp(b []byte, order dateOrder) stamp {
	if len(b) >= 10 && b[4] == '-' && b[7] == '-' {
		y, okY := whole(b[:4])
		m, okM := whole(b[5:7])
		d, okD := whole(b[8:10])
		if okY && okM && okD {
			return stamped(y, m, d, b[10:])
		}
	}
	first, rest := leadingDigits(b)
	switch len(first) {
	case 8, 10, 12, 14:
		y, _ := whole(first[:4])
		m, _ := whole(first[4:6])
		d, _ := whole(first[6:8])
		return stamped(y, m, d, compactHour(first[8:], rest))
	case 1, 2, 4:
		return threeParts(first, rest, order)
	case 6:
		if m, ok := whole(first[4:]); ok && m >= 1 && m <= 12 && len(rest) == 0 {
			return stamp{problem: monthOnly}
		}
	}
	return stamp{problem: notADate}
}

// secondsStamp reads seconds since the start of 1970, Open-Meteo's other form of
// time, to which its offset of the clock is added for the local day (from the
// service's documentation, from memory). It reports false where they are no
// whole quarters of an hour, as all hours and days anywhere are: then it is
// another form, such as YYYYMMDD, which never is such a multiple, since its last
// two digits would be zeros.
func secondsStamp(sec float64, offset int) (s stamp, ok bool) {
	const hour, quarter = 3600, 900
	if math.Mod(sec, quarter) != 0 {
		return s, false
	}
	hours := math.Floor((sec + float64(offset)) / hour)
	days := math.Floor(hours / 24)
	if math.Abs(days) > (Newest-Oldest)*366 {
		return stamp{problem: farYear}, true
	}
	y, m, d := weather.Date(days).YMD()
	s = stamp{hour: int(hours - days*24)}
	s.date, s.problem = civil(y, int(m), d)
	return s, true
}

// compactHour turns the digits after YYYYMMDD into a tail that stamped reads.
func compactHour(digits, rest []byte) []byte {
	if len(digits) < 2 {
		return rest
	}
	return []byte{' ', digits[0], digits[1], ':'}
}

func threeParts(first, rest []byte, order dateOrder) stamp {
	if len(rest) < 2 {
		return stamp{problem: notADate}
	}
	sep := rest[0]
	if sep != '-' && sep != '/' && sep != '.' && sep != ' ' {
		return stamp{problem: notADate}
	}
	second, rest := middle(rest[1:])
	if len(first) == 4 && second > 0 && len(rest) == 0 {
		return stamp{problem: monthOnly}
	}
	if second < 0 || len(rest) < 2 || rest[0] != sep {
		return stamp{problem: notADate}
	}
	third, tail := leadingDigits(rest[1:])
	a, _ := whole(first)
	c, okC := whole(third)
	named := second > 100 // a month by name is 100 + its number
	m := second % 100
	switch {
	case !okC || len(third) > 4:
		return stamp{problem: notADate}
	case len(first) <= 2 && len(third) == 2:
		return stamp{problem: shortYear}
	case len(first) == 4 && len(third) <= 2:
		return stamped(a, m, c, tail)
	case len(third) != 4:
		return stamp{problem: notADate}
	case named || order == dayFirst || sep == '.':
		return stamped(c, m, a, tail)
	case order == monthFirst:
		return stamped(c, a, m, tail)
	}
	return stamp{problem: ambiguous}
}

// middle reads the middle part of a date: up to two digits, or an English
// month, whole or its first three letters, which gives 100 plus its number; -1 if neither.
func middle(b []byte) (n int, rest []byte) {
	d, rest := leadingDigits(b)
	if len(d) == 1 || len(d) == 2 {
		n, _ = whole(d)
		return n, rest
	}
	if len(b) < 3 || len(d) > 0 {
		return -1, b
	}
	n = 3
	for n < len(b) && b[n]|0x20 >= 'a' && b[n]|0x20 <= 'z' {
		n++
	}
	for i, name := range months {
		if (n == 3 || n == len(name)) && strings.EqualFold(string(b[:n]), name[:n]) {
			return 100 + i + 1, b[n:]
		}
	}
	return -1, b
}

var months = [...]string{
	"january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december",
}

// stamped checks the day and reads the hour from what follows the date.
func stamped(y, m, d int, tail []byte) stamp {
	date, problem := civil(y, m, d)
	s := stamp{date: date, hour: -1, problem: problem}
	if len(tail) == 0 || problem != "" {
		return s
	}
	if tail[0] != 'T' && tail[0] != ' ' || len(tail) < 2 {
		s.problem = notADate
		return s
	}
	digits, _ := leadingDigits(tail[1:])
	h, ok := whole(digits)
	if !ok || h > 23 {
		s.problem = notADate
		return s
	}
	s.hour = h
	return s
}

// leadingDigits splits b after its leading decimal digits.
func leadingDigits(b []byte) (digits, rest []byte) {
	i := 0
	for i < len(b) && b[i] >= '0' && b[i] <= '9' {
		i++
	}
	return b[:i], b[i:]
}

// whole reads a whole number without sign, of nine digits at most.
func whole(b []byte) (n int, ok bool) {
	if len(b) == 0 || len(b) > 9 {
		return 0, false
	}
	for _, c := range b {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	return n, true
}
