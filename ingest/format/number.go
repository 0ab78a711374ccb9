package format

import "strconv"

// maxDigits is how many decimal digits a float64 holds exactly.
const maxDigits = 15

// pow10 are the powers of ten that a float64 holds exactly and that a number of
// maxDigits can need.
var pow10 = [maxDigits + 1]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// number reads a decimal number. point is the decimal mark, '.' or ','.
// The value is the float64 nearest to the text, as strconv gives it.
func number(b []byte, point byte) (v float64, ok bool) {
	i, neg := 0, false
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		neg = b[0] == '-'
		i++
	}
	var mant uint64
	digits, frac, seen := 0, 0, false
	for ; i < len(b); i++ {
		c := b[i]
		if c >= '0' && c <= '9' {
			mant = mant*10 + uint64(c-'0')
			digits++
			if seen {
				frac++
			}
			if digits > maxDigits {
				return longNumber(b, point)
			}
			continue
		}
		if c != point || seen {
			return longNumber(b, point)
		}
		seen = true
	}
	if digits == 0 {
		return 0, false
	}
	v = float64(mant) / pow10[frac]
	if neg {
		v = -v
	}
	return v, true
}

// longNumber reads what has an exponent or more digits than number can hold.
func longNumber(b []byte, point byte) (v float64, ok bool) {
	if len(b) > 40 {
		return 0, false
	}
	buf := make([]byte, 0, 40)
	for _, c := range b {
		switch {
		case c == point:
			c = '.'
		case c >= '0' && c <= '9', c == '-', c == '+', c == 'e', c == 'E':
		default: // keeps out hex, underscores, inf and nan
			return 0, false
		}
		buf = append(buf, c)
	}
	v, err := strconv.ParseFloat(string(buf), 64)
	return v, err == nil
}

// missing reports whether a trimmed cell says that there is no value, in words
// that no publisher uses for anything else.
func missing(b []byte) bool {
	switch len(b) {
	case 0:
		return true
	case 1:
		return b[0] == '-' || b[0] == '.' || b[0] == 'M' || b[0] == 'm' || b[0] == '?'
	case 2, 3, 4, 7:
		switch string(b) {
		case "NA", "na", "N/A", "n/a", "NaN", "nan", "NAN", "--", "---", "null", "NULL", "None", "none", "#N/A", "missing", "Missing":
			return true
		}
	}
	return false
}

// sentinel reports whether a number is one of those that publishers print for
// "no value". All lie outside what is measured in whole units, but in tenths
// -99 is -9.9 °C and 999 is 99.9 mm.
func (c *bound) sentinel(v float64) bool {
	if v > -99 && v < 999 {
		return false
	}
	switch v {
	case -999, -999.9, -999.99, -9999, -9999.9, -99999, -32768:
		return true
	case -99, -99.9, -99.99:
		return c.unit != TenthsC
	case 999, 999.9, 999.99, 9999, 9999.9, 99999, 99999.9:
		return c.scale != tenth
	}
	return false
}
