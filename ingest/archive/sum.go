package archive

import (
	"bytes"
	"fmt"
	"hash/crc32"
)

// sumKey names the checksum in the metadata. Its value is the CRC-32C of the
// whole file, as eight hexadecimal digits, taken while these digits are noSum.
const (
	sumKey = "bloomtide.crc32c"
	noSum  = "00000000"
)

// sumAt returns where the digits of the checksum stand, or -1. They follow the
// key in the footer, after one octet of type and one of length.
func sumAt(file []byte) int {
	i := bytes.LastIndex(file, []byte(sumKey))
	at := i + len(sumKey) + 2
	if i < 0 || at+len(noSum) > len(file) {
		return -1
	}
	return at
}

// sum computes the checksum of a file whose digits stand at.
func sum(file []byte, at int) string {
	table := crc32.MakeTable(crc32.Castagnoli)
	c := crc32.Update(0, table, file[:at])
	c = crc32.Update(c, table, []byte(noSum))
	c = crc32.Update(c, table, file[at+len(noSum):])
	return fmt.Sprintf("%08x", c)
}

// seal writes the checksum into a complete file.
func seal(file []byte) error {
	at := sumAt(file)
	if at < 0 || string(file[at:at+len(noSum)]) != noSum {
		return fmt.Errorf("encode the record: no room for the checksum")
	}
	copy(file[at:], sum(file, at))
	return nil
}

// sealed says what is wrong with the checksum of a file, "" for nothing.
func sealed(file []byte) (what string) {
	at := sumAt(file)
	if at < 0 {
		return "it has no checksum"
	}
	if got, want := sum(file, at), string(file[at:at+len(noSum)]); got != want {
		return fmt.Sprintf("its checksum is %s where %q is written", got, want)
	}
	return ""
}
