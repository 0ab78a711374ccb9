package format

import (
	"bytes"
	"errors"
	"slices"

	"bloomtide/ingest/weather"
)

// The fields that stand before the elements in a by-station file: station,
// date, latitude, longitude, elevation, name.
const fieldsBefore = 6

// Lines that may be read with care before the file is left to Open: our
// choice. A file that is not as its publisher prints it would only be slow here.
const (
	fewCareful       = 50
	mostCarefulShare = 0.02
)

// use is what the fields of an element are to the reader.
type use struct {
	at   int8 // of cellMin to cellWind; -1: not read
	flag bool // the attributes of the element before
}

// stationReader holds what was read of one by-station file.
type stationReader struct {
	Large
	file    string
	room    *Room
	w       *wide // reads lines with care
	uses    []use // by field, from fieldsBefore on
	before  []byte
	between []byte // what stands between the date and the first element
	id      string
	start   weather.Date
	cells   []dayCells
	wind    []cell // by day from start to the last with wind; most files have none
	tally   Tally
	careful int
	year    yearStart
	sink    sink
}

// ReadStationCSV reads a by-station file of GHCN-Daily. ok is false where the
// file is none or has a fault or is not as its publisher prints it: then nothing
// of it counts, and Open has to read it from its start. The error is a
// *FileError.
func ReadStationCSV(in LargeSource) (l *Large, ok bool, err error) {
	room := in.take()
	t := &stationReader{file: in.Name, room: room, cells: room.cells[:0], wind: room.wind[:0]}
	t.sink = sink{file: in.Name, book: newBook()}
	err = eachPiece(in.Reader, room, func(b []byte, end int) error {
		if in.Progress != nil {
			in.Progress(int64(end))
		}
		return t.parse(b, end)
	})
	room.cells, room.wind = t.cells, t.wind
	switch {
	case errors.Is(err, errNotLarge), err == nil && t.id == "":
		return nil, false, nil
	case err != nil:
		return nil, false, (&File{name: in.Name}).broken(t.Lines, err)
	case t.mild():
		return nil, false, nil
	}
	t.Layout, t.Stations, t.each = stationName, 1, t.give
	return &t.Large, true, nil
}

// mild reports whether of nearly a year no extreme is beyond what °F can be, so
// that the values may be °F. Most files have one within days.
func (t *stationReader) mild() bool {
	n := 0
	for _, k := range t.cells {
		for _, c := range k[cellMin : cellMax+1] {
			if v := c.above(offsetT); v > hottestF || v < -hottestF {
				return false
			}
			n += c.some()
		}
	}
	return n >= nearlyAYear
}

// give hands out the one station.
func (t *stationReader) give(_ int, fn func(weather.Series, Tally) error) error {
	t.room.days = slices.Grow(t.room.days[:0], len(t.cells))[:len(t.cells)]
	s, rejected, ok := record(t.sink.book.sites[0], t.start, t.cells, t.room.days)
	if !ok {
		return nil
	}
	t.tally.Rejected = rejected
	for i, c := range t.wind {
		if at := i - int(s.Start-t.start); c != 0 && at >= 0 && at < len(s.Days) {
			c.blow(&s.Days[at])
		}
	}
	return fn(s, t.tally)
}

// parse reads whole lines from b[:end].
func (t *stationReader) parse(b []byte, end int) error {
	p := 0
	if t.w == nil {
		p = bytes.IndexByte(b[:end], '\n') + 1
		if p == 0 || !t.header(bytes.TrimRight(b[:p], "\r\n")) {
			return errNotLarge
		}
	}
	for p < end {
		n := bytes.IndexByte(b[p:end], '\n') + 1
		if n == 0 {
			n = end - p
		}
		t.Lines++
		if !t.fast(b[p:p+n+slack], n) {
			if err := t.carefully(b[p : p+n]); err != nil {
				return err
			}
		}
		p += n
	}
	return nil
}

