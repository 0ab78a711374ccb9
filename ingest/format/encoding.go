package format

import (
	"bytes"
	"io"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// text makes a string of bytes in UTF-8 or Latin-1. Characters that steer a
// terminal or turn the direction of writing are left out, since names go from
// files into messages and tables.
func text(b []byte) string {
	s := string(b)
	if !utf8.Valid(b) {
		r := make([]rune, len(b))
		for i, c := range b {
			r[i] = rune(c)
		}
		s = string(r)
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) {
			return -1
		}
		return r
	}, s)
}

// wideChars turns UTF-16, which some office programs write, into UTF-8.
type wideChars struct {
	r    io.Reader
	big  bool
	odd  []byte // a byte left over
	high uint16 // the first half of a pair
	out  []byte
}

func (u *wideChars) Read(p []byte) (int, error) {
	for len(u.out) == 0 {
		var buf [4096]byte
		n := copy(buf[:], u.odd)
		m, err := u.r.Read(buf[n:])
		n += m
		u.decode(buf[:n&^1])
		u.odd = bytes.Clone(buf[n&^1 : n])
		if err != nil && len(u.out) == 0 {
			return 0, err
		}
	}
	n := copy(p, u.out)
	u.out = u.out[n:]
	return n, nil
}

func (u *wideChars) decode(b []byte) {
	for i := 0; i+1 < len(b); i += 2 {
		c := uint16(b[i]) | uint16(b[i+1])<<8
		if u.big {
			c = uint16(b[i])<<8 | uint16(b[i+1])
		}
		switch {
		case c == 0xfeff:
		case u.high != 0:
			u.out = append(u.out, string(utf16.DecodeRune(rune(u.high), rune(c)))...)
			u.high = 0
		case utf16.IsSurrogate(rune(c)):
			u.high = c
		default:
			u.out = append(u.out, string(rune(c))...)
		}
	}
}
