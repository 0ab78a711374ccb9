package archive

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/parquet-go/parquet-go/encoding/delta"
	"github.com/parquet-go/parquet-go/encoding/rle"
	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
)

// page is the body of a data page, without its header.
type page struct{ body []byte }

// openPage reads the header of the page that starts at an offset.
func openPage(file []byte, at int64) (page, error) {
	if at < int64(len(magic)) || at >= int64(len(file)) {
		return page{}, fmt.Errorf("its page lies at %d of %d bytes", at, len(file))
	}
	src := bytes.NewReader(file[at:])
	var h format.PageHeader
	if err := thrift.NewDecoder(new(thrift.CompactProtocol).NewReader(src)).Decode(&h); err != nil {
		return page{}, fmt.Errorf("the header of its page: %w", err)
	}
	size := int64(h.CompressedPageSize)
	if h.Type != format.DataPage || !h.DataPageHeader.Valid || h.DataPageHeader.V.Encoding != format.DeltaBinaryPacked {
		return page{}, errors.New("its page is not as this program writes it")
	}
	if size < 0 || size > int64(src.Len()) {
		return page{}, fmt.Errorf("its page is said to have %d bytes, %d are left", size, src.Len())
	}
	body := file[len(file)-src.Len():]
	return page{body[:size:size]}, nil
}

// levels takes the levels off the front of a page of a column with missing
// values: 1 where there is a value. At most rows of them are read, into dst.
func (p *page) levels(dst []byte, rows int) ([]byte, error) {
	const prefix = 4 // bytes of the length
	if len(p.body) < prefix {
		return dst, errors.New("the page is too short")
	}
	n := binary.LittleEndian.Uint32(p.body)
	rest := p.body[prefix:]
	if uint64(n) > uint64(len(rest)) {
		return dst, fmt.Errorf("its levels are said to have %d bytes, %d are left", n, len(rest))
	}
	coded := rest[:n:n]
	p.body = rest[n:]
	if err := bounded(coded, rows); err != nil {
		return dst, err
	}
	coding := rle.Encoding{BitWidth: 1}
	dst, err := coding.DecodeLevels(dst, coded)
	if err != nil {
		return dst, err
	}
	if len(dst) < rows || len(dst) >= rows+8 {
		return dst, fmt.Errorf("%d levels for %d days", len(dst), rows)
	}
	return dst[:rows], nil // packed bits come in eights
}

// bounded refuses runs of levels that would make more than rows of them,
// before room is made for them.
func bounded(coded []byte, rows int) error {
	total := uint64(0)
	for len(coded) > 0 {
		u, n := binary.Uvarint(coded)
		if n <= 0 {
			return errors.New("its levels are torn")
		}
		count, size := u>>1, uint64(1)
		if u&1 != 0 { // packed: count groups of eight levels, a byte each
			size = count
			count *= 8
		}
		if total += count; total >= uint64(rows)+8 || count > uint64(rows)+8 {
			return fmt.Errorf("more levels than the %d days", rows)
		}
		coded = coded[n:]
		if size > uint64(len(coded)) {
			return errors.New("its levels are torn")
		}
		coded = coded[size:]
	}
	return nil
}

// ints reads the integers that are left of a page, at most rows, into dst.
func (p *page) ints(dst []int32, rows int) ([]int32, error) {
	// Block size, blocks and count stand first (parquet-format, Encodings.md,
	// DELTA_BINARY_PACKED): room is made for the count, so it is looked at.
	head := p.body
	var count uint64
	for range 3 {
		v, n := binary.Uvarint(head)
		if n <= 0 {
			return dst, errors.New("its values are torn")
		}
		count, head = v, head[n:]
	}
	if count > uint64(rows) {
		return dst, fmt.Errorf("%d values for %d days", count, rows)
	}
	var coding delta.BinaryPackedEncoding
	dst, err := coding.DecodeInt32(dst[:0], p.body)
	if err != nil {
		return dst, err
	}
	if uint64(len(dst)) != count {
		return dst, fmt.Errorf("%d of %d values", len(dst), count)
	}
	return dst, nil
}
