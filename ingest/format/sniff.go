package format

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"slices"

	"bloomtide/ingest/weather"
)

// preambleLines is how many lines may stand above a header; the longest
// preamble known here, KNMI's, has 53.
const preambleLines = 200

// delimiters are tried in this order.
var delimiters = [...]byte{',', ';', '\t', '|'}

// recognise finds the layout of a text.
func (f *File) recognise(name string, br *bufio.Reader) (*stream, error) {
	br, head, err := f.head(name, br)
	if err != nil {
		return nil, err
	}
	_, cut := br.Peek(br.Size())
	text := cutLines(head, len(head) < br.Size())
	s := &stream{name: name, lines: newLines(br, head)}
	if r, layout, data := headerless(text); r != nil {
		s.rows, s.layout, s.data = r, layout, data
		return s, nil
	}
	w, at, err := f.header(name, text)
	if err != nil && cut != nil && !errors.Is(cut, io.EOF) {
		return nil, f.broken(len(text), cut)
	}
	if err != nil {
		if t, at := tableOfPlaces(text); t != nil {
			s.rows, s.layout, s.skip = t, placesName, at+1
			return s, nil
		}
		return nil, err
	}
	s.rows, s.layout, s.skip, s.data = w, w.layout.name, at+1, true
	if w.layout.site != nil {
		p := preface{site: w.site, sites: map[string]weather.Site{}}
		w.layout.site(text[:at], &p)
		w.site, w.preface = p.site, p
		w.unitsAbove(p.units)
	}
	if w.countsLines(text[at+1:]) {
		w.id = -1
	}
	if w.site.ID == "" && w.id < 0 {
		w.site.ID, w.site.Name = stem(name), firstNonEmpty(w.site.Name, stem(name))
	}
	if w.hours != nil {
		w.hours.clock(f, w)
	}
	w.decimalComma(text[at+1:])
	if err := w.dateOrder(name, at+2, text[at+1:]); err != nil {
		return nil, err
	}
	if w.layout.note != "" {
		f.note("%s", w.layout.note)
	}
	br, err = f.settle(w, br, text[at+1:])
	s.lines = newLines(br, head)
	return s, err
}

// head looks at the first part of a text, past a byte order mark, and refuses
// what is no text.
func (f *File) head(name string, br *bufio.Reader) (*bufio.Reader, []byte, error) {
	if mark, _ := br.Peek(2); len(mark) == 2 && (mark[0] == 0xff && mark[1] == 0xfe || mark[0] == 0xfe && mark[1] == 0xff) {
		br = buffered(&wideChars{r: br, big: mark[0] == 0xfe})
	}
	if mark, _ := br.Peek(3); string(mark) == "\xef\xbb\xbf" {
		if _, err := br.Discard(3); err != nil {
			return nil, nil, f.broken(0, err)
		}
	}
	head, err := br.Peek(br.Size())
	if len(head) == 0 {
		return nil, nil, f.unreadable(err)
	}
	if err != nil && !errors.Is(err, io.EOF) && bytes.Count(head, []byte{'\n'}) < 2 {
		return nil, nil, f.broken(0, err)
	}
	if what, mend := notText(head); what != "" {
		return nil, nil, &FileError{File: name, What: "this is " + what + ", not a table of days", Mend: mend}
	}
	if len(bytes.TrimSpace(head)) == 0 && len(head) < br.Size() {
		return nil, nil, f.unreadable(nil)
	}
	return br, head, nil
}

// headerless recognises the layouts whose lines need no header.
func headerless(text [][]byte) (r rows, layout string, data bool) {
	if isBOMNote(text) {
		return &bomNote{}, bomNoteName, false
	}
	for _, line := range text[:min(len(text), 20)] {
		switch {
		case len(trim(line)) == 0, isByYearHeader(line):
			continue
		case isDly(line):
			return newDly(), dlyName, true
		case isByYear(line):
			return newByYear(), byYearName, true
		case isStationList(line):
			return &stationList{}, stationListName, false
		case isInventory(line):
			return inventory{}, inventoryName, false
		case isECCCPlace(line):
			return &ecccPlace{}, ecccPlaceName, false
		case isDWDPlaces(line):
			return &dwdPlaces{}, dwdPlacesName, false
		}
		if p, name := spacedList(line); p != nil && !aboveReadings(text) {
			return p, name, false
		}
		return nil, "", false
	}
	return nil, "", false
}

