package format

import (
	"bytes"
	"encoding/binary"
	"math/bits"
)

// lineRoom is how much of a line is looked at, bytes: the longest as the
// publisher prints it, with a value of five digits, has 44 with its end.
const lineRoom = slack

// Where the fields of a line stand that have fixed places: the identifier at 0,
// each after a comma.
const (
	dateAt    = 12
	elementAt = 21
	valueAt   = 26
	endFrom   = 32 // the end of the shortest line with all its commas and a source stands here or later
)

// element is what a line may give, by its name as the four bytes of a word.
type element struct {
	name        uint32
	at          int // of its cell
	least, span int // tenths: the smallest that is in bounds, and from it to the largest
}

// elements are those that are read, by three bits of the name that differ among
// them.
var elements = elementsByName()

func elementsByName() (all [8]element) {
	for name, at := range map[string]int{
		"TMAX": cellMax, "TMIN": cellMin, "PRCP": cellRain, "TAVG": cellMean, "AWND": cellWind,
	} {
		w := binary.LittleEndian.Uint32([]byte(name))
		all[elementNumber(w)] = element{w, at, leastTenths[at], mostTenths[at] - leastTenths[at]}
	}
	return all
}

func elementNumber(name uint32) uint32 { return name >> 17 & 7 }

// parse reads whole lines from b[:end]; b is readable for slack bytes beyond.
func (t *yearTable) parse(b []byte, end int) error {
	for p := 0; p < end; {
		t.Lines++
		if n := t.fast((*[lineRoom]byte)(b[p:]), end-p); n > 0 {
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

// fast reads the line that l begins with, of at most room bytes, as its publisher
// prints it: the first three fields have fixed width, the value up to four
// digits, each flag at most one letter, the time four digits or none. It returns
// the length with the line's end, or 0 for any other line, without having kept a
// thing.
//
// What differs from line to line, such as sign and flags, is no jump, since the
// processor could not foresee it; and what it calls for every line is made a part
// of it by the compiler (a test of speed shows when it is not).
func (t *yearTable) fast(l *[lineRoom]byte, room int) int {
	ends, end := zeros(word(l[:], endFrom)^newlines), endFrom
	if ends == 0 {
		ends, end = zeros(word(l[:], endFrom+8)^newlines), endFrom+8
	}
	end += lowest(ends)
	if ends == 0 || end >= room || l[dateAt-1] != ',' || l[elementAt-1] != ',' || l[valueAt-1] != ',' {
		return 0
	}
	name := uint32(word(l[:], elementAt))
	e := &elements[elementNumber(name)]
	if e.name != name {
		if anyEnd(word(l[:], 0), word(l[:], 8), word(l[:], 16), word(l[:], endFrom-8)) {
			return 0
		}
		return end + 1
	}
	v := word(l[:], valueAt)
	length, minus := extent(v)
	value, number := amount(v, length, minus)
	above := value - e.least
	p := valueAt + length/8 + 1
	behind := word(l[:], p&(lineRoom/2-1))
	commasAt := exactZeros(behind^commas) >> 7
	f := &forms[commasAt*gather>>56]
	last := end
	if l[end-1] == '\r' {
		last--
	}
	timed := last - p - int(f.length)
	if !number || timed&^timeLength != 0 || !clean(behind, commasAt, last-p) || uint(above) > uint(e.span) {
		return 0
	}
	if last-p > 8 && !alnum(l[p+8:last]) {
		return 0
	}
	if date := word(l[:], dateAt); (date != t.lastDate || t.row == nil) && !t.turn(date, l) {
		return 0
	}
	i := t.likely(word(l[:], 0), word(l[:], 3))
	if s := &t.met[i]; s.key.a != word(l[:], 0) || s.key.b != word(l[:], 3) {
		var ok bool
		if i, ok = t.station(key2{word(l[:], 0), word(l[:], 3)}); !ok {
			return 0
		}
	}
	t.last = i
	c := cell((above+1)<<1 | int(f.rejected))
	if e.at >= cellsADay {
		t.keep(i, e.at, c)
		return end + 1
	}
	to, c := t.place(i, e.at, c)
	if have := &t.row[to]; *have == 0 {
		*have = c
	} else {
		t.again(have, i, e.at, c)
	}
	return end + 1
}

// anyEnd reports whether any byte may be a newline: whether there is one up to
// it.
func anyEnd(a, b, c, d uint64) bool {
	const beyond = ones * ('\n' + 1)
	return ((a-beyond)&^a|(b-beyond)&^b|(c-beyond)&^c|(d-beyond)&^d)&highs != 0
}

// extent returns how long a value is, in bits to its comma, 64 or more where
// there is none, and 1 where it has a minus.
func extent(v uint64) (length, minus int) {
	return bits.TrailingZeros64(zeros(v^commas)) &^ 7, int((uint64(byte(v)^'-') - 1) >> 63)
}

// amount reads a whole number of up to four digits; false for anything else.
func amount(v uint64, length, minus int) (value int, ok bool) {
	const (
		most  = 32 // bits of four digits
		zeros = 0x30303030
		above = 0x76767676 // added to a byte from 10 on, it sets the highest bit
		high  = 0x80808080
	)
	free := uint(most + 8*minus - length)
	x := (uint32(v>>(8*uint(minus)&63)) ^ zeros) << (free & 31)
	ok = free < most && (x+above|x)&high == 0
	x = x * 2561 >> 8 & 0x00ff00ff
	value = int(uint64(x)*6553601>>16) & 0xffff
	return (value ^ -minus) + minus, ok
}

// timeLength is how long the time of observation is, where there is one, bytes.
const timeLength = 4

// clean reports whether the first n bytes of w, up to eight, have neither quotes
// nor blanks, but what is from the digits on; commas may stand where they were
// found.
func clean(w, commasAt uint64, n int) bool {
	w += commasAt * ('0' - ',')
	w |= ^uint64(0) << (8 * uint(n))
	return (w-ones*'0')&^w&highs == 0
}

// alnum reports the same of any length, without commas.
func alnum(b []byte) bool {
	for _, c := range b {
		if c < '0' {
			return false
		}
	}
	return true
}

// form is how long three flags are with the comma after each, by where commas
// stand among eight bytes, and whether the second, of quality, is there. A
// length beyond the line is for what no flags look like.
type form struct{ length, rejected uint8 }

var forms = flagForms()

func flagForms() (all [1 << 8]form) {
	for commas := range all {
		p, rejected, ok := 0, 0, true
		for field := range 3 {
			letter := ^commas >> p & 1
			p += letter
			rejected |= letter & field & 1
			ok = ok && commas>>p&1 == 1
			p++
		}
		if ok = ok && commas>>p == 0; !ok {
			p = lineRoom
		}
		all[commas] = form{uint8(p), uint8(rejected)}
	}
	return all
}

// turn goes to another day; false where there is none.
func (t *yearTable) turn(digits uint64, l *[lineRoom]byte) bool {
	s := parseStamp(l[dateAt:dateAt+8], orderUnknown)
	if s.problem != "" {
		return false
	}
	row := t.day(s.date)
	if row == nil {
		return false
	}
	t.lastDate, t.row, t.today = digits, row, s.date
	return true
}

// likely returns which station it should be: that of the line before, or the one
// that stood after it.
func (t *yearTable) likely(a, b uint64) int32 {
	last := &t.met[t.last]
	differ := last.key.a ^ a | last.key.b ^ b
	return t.last ^ (t.last^last.after)&int32(int64(differ|-differ)>>63)
}

// keep keeps a cell of the present day.
func (t *yearTable) keep(i int32, at int, c cell) {
	if at < cellsADay {
		t.put(i, at, c)
	} else if at == cellWind { // of the mean only faults matter
		t.blow(i, c)
	}
}
