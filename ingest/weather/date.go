package weather

import (
	"fmt"
	"time"
)

// Date is a civil day: the number of days since 1970-01-01 in the proleptic
// Gregorian calendar. It has no time zone, since a daily record has none.
// Subtract two Dates for days between, add an int for days later, and use it
// as an index.
type Date int32

// secondsPerDay is the length of a civil day without leap seconds, s.
const secondsPerDay = 86400

// MakeDate returns the Date of a year, month and day. It returns an error for
// a day that the calendar does not have, such as 2025-02-30; nothing is
// normalised.
func MakeDate(year int, month time.Month, day int) (Date, error) {
	if month < time.January || month > time.December || day < 1 || day > DaysIn(year, month) {
		return 0, fmt.Errorf("no such day in the calendar: %04d-%02d-%02d", year, int(month), day)
	}
	return civil(year, month, day), nil
}

// YearMonthDay returns the Date of a year, month and day, bringing month and
// day to the nearest one that the calendar has: 31 April becomes 30 April.
func YearMonthDay(year int, month time.Month, day int) Date {
	month = min(max(month, time.January), time.December)
	const shortest = 28 // days of a month; looking up its length takes as long as all else
	if day > shortest {
		day = min(day, DaysIn(year, month))
	}
	return civil(year, month, max(day, 1))
}

// civil converts a day already known to be valid.
func civil(year int, month time.Month, day int) Date {
	t := time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	return Date(t.Unix() / secondsPerDay)
}

// DaysIn returns the number of days of a month, 28 to 31.
func DaysIn(year int, month time.Month) int {
	return time.Date(year, month+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// ParseDate reads an ISO 8601 calendar date, YYYY-MM-DD, and nothing else.
func ParseDate(s string) (Date, error) {
	if len(s) != len("2006-01-02") || s[4] != '-' || s[7] != '-' {
		return 0, fmt.Errorf("not a date of the form YYYY-MM-DD: %q", s)
	}
	y, okY := digits(s[0:4])
	m, okM := digits(s[5:7])
	d, okD := digits(s[8:10])
	if !okY || !okM || !okD {
		return 0, fmt.Errorf("not a date of the form YYYY-MM-DD: %q", s)
	}
	return MakeDate(y, time.Month(m), d)
}

func digits(s string) (n int, ok bool) {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, true
}

// FromTime returns the civil day that t shows in its own location.
func FromTime(t time.Time) Date { return civil(t.Date()) }

// Time returns midnight UTC at the start of the day, for formatting only.
func (d Date) Time() time.Time { return time.Unix(int64(d)*secondsPerDay, 0).UTC() }

// YMD returns the calendar year, month and day.
func (d Date) YMD() (year int, month time.Month, day int) { return d.Time().Date() }

// Year returns the calendar year.
func (d Date) Year() int { return d.Time().Year() }

// DayOfYear returns 1 for 1 January up to 366, for display and daylength only:
// it shifts by one after 28 February in leap years.
func (d Date) DayOfYear() int { return d.Time().YearDay() }

// AddYears returns the same calendar day n years later. 29 February becomes
// 28 February where the target year has no leap day.
func (d Date) AddYears(n int) Date {
	y, m, day := d.YMD()
	y += n
	return YearMonthDay(y, m, day)
}

// String returns the date as YYYY-MM-DD.
func (d Date) String() string { return d.Time().Format(time.DateOnly) }

// MarshalText writes the date as YYYY-MM-DD.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads YYYY-MM-DD.
func (d *Date) UnmarshalText(b []byte) error {
	v, err := ParseDate(string(b))
	if err != nil {
		return err
	}
	*d = v
	return nil
}
