package format

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"sync"

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
type yearTable struct {
	Large
	file  string
	keys  []key2
	after []int32 // by station: the one that stood after it, plus 1
	slots []int32 // hash table of indices into keys, plus 1
	base  weather.Date
	rows  [][]dayCells // by day from base; nil where no line was met
	tally map[int32]*Tally

	lastDate uint64 // the digits last met
	row      []dayCells
	slow     *byYear
	sink     sink
}

func newYearTable(file string) *yearTable {
	t := &yearTable{file: file, slots: make([]int32, 1<<17), tally: map[int32]*Tally{}, slow: newByYear()}
	t.sink = sink{file: file, book: newBook()}
	return t
}

// hops is how far the order met is followed before the hash table is asked:
// our choice, stations that do not report every day lie between.
const hops = 4

// station returns the index of a station, and sets guess to it, which was that
// of the line before. Files go through their stations in the same order day by
// day, so the order is learnt and the next station seldom looked up. False
// where it is no identifier or there are too many.
func (t *yearTable) station(k key2, guess *int) (int, bool) {
	last := *guess
	if last < len(t.keys) && t.keys[last] == k {
		return last, true
	}
	next := 0
	if last < len(t.after) {
		next = int(t.after[last])
	}
	for range hops {
		if next == 0 {
			break
		}
		if t.keys[next-1] == k {
			*guess = next - 1
			return next - 1, true
		}
		next = int(t.after[next-1])
	}
	i, ok := t.lookup(k)
	if ok && i != last && last < len(t.after) {
		if t.after[i] == 0 {
			t.after[i] = t.after[last]
		}
		t.after[last] = int32(i) + 1
	}
	if ok {
		*guess = i
	}
	return i, ok
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
			t.slots[j] = int32(len(t.keys))
			return len(t.keys) - 1, true
		}
	}
}

// day returns the row of a date, nil where it is out of the table's reach.
func (t *yearTable) day(d weather.Date) []dayCells {
	if t.rows == nil {
		t.base = d - mostSpan/2
		t.rows = make([][]dayCells, mostSpan)
	}
	i := int(d - t.base)
	if i < 0 || i >= len(t.rows) {
		return nil
	}
	if t.rows[i] == nil {
		t.rows[i] = make([]dayCells, mostStations) // pages that no station needs are never touched
	}
	return t.rows[i]
}

// shortest is the length of the shortest line that fast reads, its end included.
const shortest = len("QZ000000001,20240101,TMAX,5,,,\n")

// parse reads whole lines from b[:end]; b is readable for slack bytes beyond.
func (t *yearTable) parse(b []byte, end int) error {
	guess := 0
	for p := 0; p < end; {
		n := lineEnd(b[p : end+slack])
		if n == 0 || p+n > end {
			n = end - p // the last line has no end
		}
		t.Lines++
		if n < shortest || !t.fast(b[p:p+n+slack], n, &guess) {
			if i := bytes.IndexByte(b[p:p+n], '\n'); i >= 0 { // lineEnd does not look at the first bytes
				n = i + 1
			}
			if err := t.careful(b[p:p+n], &guess); err != nil {
				return err
			}
		}
		p += n
	}
	return nil
}

// Element names as the four bytes of a word.
const (
	wordTMAX = 'T' | 'M'<<8 | 'A'<<16 | 'X'<<24
	wordTMIN = 'T' | 'M'<<8 | 'I'<<16 | 'N'<<24
	wordPRCP = 'P' | 'R'<<8 | 'C'<<16 | 'P'<<24
	wordTAVG = 'T' | 'A'<<8 | 'V'<<16 | 'G'<<24
	wordAWND = 'A' | 'W'<<8 | 'N'<<16 | 'D'<<24
)

// fast reads a line of n bytes as its publisher prints it: the first three
// fields have fixed width, the value up to five digits, and each flag at most
// one letter. It reports false for any other line, without having kept a thing.
func (t *yearTable) fast(b []byte, n int, guess *int) bool {
	_ = b[n+slack-1]
	if b[11] != ',' || b[20] != ',' || b[25] != ',' {
		return false
	}
	element := uint32(word(b, 21))
	at := cellRain
	switch element {
	case wordTMAX, wordTMIN, wordPRCP:
		// PRCP differs from the others in the lowest bit of its second letter,
		// TMIN from TMAX in the fourth of its third.
		rain := int(^element >> 8 & 1)
		at = rain<<1 | (1-rain)&^int(element>>19&1)
	case wordTAVG:
		at = cellMean
	case wordAWND:
		at = cellWind
	default:
		return zeros(word(b, 0)^newlines)|zeros(word(b, 8)^newlines)|zeros(word(b, 16)^newlines)|zeros(word(b, 20)^newlines) == 0
	}
	v := word(b, 26)
	c := lowest(zeros(v ^ commas))              // 8 where there is no comma
	neg := int((uint64(byte(v)^'-') - 1) >> 63) // 1 for a minus: frost is not to be foreseen by the processor
	if c > 7 || c-neg < 1 {
		return false
	}
	value, ok := digits8(v>>(8*uint(neg)), c-neg)
	value = (value ^ -neg) + neg
	rejected, whole := tail(b, n, 26+c+1)
	if !ok || !whole {
		return false
	}
	if value < leastTenths[at] || value > mostTenths[at] {
		return false
	}
	return t.keep(b, at, cell((value+offsets[at])<<1|rejected), guess)
}