// aboveReadings reports whether a list of stations is the preamble of readings,
// as in the files of KNMI's web form.
func aboveReadings(text [][]byte) bool {
	w, _ := published(text[:min(len(text), preambleLines)])
	return w != nil
}

// header finds the header line and its layout: first the published ones, then
// any with names that are understood.
func (f *File) header(name string, text [][]byte) (w *wide, at int, err error) {
	text = text[:min(len(text), preambleLines)]
	c := f.options.Columns
	if c == (Columns{}) {
		if w, at = published(text); w != nil {
			return w, at, nil
		}
	}
	w, at, err = f.named(name, text)
	return w, at, err
}

// published looks for the header of a published layout.
func published(text [][]byte) (*wide, int) {
	all := layouts()
	for at, line := range text {
		if len(line) < 8 {
			continue
		}
		for _, delim := range delimiters {
			fields := split(nil, bytes.Clone(line), delim)
			if len(fields) < 2 {
				continue
			}
			h := headings(fields)
			for i := range all {
				if !all[i].fits(h) || !titled(text[:at], all[i].title) {
					continue
				}
				if w, ok := all[i].bind(h, delim); ok && w.confirmed(text[at+1:]) {
					w.start(line)
					return w, at
				}
			}
		}
	}
	return nil, 0
}

// titled reports whether a title stands in one of the lines above a header.
func titled(above [][]byte, title string) bool {
	return title == "" || slices.ContainsFunc(above, func(b []byte) bool { return bytes.Contains(b, []byte(title)) })
}

// confirmed lets the layout look at the first station, where the names of its
// columns are such as anybody may give.
func (w *wide) confirmed(body [][]byte) bool {
	if w.layout.confirm == nil {
		return true
	}
	for _, line := range body {
		if len(trim(line)) == 0 {
			continue
		}
		f := split(nil, bytes.Clone(line), w.delim)
		return w.id < len(f) && w.layout.confirm(trim(f[w.id]))
	}
	return false
}

// start readies a bound layout for its lines.
func (w *wide) start(header []byte) {
	w.header = bytes.Clone(header)
	w.site = unknownSite("")
	if w.layout.hourly {
		w.hours = newHours()
	}
}

// layouts lists the published layouts, the more telling ones first.
func layouts() []layout {
	return []layout{
		gsod(), ghcnStation(), noaaExport(), noaaByID(), lcd(), dwd(), dwdHourly(), eccc(), ecccFrench(), ecccGeo(), knmi(), ecad(),
		meteoSwiss(), meteoSwissOpen(), bomMax(), bomMin(), bomRain(), daymet(), nasaPower(), nasaPowerDOY(),
		openMeteoDaily(), openMeteoHourly(), prism(), meteoFrance(), metEireann(),
	}
}

// settle finds the unit of temperatures, looking deeper into the file where
// its first part has too few of them.
func (f *File) settle(w *wide, br *bufio.Reader, text [][]byte) (*bufio.Reader, error) {
	var s sample
	if !w.needsSample() {
		return br, w.setUnit(f, f.options, &s)
	}
	before := *w // a header met again in the sample changes it
	s.take(w, text)
	if s.n < enough && len(text) > 0 && br.Buffered() == br.Size() {
		br = bufio.NewReaderSize(br, deepSize)
		deep, _ := br.Peek(deepSize) // an error comes again when the lines are read
		s, *w = sample{}, before
		w.forget()
		s.take(w, cutLines(deep, false))
	}
	*w = before
	w.forget()
	return br, w.setUnit(f, f.options, &s)
}

func (w *wide) needsSample() bool {
	for _, c := range w.columns {
		if temperature(c.element) && c.unit == Auto {
			return true
		}
	}
	return false
}

// forget drops what reading a sample left behind.
func (w *wide) forget() {
	w.known, w.last, w.lastRaw = false, "", nil
	if w.hours != nil {
		clock := *w.hours
		w.hours = newHours()
		w.hours.shift = clock.shift
	}
}
