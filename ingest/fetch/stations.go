package fetch

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"iter"
	"math"
	"strconv"

	"bloomtide/ingest/weather"

	"github.com/paulmach/orb"
)

// Span is one line of the inventory: the years in which a station has at least
// one value of an element.
type Span struct {
	ID          string
	Element     weather.Element // 0 for one that is not kept here
	First, Last int             // calendar years
}

// field is a column of a fixed-width line.
type field struct {
	number   int // from 1, for messages
	name     string
	from, to int // octets, from 0, the last one excluded
}

// Columns of both files: GHCN-Daily readme.txt, sections IV and VII (Menne and
// others 2012), from memory, and as the real files have them.
var (
	idField    = field{1, "station", 0, 11}
	latField   = field{2, "latitude", 12, 20}
	lonField   = field{3, "longitude", 21, 30}
	elevField  = field{4, "elevation", 31, 37}
	nameField  = field{6, "name", 41, 71}
	elemField  = field{4, "element", 31, 35}
	firstField = field{5, "first year", 36, 40}
	lastField  = field{6, "last year", 41, 45}
)

// noElevation and below stand for an elevation that is not known.
const noElevation = -999

// maxLine is the longest line read, octets; the published ones have 85.
const maxLine = 4096

// ReadStations reads the station list of GHCN-Daily. Position in degrees,
// elevation in metres, NaN where the list has none. A bad line is a
// *weather.SyntaxError, and reading goes on; any other error ends it.
func ReadStations(r io.Reader, name string) iter.Seq2[weather.Site, error] {
	return func(yield func(weather.Site, error) bool) {
		rows(r, name, func(l line) bool {
			s, err := l.site()
			if err != nil {
				return yield(weather.Site{}, err)
			}
			return yield(s, nil)
		}, func(err error) { yield(weather.Site{}, err) })
	}
}

// ReadInventory reads the inventory of GHCN-Daily, one Span a line. Errors are
// those of ReadStations.
func ReadInventory(r io.Reader, name string) iter.Seq2[Span, error] {
	return func(yield func(Span, error) bool) {
		rows(r, name, func(l line) bool {
			s, err := l.span()
			if err != nil {
				return yield(Span{}, err)
			}
			return yield(s, nil)
		}, func(err error) { yield(Span{}, err) })
	}
}

// line is one line of a fixed-width file.
type line struct {
	file string
	at   int
	text []byte
}

// rows calls each for every line that is not blank until it returns false, and
// failed where reading ends early.
func rows(r io.Reader, name string, each func(line) bool, failed func(error)) {
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, maxLine), maxLine)
	at := 0
	for s.Scan() {
		at++
		if text := bytes.TrimRight(s.Bytes(), "\r \t"); len(text) > 0 && !each(line{name, at, text}) {
			return
		}
	}
	if err := s.Err(); err != nil {
		failed(fmt.Errorf("%s:%d: %w", name, at+1, err))
	}
}

// cut returns the text of a column, empty where the line ends before it.
func (l line) cut(f field) []byte {
	if f.from >= len(l.text) {
		return nil
	}
	return bytes.TrimSpace(l.text[f.from:min(f.to, len(l.text))])
}

func (l line) fault(f field, what string) error {
	value := string(l.cut(f))
	return &weather.SyntaxError{File: l.file, Line: l.at, Column: f.number, Value: value,
		What: fmt.Sprintf("%s %q %s", f.name, value, what), Mend: "the line is torn or the file is not the published one; fetch it again"}
}

// id returns the station's identifier. It becomes part of a file name and of
// an address, so only what the archive uses is let through.
func (l line) id() (string, error) {
	id := l.cut(idField)
	if len(id) != idField.to || !allowedID(id) {
		return "", l.fault(idField, "is not an identifier of 11 letters and digits")
	}
	return string(id), nil
}

func allowedID(id []byte) bool {
	for _, c := range id {
		if (c < 'A' || c > 'Z') && (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '_' && c != '-' {
			return false
		}
	}
	return true
}

// degrees reads a coordinate within ±most.
func (l line) degrees(f field, most float64) (float64, error) {
	x, err := strconv.ParseFloat(string(l.cut(f)), 64)
	if err != nil || !(math.Abs(x) <= most) {
		return 0, l.fault(f, fmt.Sprintf("is not a number of degrees within ±%g", most))
	}
	return x, nil
}

func (l line) site() (weather.Site, error) {
	id, err := l.id()
	if err != nil {
		return weather.Site{}, err
	}
	lat, err := l.degrees(latField, 90)
	if err != nil {
		return weather.Site{}, err
	}
	lon, err := l.degrees(lonField, 180)
	if err != nil {
		return weather.Site{}, err
	}
	elev, err := strconv.ParseFloat(string(l.cut(elevField)), 64)
	if err != nil || math.IsInf(elev, 0) || math.IsNaN(elev) {
		return weather.Site{}, l.fault(elevField, "is not a number of metres")
	}
	if elev <= noElevation {
		elev = math.NaN()
	}
	return weather.Site{ID: id, Name: string(bytes.ToValidUTF8(l.cut(nameField), []byte("?"))), Point: orb.Point{lon, lat}, ElevM: elev}, nil
}

func (l line) span() (Span, error) {
	id, err := l.id()
	if err != nil {
		return Span{}, err
	}
	first, err := l.year(firstField)
	if err != nil {
		return Span{}, err
	}
	last, err := l.year(lastField)
	if err != nil {
		return Span{}, err
	}
	if last < first {
		return Span{}, l.fault(lastField, fmt.Sprintf("lies before the first year %d", first))
	}
	return Span{ID: id, Element: element(l.cut(elemField)), First: first, Last: last}, nil
}

// Years that a record can have: the oldest in the archive begins in 1763 (from
// memory), rounded outward.
const earliest, latest = 1600, 2999

func (l line) year(f field) (int, error) {
	y, err := strconv.Atoi(string(l.cut(f)))
	if err != nil || y < earliest || y > latest {
		return 0, l.fault(f, "is not a year")
	}
	return y, nil
}

// element returns what GHCN-Daily's code stands for, 0 for what is not kept.
func element(code []byte) weather.Element {
	switch string(code) {
	case "TMAX":
		return weather.TMax
	case "TMIN":
		return weather.TMin
	case "TAVG":
		return weather.TMean
	case "PRCP":
		return weather.Rain
	case "AWND":
		return weather.Wind
	}
	return 0
}
