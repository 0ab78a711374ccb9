package ingest

import (
	"bytes"
	"errors"
	"io"
	"math"

	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// parquetMagic opens a Parquet file (parquet-format, README).
const parquetMagic = "PAR1"

// mostParquet bounds a Parquet file that is read whole, bytes: a station's
// record of four centuries has less than 4 MB.
const mostParquet = 64 << 20

// archiveLayout is the name of the archive's own layout in reports.
const archiveLayout = "Parquet of the archive"

// take reads one source, by itself where it may be left out, so that nothing
// stays of a file that breaks off or is not what it seems.
func (c *collector) take(s Source) error {
	if !c.o.LeaveOut {
		return c.read(s)
	}
	own := &collector{o: c.o, stations: map[string]*station{}}
	if err := own.read(s); err != nil {
		c.leftOut = append(c.leftOut, "left out: "+err.Error())
		if c.why == nil {
			c.why = err
		}
		return nil
	}
	c.absorb(own)
	return nil
}

// read reads one source to its end.
func (c *collector) read(s Source) error {
	if s.Open != nil {
		r, err := s.Open()
		if err != nil {
			return err
		}
		if closer, ok := r.(io.Closer); ok {
			defer closer.Close() // it was only read
		}
		s.Reader = r
	}
	if c.o.Decode == nil {
		return c.lines(s)
	}
	r, own, err := startsWith(s.Reader, parquetMagic)
	if err != nil {
		return &format.FileError{File: s.Name, What: "reading stopped", Err: err, Mend: "check the file and the disk, or fetch it again"}
	}
	s.Reader = r
	if own {
		return c.parquet(s)
	}
	return c.lines(s)
}

// startsWith looks at the beginning of a reader and returns one that begins
// there again: the same where it can go back, since a zip is read from its end.
func startsWith(r io.Reader, magic string) (whole io.Reader, yes bool, err error) {
	head := make([]byte, len(magic))
	n, err := io.ReadFull(r, head)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, false, err
	}
	yes = string(head[:n]) == magic
	if s, ok := r.(io.Seeker); ok {
		if _, err := s.Seek(-int64(n), io.SeekCurrent); err == nil {
			return r, yes, nil
		}
	}
	return io.MultiReader(bytes.NewReader(head[:n]), r), yes, nil
}

// parquet takes the days of a file of the archive's layout.
func (c *collector) parquet(s Source) error {
	content, err := io.ReadAll(io.LimitReader(s.Reader, mostParquet+1))
	if err != nil {
		return &format.FileError{File: s.Name, What: "reading stopped", Err: err, Mend: "check the file and the disk, or fetch it again"}
	}
	if len(content) > mostParquet {
		return &format.FileError{File: s.Name, What: "this Parquet file is above 64 MiB, which no station's record is", Mend: "export it as CSV, with a date, a minimum and a maximum a line"}
	}
	series, err := c.o.Decode(s.Name, content)
	if err != nil {
		return err
	}
	at := len(c.files)
	c.files = append(c.files, &fileReport{name: s.Name, layout: archiveLayout, lines: len(series.Days)})
	st := c.station(series.Site.ID, at)
	for i, d := range series.Days {
		day := cell{day: d, minAt: int32(i + 1), maxAt: int32(i + 1), minFile: int32(at), maxFile: int32(at)}
		st.take(series.Start+weather.Date(i), day)
		st.rejected += rejections(d)
	}
	c.keep([]weather.Site{series.Site})
	return nil
}

// lines reads a text.
func (c *collector) lines(s Source) error {
	f, err := format.Open(s.Reader, format.Options{Name: s.Name, Unit: c.o.Unit, Columns: c.o.Columns})
	if err != nil {
		return err
	}
	r := &fileReport{name: s.Name}
	at := len(c.files)
	c.files = append(c.files, r)
	last, lastID := (*station)(nil), ""
	for v, err := range f.Readings() {
		if err != nil {
			var bad *weather.SyntaxError
			if !errors.As(err, &bad) {
				return err
			}
			r.add(bad)
			if err := r.condemned(f.Lines(), f.Layout(), false); err != nil {
				return err
			}
			continue
		}
		if last == nil || v.Station != lastID {
			last, lastID = c.station(v.Station, at), v.Station
		}
		last.put(v, int32(at))
		if c.o.Means && v.Element == weather.TMean {
			c.keepMean(v, int32(at))
		}
	}
	r.finish(f)
	c.keep(f.Sites())
	return r.condemned(f.Lines(), f.Layout(), true)
}

// absorb adds what one source gave to what was read before it.
func (c *collector) absorb(own *collector) {
	at := int32(len(c.files))
	c.files = append(c.files, own.files...)
	for _, s := range own.order {
		to := c.station(s.id, int(at))
		to.absorb(s, at)
	}
	for id, s := range own.means {
		if c.means == nil {
			c.means = map[string]*station{}
		}
		if c.means[id] == nil {
			c.means[id] = &station{id: id}
		}
		c.means[id].absorb(s, at)
	}
	sites := make([]weather.Site, 0, len(own.sites))
	for _, s := range own.sites {
		sites = append(sites, s)
	}
	c.keep(sites)
}

// absorb takes the days of a station of one file, which has the number at.
func (s *station) absorb(own *station, at int32) {
	s.rejected += own.rejected
	s.duplicate += own.duplicate
	s.differing += own.differing
	for i, k := range own.cells {
		k.minFile, k.maxFile = at, at
		s.take(own.start+weather.Date(i), k)
	}
}

// take keeps the values of a day by the rule stated at Collect.
func (s *station) take(d weather.Date, k cell) {
	if k.day.MinFlags|k.day.MaxFlags|k.day.RainFlags|k.day.WindFlags == 0 {
		return
	}
	c := s.at(d)
	if k.day.MinFlags != 0 {
		s.keep(&c.day.Min, &c.day.MinFlags, k.day.Min, k.day.MinFlags, func() { c.minAt, c.minFile = k.minAt, k.minFile })
	}
	if k.day.MaxFlags != 0 {
		s.keep(&c.day.Max, &c.day.MaxFlags, k.day.Max, k.day.MaxFlags, func() { c.maxAt, c.maxFile = k.maxAt, k.maxFile })
	}
	if c.day.RainFlags.Yields(k.day.RainFlags) && !math.IsNaN(k.day.RainMm) {
		c.day.RainMm, c.day.RainFlags = k.day.RainMm, k.day.RainFlags
	}
	if c.day.WindFlags.Yields(k.day.WindFlags) && !math.IsNaN(k.day.WindMs) {
		c.day.WindMs, c.day.WindFlags = k.day.WindMs, k.day.WindFlags
	}
}