// header takes the places of the elements from the header line. It reports
// false where the layout is another or the fields stand in another order.
func (t *stationReader) header(line []byte) bool {
	w, at := published([][]byte{line})
	if w == nil || at != 0 || w.layout.name != stationName || w.delim != ',' || w.id != 0 || w.date[0] != 1 {
		return false
	}
	t.w = w
	for range w.width - fieldsBefore {
		t.uses = append(t.uses, use{at: -1})
	}
	for i := range w.columns {
		c := &w.columns[i]
		if temperature(c.element) {
			c.unit = TenthsC
		}
		k := use{at: -1}
		switch c.element {
		case weather.TMin:
			k.at = cellMin
		case weather.TMax:
			k.at = cellMax
		case weather.Rain:
			k.at = cellRain
		case weather.TMean:
			k.at = cellMean
		case weather.Wind:
			k.at = cellWind
		}
		if k.at < 0 || c.at < fieldsBefore || c.flagAt != c.at+1 {
			return false
		}
		t.uses[c.at-fieldsBefore] = k
		t.uses[c.flagAt-fieldsBefore] = use{at: k.at, flag: true}
	}
	return len(t.uses) > 0 && max(w.label, w.lat, w.lon, w.elev) < fieldsBefore
}

// carefully gives a line to the reader that Open uses, and learns from it what
// stands around the date. A fault leaves the file to Open: how it reads numbers
// depends on many lines.
func (t *stationReader) carefully(line []byte) error {
	torn := len(line) == 0 || line[len(line)-1] != '\n'
	line = bytes.TrimSuffix(bytes.TrimSuffix(line, []byte{'\n'}), []byte{'\r'})
	k := &t.sink
	k.line, k.torn, k.out, k.faults, k.outOfRange = t.Lines+1, torn, k.out[:0], nil, 0
	t.w.row(bytes.Clone(line), k)
	t.careful++
	if len(k.faults) > 0 || t.w.joined || len(k.book.sites) > 1 ||
		t.careful > fewCareful && float64(t.careful) > mostCarefulShare*float64(t.Lines) {
		return errNotLarge
	}
	for i := range t.w.columns {
		if at := t.w.columns[i].at; at < len(t.w.fields) && bytes.IndexByte(t.w.fields[at], '.') >= 0 {
			return errNotLarge // decimals may mean another unit
		}
	}
	for _, r := range k.out {
		t.id = r.Station
		at, c, ok := pack(r)
		if !ok {
			continue
		}
		d := t.day(r.Date)
		if d == nil {
			return errNotLarge
		}
		if at == cellWind {
			t.blow(r.Date, c)
			continue
		}
		t.put(&d[at], c, at)
	}
	t.learn(line)
	return nil
}

// learn keeps what stands before the date and between it and the elements, if
// every field there is quoted and holds no quote.
func (t *stationReader) learn(line []byte) {
	t.before, t.between = nil, nil
	p := 0
	var begins [fieldsBefore]int
	for i := range begins {
		if p >= len(line) || line[p] != '"' {
			return
		}
		begins[i] = p
		n := bytes.IndexByte(line[p+1:], '"')
		if n < 0 {
			return
		}
		p += n + 2
		if p >= len(line) || line[p] != ',' {
			return
		}
		p++
	}
	const quotedDate = len(`"2006-01-02"`)
	if begins[2]-begins[1] != quotedDate+1 {
		return
	}
	t.before = bytes.Clone(line[:begins[1]+1])
	t.between = bytes.Clone(line[begins[1]+quotedDate-1 : p-1])
}

// day returns the cells of a date; nil where it lies before the first.
func (t *stationReader) day(d weather.Date) *dayCells {
	if len(t.cells) == 0 {
		t.start = d
	}
	i := int(d - t.start)
	switch {
	case i < 0:
		return nil
	case i == len(t.cells):
		t.cells = append(t.cells, dayCells{})
	case i > len(t.cells):
		n := len(t.cells)
		t.cells = slices.Grow(t.cells, i+1-n)[:i+1]
		clear(t.cells[n:])
	}
	return &t.cells[i]
}

// blow keeps wind of a day that has cells.
func (t *stationReader) blow(d weather.Date, c cell) {
	i := int(d - t.start)
	if n := len(t.wind); i >= n {
		t.wind = slices.Grow(t.wind, i+1-n)[:i+1]
		clear(t.wind[n:])
	}
	t.wind[i].put(c)
}

func (t *stationReader) put(have *cell, c cell, at int) {
	if *have == 0 {
		*have = c
		return
	}
	if again, differs := have.put(c); again && at != cellRain {
		t.tally.Duplicate++
		if differs {
			t.tally.Differing++
		}
	}
}

