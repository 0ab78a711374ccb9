package format

import (
	"bytes"
	"io"

	"bloomtide/ingest/weather"
)

// Bounds of the table that a reader of by-year files fills: more stations than
// GHCN-Daily has in any year (under 50,000), and two years of days.
const (
	mostStations = 1 << 16
	mostSpan     = 2 * 366
)

// key is an identifier of eleven bytes as two overlapping words.
type key2 struct{ a, b uint64 }

// yearTable holds what one goroutine read of a by-year file: a row of stations
// for each day, since the file goes by day or by station within few days.
//
// Most stations report rain alone, and memory that is touched for the first
// time is most of what such a table costs. So a station has a place for rain by
// its index, and one for temperatures only from its first on.
type yearTable struct {
	Large
	file   string
	dry    bool      // rain and wind are looked at for faults, not kept
	met    []station // the first is none
	warmed int32     // stations with temperatures
	slots  []int32   // hash table of indices into met; 0 for none
	base   weather.Date
	rows   []*yearRow // by day from base; nil where no line was met
	tally  map[int32]*Tally
	winds  []wind // in the order of the file

	lastDate uint64       // the digits last met; they count only while row is there
	row      *yearRow     // of today, or nil
	today    weather.Date // of row
	last     int32        // index of the station of the line before; 0 before any
	slow     *byYear
	sink     sink
	keepRain int // all bits unless dry
	_        apart
}

// apart keeps what stands behind it off the lines of cache before it, of which
// processors of today fetch two at a time, 128 bytes: else two goroutines that
// each write into a table of their own would wait for each other.
type apart [128]byte

// station is one that a table has met.
type station struct {
	key   key2
	after int32 // the index of the one that stood after it; 0 for none
	warm  int32 // its number among those with temperatures, from 1; 0 for none
}

// none is the key of the first in a table, which no identifier has: the bytes
// that its words share differ.
var none = key2{0, ^uint64(0)}

// yearRow is one day of all stations: rain, then the extremes in the order of
// cells. Pages that no station needs are never touched.
type yearRow [mostStations * cellsADay]cell

// warmAt is where the extremes of a station begin, by its number from 1. At 0,
// where a station has none, nothing lies, since no table takes so many stations.
func warmAt(warm int32) int { return mostStations + 2*(int(warm)-1) }

// skewed is a row that begins elsewhere within a page than the one before, so
// that the days of one station do not share few lines of a cache.
func skewed(day int) *yearRow {
	const (
		lines = 64 // of a page
		line  = 32 // cells
	)
	room := make([]cell, len(yearRow{})+lines*line)
	return (*yearRow)(room[day%lines*line:])
}

// touch writes once to every page of a new row that the stations met so far
// will need. A cell is read before it is written, and memory of which the first
// thing is a reading is mapped twice, the second time in all processors.
func (t *yearTable) touch(row *yearRow) {
	const page = 2048 // cells of the smallest page in use, 4096 bytes; larger ones are only written more often
	if !t.dry {
		for i := 0; i < len(t.met); i += page {
			row[i] = 0
		}
	}
	for i := warmAt(1); i < warmAt(t.warmed+1); i += page {
		row[i] = 0
	}
}

func newYearTable(in *LargeSource) *yearTable {
	t := &yearTable{
		file: in.Name, dry: in.NoRain, slots: make([]int32, 1<<17), tally: map[int32]*Tally{}, slow: newByYear(),
		met: make([]station, 1, mostStations), // whole at once: what is not needed of it is never touched
	}
	t.met[0].key = none
	if !t.dry {
		t.keepRain = -1
	}
	t.sink = sink{file: in.Name, book: newBook()}
	return t
}

// hops is how far the order met is followed before the hash table is asked:
// our choice, stations that do not report every day lie between.
const hops = 8

// station returns the index of a station, which is often neither that of the line
// before nor the one that stood after it. Files go through their stations in the
// same order day by day, so the order is learnt and the next station seldom
// looked up. False where it is no identifier or there are too many.
func (t *yearTable) station(k key2) (int32, bool) {
	last := t.last
	next := last
	for range hops {
		if t.met[next].key == k {
			return next, true
		}
		next = t.met[next].after
	}
	i, ok := t.lookup(k)
	if ok && i != last {
		if t.met[i].after == 0 {
			t.met[i].after = t.met[last].after
		}
		t.met[last].after = i
	}
	return i, ok
}

