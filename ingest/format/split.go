package format

import "bytes"

// split cuts one line into fields at delim and takes quotes away, as RFC 4180
// has it for a record of one line. The fields are parts of line, which is
// changed in place where a quoted field holds a doubled quote. Spaces before
// an opening quote belong to no field. A quote that is never closed runs to
// the end of the line: telling the reader is left to the field that is wrong.
func split(dst [][]byte, line []byte, delim byte) [][]byte {
	i := 0
	for {
		if i < len(line) && line[i] == '"' {
			var field []byte
			field, i = quoted(line, i, delim)
			dst = append(dst, field)
		} else {
			end := i
			for end < len(line) && line[end] != delim {
				end++
			}
			dst = append(dst, line[i:end])
			i = end
		}
		if i >= len(line) {
			return dst
		}
		i++ // over the delimiter
	}
}

// quoted reads the field whose opening quote is line[i] and returns it with
// the index of the delimiter after it.
func quoted(line []byte, i int, delim byte) (field []byte, next int) {
	start := i + 1
	rest := line[start:]
	q := bytes.IndexByte(rest, '"')
	if q < 0 {
		return rest, len(line)
	}
	next = start + q + 1
	if next >= len(line) || line[next] == delim {
		return rest[:q], next
	}
	return unescape(line, start, delim)
}

// unescape is the slow way of quoted, for fields that hold quotes.
func unescape(line []byte, start int, delim byte) (field []byte, next int) {
	out := start
	for i := start; i < len(line); i++ {
		if line[i] != '"' {
			line[out] = line[i]
			out++
			continue
		}
		switch {
		case i+1 < len(line) && line[i+1] == '"':
			line[out] = '"'
			out++
			i++
		case i+1 >= len(line) || line[i+1] == delim:
			return line[start:out], i + 1
		default: // a lone quote inside the field is kept as text
			line[out] = '"'
			out++
		}
	}
	return line[start:out], len(line)
}

// trim cuts spaces and tabs off both ends.
func trim(b []byte) []byte {
	for len(b) > 0 && (b[0] == ' ' || b[0] == '\t') {
		b = b[1:]
	}
	for len(b) > 0 && (b[len(b)-1] == ' ' || b[len(b)-1] == '\t') {
		b = b[:len(b)-1]
	}
	return b
}