// fast reads a line of n bytes as its publisher prints it. It reports false for
// any other, without having kept a thing.
func (t *stationReader) fast(b []byte, n int) bool {
	const dateLength = len("2006-01-02")
	p := len(t.before)
	between := p + dateLength
	if p == 0 || between+len(t.between) >= n || !bytes.Equal(b[:p], t.before) ||
		!bytes.Equal(b[between:between+len(t.between)], t.between) {
		return false
	}
	date, ok := t.year.date(b[p:between])
	if !ok {
		return false
	}
	var all [cellKinds]cell
	if !t.elements(b, between+len(t.between), n, &all) {
		return false
	}
	d := t.day(date)
	if d == nil {
		return false
	}
	if c := all[cellWind]; c != 0 {
		t.blow(date, c)
	}
	found := dayCells(all[:cellsADay])
	if *d == (dayCells{}) {
		*d = found
		return true
	}
	for at, c := range found {
		if c != 0 {
			t.put(&d[at], c, at)
		}
	}
	return true
}

// elements reads the fields from p on, each a comma and a quoted text or
// nothing.
func (t *stationReader) elements(b []byte, p, n int, found *[cellKinds]cell) bool {
	for _, u := range t.uses {
		if b[p] != ',' {
			return false
		}
		p++
		if b[p] != '"' {
			if p < n && (b[p] == ',' || b[p] == '\n' || b[p] == '\r') {
				continue
			}
			return false
		}
		length := quotedLength(b, p+1)
		if length < 0 || p+length+2 > n {
			return false
		}
		if u.at >= 0 {
			field := b[p+1 : p+1+length]
			if u.flag {
				if found[u.at] != 0 && secondPart(field) {
					found[u.at] |= 1
				}
			} else if found[u.at], p = tenthsCell(b, p, length, int(u.at)); p < 0 {
				return false
			}
		}
		p += length + 2
	}
	return p+1 == n && b[p] == '\n' || p+2 == n && b[p] == '\r'
}

// quotedLength returns how many bytes stand before the closing quote, -1 where
// there are more than sixteen.
func quotedLength(b []byte, p int) int {
	if m := zeros(word(b, p) ^ quotes); m != 0 {
		return lowest(m)
	}
	if m := zeros(word(b, p+8) ^ quotes); m != 0 {
		return 8 + lowest(m)
	}
	return -1
}

// tenthsCell reads a padded whole number between quotes, the first at p. The
// second result is p, or -1 where the field must be looked at with care.
func tenthsCell(b []byte, p, length, at int) (cell, int) {
	if length < 1 || length > 8 {
		return 0, -1
	}
	v, digits := word(b, p+1), length
	for digits > 1 && byte(v) == ' ' {
		v >>= 8
		digits--
	}
	neg := int((uint64(byte(v)^'-') - 1) >> 63)
	value, ok := digits8(v>>(8*uint(neg)), digits-neg)
	value = (value ^ -neg) + neg
	if !ok || value < leastTenths[at] || value > mostTenths[at] {
		return 0, -1
	}
	return cell((value + offsets[at]) << 1), p
}

// yearStart remembers the days of the months of a year.
type yearStart struct {
	digits uint32
	months [13]weather.Date // the first of each month, from 1; [0] is not used
	days   [13]int
}

// date reads YYYY-MM-DD.
func (y *yearStart) date(b []byte) (weather.Date, bool) {
	_ = b[9]
	if b[4] != '-' || b[7] != '-' {
		return 0, false
	}
	m, okM := two(b[5], b[6])
	d, okD := two(b[8], b[9])
	if !okM || !okD || m < 1 || m > 12 {
		return 0, false
	}
	digits := uint32(b[0]) | uint32(b[1])<<8 | uint32(b[2])<<16 | uint32(b[3])<<24
	if digits != y.digits && !y.turn(b[:4]) {
		return 0, false
	}
	y.digits = digits
	if d < 1 || d > y.days[m] {
		return 0, false
	}
	return y.months[m] + weather.Date(d-1), true
}

// turn goes to another year.
func (y *yearStart) turn(b []byte) bool {
	year, ok := whole(b)
	if !ok {
		return false
	}
	y.digits = 0
	for m := 1; m <= 12; m++ {
		first, problem := civil(year, m, 1)
		if problem != "" {
			return false
		}
		y.months[m], y.days[m] = first, weather.DaysIn(year, first.Time().Month())
	}
	return true
}

func two(a, b byte) (int, bool) {
	return int(a-'0')*10 + int(b-'0'), a-'0' <= 9 && b-'0' <= 9
}