// tail reads what stands behind the value, from p on: measurement, quality and
// source flag, each a letter or nothing, and a time of four digits or nothing.
// It reports false where anything else stands there.
func tail(b []byte, n, p int) (rejected int, ok bool) {
	var flags [3]int // 1 where there is one
	for i := range flags {
		if b[p] != ',' {
			if b[p] == '"' || b[p] <= ' ' {
				return 0, false
			}
			flags[i] = 1
			p++
		}
		if b[p] != ',' {
			return 0, false
		}
		p++
	}
	end := n - 1
	if p > end || b[end] != '\n' {
		return 0, false
	}
	if b[end-1] == '\r' {
		end--
	}
	const timeLength = 4
	return flags[1], p == end || p+timeLength == end && b[p] != '"' && lowest(zeros(word(b, p)^commas)) >= timeLength
}

// keep puts a cell that fast has read into the table; false where its line must
// be looked at with care.
func (t *yearTable) keep(b []byte, at int, c cell, guess *int) bool {
	if date := word(b, 12); date != t.lastDate {
		s := parseStamp(b[12:20], orderUnknown)
		if s.problem != "" {
			return false
		}
		row := t.day(s.date)
		if row == nil {
			return false
		}
		t.lastDate, t.row = date, row
	}
	k := key2{word(b, 0), word(b, 3)}
	i, ok := t.station(k, guess)
	if !ok {
		return false
	}
	if at < cellsADay { // the others are looked at for faults only
		t.put(i, at, c)
	}
	return true
}

// put keeps a cell in the present row and counts what comes twice.
func (t *yearTable) put(i, at int, c cell) {
	have := &t.row[i][at]
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
func (t *yearTable) careful(line []byte, guess *int) error {
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
		i, room := t.station(key2{word(id[:8], 0), word(id[3:], 0)}, guess)
		if row == nil || !room {
			return errNotLarge
		}
		t.lastDate, t.row = 0, row
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

// ReadByYear reads a by-year file of GHCN-Daily, as it is or packed by gzip. ok
// is false where the file is none or is beyond what this reader takes: then
// nothing of it counts, and Open has to read it from its start. The error is a
// *FileError.
func ReadByYear(in LargeSource) (l *Large, ok bool, err error) {
	if ra, size, ok := anywhere(in.Reader); ok {
		head := make([]byte, headOfYear)
		n, err := ra.ReadAt(head, 0)
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, false, (&File{name: in.Name}).broken(0, err)
		}
		if startsByYear(head[:n]) {
			return byYearShares(in, ra, size)
		}
		if !bytes.HasPrefix(head[:n], gzipMagic[:]) {
			return nil, false, nil
		}
	}
	return byYearStream(in)
}

// gzipMagic begins a gzip file (RFC 1952).
var gzipMagic = [2]byte{0x1f, 0x8b}

// headOfYear is how much is looked at to recognise a by-year file, bytes.
const headOfYear = 4096

// byYearShares reads a file in as many shares as there are workers.
func byYearShares(in LargeSource, ra io.ReaderAt, size int64) (*Large, bool, error) {
	workers := max(1, in.Workers)
	cuts, err := boundaries(ra, size, workers)
	if err != nil {
		return nil, false, (&File{name: in.Name}).broken(0, err)
	}
	tables := make([]*yearTable, workers)
	errs := make([]error, workers)
	var wg sync.WaitGroup
	for i := range tables {
		tables[i] = newYearTable(in.Name)
		share := io.NewSectionReader(ra, cuts[i], cuts[i+1]-cuts[i])
		wg.Go(func() { errs[i] = tables[i].read(share, in.Progress) })
	}
	wg.Wait()
	return joined(tables, errs, in.Name)
}

// byYearStream reads a file that comes through gzip, unpacking it beside the
// reading.
func byYearStream(in LargeSource) (*Large, bool, error) {
	br := bufio.NewReaderSize(&counted{in.Reader, in.Progress}, pieceSize)
	magic, _ := br.Peek(2)
	if !bytes.Equal(magic, gzipMagic[:]) {
		return nil, false, nil
	}
	z, err := gzip.NewReader(br)
	if err != nil {
		return nil, false, nil // Open words it
	}
	unpacked := newReadAhead(z)
	defer unpacked.close()
	head := bufio.NewReaderSize(unpacked, headOfYear)
	first, _ := head.Peek(headOfYear)
	if !startsByYear(first) {
		return nil, false, nil
	}
	t := newYearTable(in.Name)
	err = t.read(struct {
		io.Reader
		breaks
	}{head, unpacked}, nil)
	return joined([]*yearTable{t}, []error{err}, in.Name)
}

// breaks is a stream that may break off.
type breaks interface{ broken() error }

// counted tells of the bytes read.
type counted struct {
	r        io.Reader
	progress func(int64)
}

// Read reads and tells.
func (c *counted) Read(b []byte) (int, error) {
	n, err := c.r.Read(b)
	if c.progress != nil {
		c.progress(int64(n))
	}
	return n, err
}

// joined makes one answer of the parts of a file.
func joined(tables []*yearTable, errs []error, name string) (*Large, bool, error) {
	for _, err := range errs {
		if errors.Is(err, errNotLarge) {
			return nil, false, nil
		}
	}
	l := &Large{Layout: byYearName}
	for i, t := range tables {
		l.add(&t.Large, l.Lines)
		if errs[i] != nil {
			return nil, false, (&File{name: name}).broken(l.Lines, errs[i])
		}
	}
	s := joinStations(tables)
	l.Stations, l.each = len(s.keys), s.each
	return l, true, nil
}

// startsByYear looks at the first line that is no header.
func startsByYear(head []byte) bool {
	what, _ := notText(head)
	if what != "" || bytes.IndexByte(head, '\n') < 0 && bytes.IndexByte(head, '\r') >= 0 {
		return false
	}
	for _, line := range cutLines(head, false) {
		if len(line) == 0 || bytes.HasPrefix(line, []byte("ID,")) {
			continue
		}
		return isByYear(line)
	}
	return false
}