// lookup finds a station in the hash table, or enters it.
func (t *yearTable) lookup(k key2) (int32, bool) {
	mask := uint64(len(t.slots) - 1)
	const odd = 0x9E3779B97F4A7C15 // 2^64 divided by the golden ratio, to spread the bits
	for j := (k.a*odd ^ k.b) * odd >> 40 & mask; ; j = (j + 1) & mask {
		i := t.slots[j]
		switch {
		case i > 0 && t.met[i].key == k:
			return i, true
		case i == 0 && (len(t.met) == mostStations-2 || !k.valid()):
			return 0, false
		case i == 0:
			i = int32(len(t.met))
			t.met = append(t.met, station{key: k})
			t.slots[j] = i
			return i, true
		}
	}
}

// day returns the row of a date, nil where it is out of the table's reach.
func (t *yearTable) day(d weather.Date) *yearRow {
	if t.rows == nil {
		t.base = d - mostSpan/2
		t.rows = make([]*yearRow, mostSpan)
	}
	i := int(d - t.base)
	if i < 0 || i >= len(t.rows) {
		return nil
	}
	if t.rows[i] == nil {
		t.rows[i] = skewed(i)
		t.touch(t.rows[i])
	}
	return t.rows[i]
}

// rowOf returns the row of a date, nil where no line of it was met.
func (t *yearTable) rowOf(d weather.Date) *yearRow {
	if i := int(d - t.base); i >= 0 && i < len(t.rows) {
		return t.rows[i]
	}
	return nil
}

// place returns where a cell of a station, an extreme or rain, lies in a row. Rain that is not kept
// lies in the first, as nothing. What element a line has is no jump, since it is
// not to be foreseen.
func (t *yearTable) place(i int32, at int, c cell) (int, cell) {
	s := &t.met[i]
	if (int(s.warm)-1)&(at-cellRain) < 0 { // its first extreme
		t.warmed++
		s.warm = t.warmed
	}
	rain := -(at >> 1) // all bits for rain, none for an extreme
	to := warmAt(s.warm) + at
	to ^= (to ^ int(i)&t.keepRain) & rain
	return to, c & cell(t.keepRain|^rain)
}

// blow keeps wind of the present day.
func (t *yearTable) blow(i int32, c cell) {
	if !t.dry {
		t.winds = append(t.winds, wind{i, uint16(t.today - t.base), c})
	}
}

// put keeps a cell in the present row and counts what comes twice.
func (t *yearTable) put(i int32, at int, c cell) {
	to, c := t.place(i, at, c)
	if have := &t.row[to]; *have == 0 {
		*have = c
	} else {
		t.again(have, i, at, c)
	}
}

// again keeps a cell where there is one.
func (t *yearTable) again(have *cell, i int32, at int, c cell) {
	again, differs := have.put(c)
	if !again || at == cellRain {
		return
	}
	n := t.tally[i]
	if n == nil {
		n = &Tally{}
		t.tally[i] = n
	}
	n.Duplicate++
	if differs {
		n.Differing++
	}
}

// careful gives a line to the reader that names every fault.
func (t *yearTable) careful(line []byte) error {
	line = bytes.TrimSuffix(bytes.TrimSuffix(line, []byte{'\n'}), []byte{'\r'})
	k := &t.sink
	k.line, k.out, k.faults, k.outOfRange = t.Lines, k.out[:0], nil, 0
	t.slow.row(bytes.Clone(line), k)
	t.fault(k.faults)
	t.OutOfRange += k.outOfRange
	for _, r := range k.out {
		at, c, ok := pack(r)
		if !ok {
			continue
		}
		var id [11]byte
		if copy(id[:], r.Station) != len(id) || len(r.Station) != len(id) {
			return errNotLarge
		}
		row := t.day(r.Date)
		i, room := t.station(key2{word(id[:8], 0), word(id[3:], 0)})
		if row == nil || !room {
			return errNotLarge
		}
		t.last, t.row, t.today = i, row, r.Date
		t.keep(i, at, c)
		t.row = nil // its digits are not in lastDate
	}
	return nil
}

// read reads all lines of r.
func (t *yearTable) read(r io.Reader, progress func(int64)) error {
	return eachPiece(r, new(Room), func(b []byte, end int) error {
		if progress != nil {
			progress(int64(end))
		}
		return t.parse(b, end)
	})
}
