package format

import (
	"encoding/binary"
	"math/bits"

	"bloomtide/ingest/weather"
)

// Large is what a large file holds, read whole: station by station in 16 bits a
// value. Its readers take the lines that look as their publisher prints them
// eight bytes at a time, on all processors, and give every other line to the
// reader of package format that Open uses, so that faults and their words are
// the same.
type Large struct {
	Layout     string                 // name of the layout
	Lines      int                    // lines below the header
	BadLines   int                    // lines with a fault, each counted once
	Faults     int                    // all faults
	OutOfRange int                    // values that cannot be on earth
	First      []*weather.SyntaxError // the first faults, at most 20
	Stations   int                    // stations met, those without temperatures included
	each       func(workers int, fn func(weather.Series, Tally) error) error
}

// Tally counts what happened to the values of one station.
type Tally struct {
	Rejected  int // extremes that the publisher flagged as bad
	Duplicate int // extremes met more than once
	Differing int // of those, not the same
}

// mostFirst is how many faults are kept word for word.
const mostFirst = 20

// Each gives the stations that have temperatures to fn, each from its first to
// its last day with one, from several goroutines at once and in no order. The
// days of a series are valid until fn returns. The first error of fn ends it.
func (l *Large) Each(workers int, fn func(weather.Series, Tally) error) error {
	return l.each(max(1, workers), fn)
}

// fault counts the faults that one line had and keeps the first.
func (l *Large) fault(all []*weather.SyntaxError) {
	if len(all) == 0 {
		return
	}
	l.BadLines++
	l.Faults += len(all)
	for _, e := range all {
		if len(l.First) < mostFirst {
			l.First = append(l.First, e)
		}
	}
}

// add joins the counts of a later part of the same file, whose first line has
// the number after.
func (l *Large) add(part *Large, after int) {
	for _, e := range part.First {
		e.Line += after
		if len(l.First) < mostFirst {
			l.First = append(l.First, e)
		}
	}
	l.Lines += part.Lines
	l.BadLines += part.BadLines
	l.Faults += part.Faults
	l.OutOfRange += part.OutOfRange
}

// record makes the series of cells from a day on, without the days before the
// first and after the last temperature, in the room of days; false where there
// is none.
func record(site weather.Site, start weather.Date, k []dayCells, days []weather.Day) (s weather.Series, rejected int, ok bool) {
	first, end := 0, len(k)
	for first < end && k[first][cellMin]|k[first][cellMax] == 0 {
		first++
	}
	for first < end && k[end-1][cellMin]|k[end-1][cellMax] == 0 {
		end--
	}
	if first == end {
		return s, 0, false
	}
	k = k[first:end]
	days = days[:len(k)]
	for i := range k {
		k[i].unpack(&days[i])
		rejected += int(k[i][cellMin]&1) + int(k[i][cellMax]&1)
	}
	return weather.Series{
		Site: site, Start: start + weather.Date(first), Days: days, Sources: []weather.Site{site},
	}, rejected, true
}

// Eight bytes at a time. The constants repeat a byte eight times.
const (
	ones     = 0x0101010101010101
	highs    = 0x8080808080808080
	newlines = ones * '\n'
	commas   = ones * ','
	quotes   = ones * '"'
)

// word reads eight bytes, the first the lowest.
func word(b []byte, i int) uint64 { return binary.LittleEndian.Uint64(b[i:]) }

// zeros has the high bit set in every byte of x that is zero, and perhaps in
// bytes above one, so that the lowest set bit is right.
func zeros(x uint64) uint64 { return (x - ones) &^ x & highs }

// exactZeros has the high bit set in every byte of x that is zero, and no other.
func exactZeros(x uint64) uint64 { return ^(x&^highs + ^uint64(highs) | x | ^uint64(highs)) }

// gather multiplied by a word of zeros and ones, one a byte, has them in its
// highest byte, the lowest first.
const gather = 0x0102040810204080

// lowest returns the index of the lowest byte that zeros found.
func lowest(m uint64) int { return bits.TrailingZeros64(m) >> 3 }

// digits8 reads up to eight digits that fill v from its high end, zeros before
// them; false where one is none.
func digits8(v uint64, n int) (int, bool) {
	if n == 0 {
		return 0, false
	}
	empty := uint(64-8*n) & 63 // bits; the mask only spares the test for more
	v = v<<empty | ones*'0'&(1<<empty-1)
	if (v&(ones*0xf0))|(((v+ones*6)&(ones*0xf0))>>4) != ones*0x33 {
		return 0, false
	}
	v &= ones * 0x0f
	v = v * 2561 >> 8 & 0x00ff00ff00ff00ff
	v = v * 6553601 >> 16 & 0x0000ffff0000ffff
	return int(v * 42949672960001 >> 32 & 0xffffffff), true
}
