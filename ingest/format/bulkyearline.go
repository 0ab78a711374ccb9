package format

import "bytes"

// lineRoom is how much of a line is looked at, bytes: the longest as the
// publisher prints it, with a value of five digits, has 44 with its end.
const lineRoom = slack

// Where the fields of a line stand that have fixed places: the identifier at 0,
// each after a comma.
const (
	dateAt    = 12
	elementAt = 21
	valueAt   = 26
	endFrom   = 28 // the end of the shortest line stands here or later
)

// Element names as the four bytes of a word.
const (
	wordTMAX = 'T' | 'M'<<8 | 'A'<<16 | 'X'<<24
	wordTMIN = 'T' | 'M'<<8 | 'I'<<16 | 'N'<<24
	wordPRCP = 'P' | 'R'<<8 | 'C'<<16 | 'P'<<24
	wordTAVG = 'T' | 'A'<<8 | 'V'<<16 | 'G'<<24
	wordAWND = 'A' | 'W'<<8 | 'N'<<16 | 'D'<<24
)

// parse reads whole lines from b[:end]; b is readable for slack bytes beyond.
func (t *yearTable) parse(b []byte, end int) error {
	for p := 0; p < end; {
		t.Lines++
		if n := t.fast((*[lineRoom]byte)(b[p:])); n > 0 && p+n <= end {
			p += n
			continue
		}
		n := bytes.IndexByte(b[p:end], '\n') + 1
		if n == 0 {
			n = end - p // the last line has no end
		}
		if err := t.careful(b[p : p+n]); err != nil {
			return err
		}
		p += n
	}
	return nil
}

// fast reads the line that l begins with as its publisher prints it: the first
// three fields have fixed width, the value up to five digits, each flag at most
// one letter, the time four digits or none. It returns the length with the
// line's end, or 0 for any other line, without having kept a thing.
func (t *yearTable) fast(l *[lineRoom]byte) int {
	b := l[:]
	m, end := zeros(word(b, endFrom)^newlines), endFrom
	if m == 0 {
		m, end = zeros(word(b, endFrom+8)^newlines), endFrom+8
	}
	end += lowest(m)
	if m == 0 || b[dateAt-1] != ',' || b[elementAt-1] != ',' || b[valueAt-1] != ',' {
		return 0
	}
	element := uint32(word(b, elementAt))
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
		if endsBefore(b) {
			return 0
		}
		return end + 1
	}
	v := word(b, valueAt)
	length := lowest(zeros(v ^ commas))         // 8 where there is no comma
	neg := int((uint64(byte(v)^'-') - 1) >> 63) // 1 for a minus: frost is not to be foreseen by the processor
	if length > 7 || length-neg < 1 {
		return 0
	}
	value, ok := digits8(v>>(8*uint(neg)), length-neg)
	value = (value ^ -neg) + neg
	rejected, whole := tail(l, end, valueAt+length+1)
	if !ok || !whole || value < leastTenths[at] || value > mostTenths[at] {
		return 0
	}
	if !t.keep(l, at, cell((value+offsets[at])<<1|rejected)) {
		return 0
	}
	return end + 1
}

// endsBefore reports whether the line has its end before endFrom.
func endsBefore(b []byte) bool {
	return zeros(word(b, 0)^newlines)|zeros(word(b, 8)^newlines)|zeros(word(b, 16)^newlines)|zeros(word(b, endFrom-8)^newlines) != 0
}

// tail reads what stands behind the value, from p to the line's end:
// measurement, quality and source flag, each a letter or nothing, and a time of
// four digits or nothing. It reports false where anything else stands there.
func tail(l *[lineRoom]byte, end, p int) (rejected int, ok bool) {
	var flags [3]int // 1 where there is one
	for i := range flags {
		if l[p&(lineRoom-1)] != ',' {
			if l[p&(lineRoom-1)] == '"' || l[p&(lineRoom-1)] <= ' ' {
				return 0, false
			}
			flags[i] = 1
			p++
		}
		if l[p&(lineRoom-1)] != ',' {
			return 0, false
		}
		p++
	}
	if p > end {
		return 0, false
	}
	if l[end-1] == '\r' {
		end--
	}
	const timeLength = 4
	return flags[1], p == end || p+timeLength == end && l[p] != '"' && lowest(zeros(word(l[:], p)^commas)) >= timeLength
}

// keep puts a cell that fast has read into the table; false where its line must
// be looked at with care.
func (t *yearTable) keep(l *[lineRoom]byte, at int, c cell) bool {
	if date := word(l[:], dateAt); date != t.lastDate {
		s := parseStamp(l[dateAt:dateAt+8], orderUnknown)
		if s.problem != "" {
			return false
		}
		row := t.day(s.date)
		if row == nil {
			return false
		}
		t.lastDate, t.row, t.today = date, row, s.date
	}
	i := int(t.last) - 1
	if k := (key2{word(l[:], 0), word(l[:], 3)}); k != t.lastKey || i < 0 {
		var ok bool
		if i, ok = t.station(k); !ok {
			return false
		}
	}
	if at < cellsADay {
		t.put(i, at, c)
	} else if at == cellWind { // of the mean only faults matter
		t.blow(i, c)
	}
	return true
}
