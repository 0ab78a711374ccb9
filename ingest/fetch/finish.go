package fetch

import (
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
)

// unchanged notes that the server still has the stored file.
func (a *attempt) unchanged() (Outcome, error) {
	r := *a.have
	r.Asked = a.c.clock.Now().UTC()
	if err := a.c.note(beside(a.it.name, aboutEnding), r); err != nil {
		return Outcome{}, err
	}
	return r.outcome(a.it, Unchanged), nil
}

// settle puts a part in place that an earlier run had whole before it was
// killed. The server is still asked whether there is a newer one.
func (c *Client) settle(it item) error {
	part, size := c.part(it)
	if size == 0 || size != part.Total {
		return nil
	}
	_, err := (&attempt{c: c, it: it, part: part, from: size}).finish()
	if _, unfit := asError(err); unfit {
		return nil // it is thrown away by now
	}
	return err
}

// finish looks at the whole part and puts it in the file's place.
func (a *attempt) finish() (Outcome, error) {
	seen, err := a.inspect()
	if err != nil {
		e, ok := asError(err)
		if ok {
			e.afresh = true
			return Outcome{}, errors.Join(err, a.c.drop(a.it))
		}
		return Outcome{}, err
	}
	part := beside(a.it.name, partEnding)
	if a.part.Encoding == "" {
		err = a.c.store.Rename(part, a.it.name)
	} else {
		err = a.unpack(part)
	}
	if err != nil {
		return Outcome{}, err
	}
	r := a.part
	r.Encoding, r.Size, r.SHA256, r.LastDay = "", seen.size, seen.sum, seen.day
	if err := a.c.note(beside(a.it.name, aboutEnding), r); err != nil {
		return Outcome{}, err
	}
	out := r.outcome(a.it, Fetched)
	out.Resumed = a.from
	if a.have != nil && a.have.SHA256 == r.SHA256 {
		out.State = Unchanged
	}
	return out, a.c.drop(a.it)
}

// seen is what reading a whole part shows.
type seen struct {
	size int64
	sum  string
	day  string
}

// inspect reads the part as it will be stored, within the limit, and refuses
// what is not the data asked for.
func (a *attempt) inspect() (seen, error) {
	f, err := a.c.store.Open(beside(a.it.name, partEnding))
	if err != nil {
		return seen{}, fmt.Errorf("read what was fetched: %w", err)
	}
	defer f.Close()
	r, err := a.plain(f)
	if err != nil {
		return seen{}, err
	}
	head := make([]byte, headLength)
	n, err := io.ReadFull(r, head)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return seen{}, a.damaged(err)
	}
	head = head[:n]
	if webPage("", head) {
		return seen{}, a.page()
	}
	if err := a.wrong(head); err != nil {
		return seen{}, err
	}
	h, t := sha256.New(), &tail{}
	to := io.MultiWriter(h, t)
	if _, err := to.Write(head); err != nil {
		return seen{}, err
	}
	if _, err := io.Copy(to, io.LimitReader(r, a.c.o.MaxPlain-int64(n)+1)); err != nil {
		return seen{}, a.damaged(err)
	}
	return seen{t.size, hex.EncodeToString(h.Sum(nil)), t.day()}, a.cut(t)
}

// cut refuses a file over the limit, and one that ends within a line where no
// length tells that it is whole.
func (a *attempt) cut(t *tail) error {
	switch {
	case t.size > a.c.o.MaxPlain:
		return a.fault(fmt.Sprintf("longer than %d MiB once unpacked", a.c.o.MaxPlain>>20), "no file of this kind is so long: correct the address in the settings")
	case a.part.Total < 0 && !t.whole():
		e := a.fault("the answer ends within a line", "try again later")
		e.again = true
		return e
	case a.part.Total < 0 && a.have != nil && t.size < a.have.Size:
		e := a.fault(fmt.Sprintf("%d octets came without a length, and the stored file has %d", t.size, a.have.Size), "the stored one is kept; try again later")
		e.again = true
		return e
	}
	return nil
}

// plain returns what the octets of a part stand for.
func (a *attempt) plain(f io.Reader) (io.Reader, error) {
	if a.part.Encoding == "" {
		return f, nil
	}
	z, err := gzip.NewReader(f)
	if err != nil {
		return nil, a.damaged(err)
	}
	return z, nil
}

// damaged words packed data that cannot be unpacked.
func (a *attempt) damaged(err error) error {
	e := a.fault("the packed answer is damaged", "try again later")
	e.again, e.Err = true, err
	return e
}

// unpack writes a packed part into place, having been inspected.
func (a *attempt) unpack(part string) error {
	f, err := a.c.store.Open(part)
	if err != nil {
		return fmt.Errorf("read what was fetched: %w", err)
	}
	defer f.Close()
	r, err := a.plain(f)
	if err != nil {
		return err
	}
	return a.c.store.Write(a.it.name, io.LimitReader(r, a.c.o.MaxPlain))
}
