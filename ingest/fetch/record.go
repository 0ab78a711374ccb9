package fetch

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
	"time"
)

// record says where a file, or a part of one, came from. It is written after
// the file, so that it never speaks of one that is not there; what it says of
// another is told by the sum.
type record struct {
	Address  string    `json:"address"`
	ETag     string    `json:"etag,omitempty"`
	Modified string    `json:"last_modified,omitempty"` // as the server wrote it
	Firm     bool      `json:"firm,omitempty"`          // Modified tells two versions apart
	Encoding string    `json:"encoding,omitempty"`      // of a part
	Total    int64     `json:"total"`                   // octets of the whole on the wire, -1 unknown
	Size     int64     `json:"size,omitempty"`          // octets of the stored file
	SHA256   string    `json:"sha256,omitempty"`        // of the stored file
	LastDay  string    `json:"last_day,omitempty"`      // in the last line of a record
	Asked    time.Time `json:"asked"`                   // when the server last said that this is the file
}

// beside returns the hidden name that goes with a file: the part that has
// come so far, or what is known of it. Readers of the folder pass it over.
func beside(name, ending string) string {
	dir, file := path.Split(name)
	return dir + "." + file + ending
}

const (
	partEnding     = ".part"
	aboutEnding    = ".json"
	aboutPartsName = ".part.json"
)

// validator returns what If-Range may carry: a strong validator, or "".
// RFC 9110 sections 8.8.2.2 and 13.1.5.
func (r record) validator() string {
	switch {
	case r.ETag != "" && !strings.HasPrefix(r.ETag, "W/"):
		return r.ETag
	case r.ETag == "" && r.Firm:
		return r.Modified
	}
	return ""
}

// mostAbout is the longest record that is read, octets.
const mostAbout = 64 << 10

// about reads the record under a name, nil where there is none that can be
// read.
func (c *Client) about(name string) *record {
	f, err := c.store.Open(name)
	if err != nil {
		return nil
	}
	defer f.Close()
	var r record
	if err := json.NewDecoder(io.LimitReader(f, mostAbout)).Decode(&r); err != nil {
		return nil
	}
	return &r
}

func (c *Client) note(name string, r record) error {
	b, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return fmt.Errorf("note %s: %w", name, err)
	}
	return c.store.Write(name, bytes.NewReader(append(b, '\n')))
}

// stored returns what is known of the stored file, nil where there is none.
// A file whose record is missing or speaks of another is asked for anew, but
// stays until the new one is there.
func (c *Client) stored(it item) *record {
	size, err := c.store.Size(it.name)
	if err != nil {
		return nil
	}
	r := c.about(beside(it.name, aboutEnding))
	if r == nil || r.Address != it.address || r.Size != size || r.SHA256 != c.sum(it.name) {
		return &record{Size: size, Total: -1}
	}
	return r
}

// sum returns the SHA-256 of a stored file in hexadecimal, "" where it cannot
// be read.
func (c *Client) sum(name string) string {
	f, err := c.store.Open(name)
	if err != nil {
		return ""
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return ""
	}
	return hex.EncodeToString(h.Sum(nil))
}

func (r record) outcome(it item, s State) Outcome {
	return Outcome{Name: it.name, State: s, Size: r.Size, Asked: r.Asked, LastDay: r.LastDay}
}

// part returns what has come of a file in an earlier try: its record and its
// length, a zero record where nothing of use has.
func (c *Client) part(it item) (record, int64) {
	size, err := c.store.Size(beside(it.name, partEnding))
	if err != nil || size == 0 {
		return record{}, 0
	}
	r := c.about(beside(it.name, aboutPartsName))
	if r == nil || r.Address != it.address || r.validator() == "" || r.Total >= 0 && size > r.Total {
		return record{}, 0
	}
	return *r, size
}

// drop throws a part away.
func (c *Client) drop(it item) error {
	return errors.Join(c.store.Remove(beside(it.name, partEnding)), c.store.Remove(beside(it.name, aboutPartsName)))
}
