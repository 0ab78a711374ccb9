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
	dry    bool // rain and wind are looked at for faults, not kept
	keys   []key2
	after  []int32 // by station: the one that stood after it, plus 1
	warm   []int32 // by station: its number among those with temperatures, plus 1; 0 for none
	warmed int32   // stations with temperatures
	slots  []int32 // hash table of indices into keys, plus 1
	base   weather.Date
	rows   []*yearRow // by day from base; nil where no line was met
	tally  map[int32]*Tally
	winds  []wind // in the order of the file

	lastDate uint64 // the digits last met; 0 before any
	row      *yearRow
	today    weather.Date // of row
	lastKey  key2
	last     int32 // index of lastKey, plus 1; 0 before any
	slow     *byYear
	sink     sink
}

// yearRow is one day of all stations: rain, then the extremes in the order of
// cells. Pages that no station needs are never touched.
type yearRow [mostStations * cellsADay]cell

// warmAt is where the extremes of a station begin, by its number plus 1.
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

func newYearTable(in *LargeSource) *yearTable {
	t := &yearTable{
		file: in.Name, dry: in.NoRain, slots: make([]int32, 1<<17), tally: map[int32]*Tally{}, slow: newByYear(),
		// Whole at once: what is not needed of them is never touched.
		keys: make([]key2, 0, mostStations), after: make([]int32, 0, mostStations), warm: make([]int32, 0, mostStations),
	}
	t.sink = sink{file: in.Name, book: newBook()}
	return t
}

// hops is how far the order met is followed before the hash table is asked:
// our choice, stations that do not report every day lie between.
const hops = 8

// station returns the index of a station other than that of the line before.
// Files go through their stations in the same order day by day, so the order is
// learnt and the next station seldom looked up. False where it is no identifier
// or there are too many.
func (t *yearTable) station(k key2) (int, bool) {
	last := int(t.last) - 1
	next := int32(0)
	if last >= 0 {
		next = t.after[last]
	}
	for range hops {
		if next == 0 {
			break
		}
		if have := &t.keys[next-1]; (have.a^k.a)|(have.b^k.b) == 0 {
			t.last, t.lastKey = next, k
			return int(next) - 1, true
		}
		next = t.after[next-1]
	}
	i, ok := t.lookup(k)
	if !ok {
		return 0, false
	}
	if last >= 0 && i != last {
		if t.after[i] == 0 {
			t.after[i] = t.after[last]
		}
		t.after[last] = int32(i) + 1
	}
	t.last, t.lastKey = int32(i)+1, k
	return i, true
}

// lookup finds a station in the hash table, or enters it.
func (t *yearTable) lookup(k key2) (int, bool) {
	mask := uint64(len(t.slots) - 1)
	const odd = 0x9E3779B97F4A7C15 // 2^64 divided by the golden ratio, to spread the bits
	for j := (k.a*odd ^ k.b) * odd >> 40 & mask; ; j = (j + 1) & mask {
		i := int(t.slots[j]) - 1
		switch {
		case i >= 0 && t.keys[i] == k:
			return i, true
		case i < 0 && (len(t.keys) == mostStations || !k.valid()):
			return 0, false
		case i < 0:
			t.keys = append(t.keys, k)
			t.after = append(t.after, 0)
			t.warm = append(t.warm, 0)
			t.slots[j] = int32(len(t.keys))
			return len(t.keys) - 1, true
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
	}
	return t.rows[i]
}

// place returns where a cell of a station lies in a row. Rain that is not kept
// lies in the first, as nothing.
func (t *yearTable) place(i, at int, c cell) (int, cell) {
	w := t.warm[i]
	if w == 0 && at != cellRain {
		t.warmed++
		w = t.warmed
		t.warm[i] = w
	}
	to := warmAt(w) + at
	if at == cellRain { // neither is a jump: what the line holds is not to be foreseen
		to = i
	}
	if at == cellRain && t.dry {
		to, c = 0, 0
	}
	return to, c
}

// blow keeps wind of the present day.
func (t *yearTable) blow(i int, c cell) {
	if !t.dry {
		t.winds = append(t.winds, wind{int32(i), uint16(t.today - t.base), c})
	}
}

// put keeps a cell in the present row and counts what comes twice.
func (t *yearTable) put(i, at int, c cell) {
	to, c := t.place(i, at, c)
	have := &t.row[to]
	if *have == 0 {
		*have = c
		return
	}
	if again, differs := have.put(c); again && at != cellRain {
		n := t.tally[int32(i)]
		if n == nil {
			n = &Tally{}
			t.tally[int32(i)] = n
		}
		n.Duplicate++
		if differs {
			n.Differing++
		}
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
		t.lastDate, t.row, t.today = 0, row, r.Date
		if at == cellWind {
			t.blow(i, c)
			continue
		}
		t.put(i, at, c)
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
