package format

import (
	"encoding/binary"
	"errors"
	"sync"
	"sync/atomic"

	"bloomtide/ingest/weather"
)

// stations joins the tables of a file's shares station by station.
type stations struct {
	tables []*yearTable
	met    int       // stations, those without temperatures included
	keys   []key2    // stations with temperatures, in the order met
	at     [][]int32 // by table: the table's index of each of keys; 0 where it has not met it
	first  weather.Date
	days   int
	winds  stationWinds
}

// joinStations finds the stations that the tables share in the first one's own
// index, which grows by those of the others; false where it has no room for all.
func joinStations(tables []*yearTable) (*stations, bool) {
	s := &stations{tables: tables}
	place := make([][]int32, len(tables)) // by table and its own index: the index in the first
	for j, t := range tables {
		place[j] = make([]int32, len(t.met))
		for i := 1; i < len(t.met); i++ {
			at, ok := int32(i), true
			if j > 0 {
				at, ok = tables[0].lookup(t.met[i].key)
			}
			if !ok {
				return nil, false
			}
			place[j][i] = at
		}
	}
	all := tables[0].met
	s.met = len(all) - 1
	number := make([]int32, len(all)) // of s.keys, plus 1; 0 without temperatures
	for j, t := range tables {
		for i, at := range place[j] {
			if number[at] == 0 && t.met[i].warm > 0 {
				s.keys = append(s.keys, all[at].key)
				number[at] = int32(len(s.keys))
			}
		}
	}
	for j := range tables {
		at := make([]int32, len(s.keys))
		for i, p := range place[j] {
			if n := number[p]; n > 0 {
				at[n-1] = int32(i)
			}
		}
		s.at = append(s.at, at)
	}
	s.span()
	s.winds = windsByStation(s)
	return s, true
}

// span finds the first day that any table has met, and how many there are to
// the last.
func (s *stations) span() {
	first, last, met := weather.Date(0), weather.Date(0), false
	for _, t := range s.tables {
		for i, row := range t.rows {
			if row == nil {
				continue
			}
			d := t.base + weather.Date(i)
			if !met {
				first, last, met = d, d, true
			}
			first, last = min(first, d), max(last, d)
		}
	}
	if met {
		s.first, s.days = first, int(last-first)+1
	}
}

// tile is how many stations are turned from rows of stations into rows of days
// at a time: a few lines of cache in each row, and a block that fits the second
// cache.
const tile = 64

// each gives the stations tile by tile to the workers.
func (s *stations) each(workers int, fn func(weather.Series, Tally) error) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	errs := make([]error, workers)
	for w := range workers {
		wg.Go(func() {
			block, days := make([]dayCells, tile*s.days), make([]weather.Day, s.days)
			for {
				lo := int(next.Add(1)-1) * tile
				if lo >= len(s.keys) {
					return
				}
				if errs[w] = s.tile(lo, block, days, fn); errs[w] != nil {
					next.Store(int64(len(s.keys))) // no more tiles for anybody
					return
				}
			}
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}

// tile gives the stations from number lo on.
func (s *stations) tile(lo int, block []dayCells, days []weather.Day, fn func(weather.Series, Tally) error) error {
	hi := min(lo+tile, len(s.keys))
	tally := make([]Tally, hi-lo)
	s.turn(lo, block, tally)
	for i := lo; i < hi; i++ {
		k := block[(i-lo)*s.days : (i-lo+1)*s.days]
		r, rejected, ok := record(unknownSite(s.keys[i].id()), s.first, k, days)
		if !ok {
			continue
		}
		s.winds.blow(i, s.first, r)
		n := tally[i-lo]
		n.Rejected = rejected
		if err := fn(r, n); err != nil {
			return err
		}
	}
	return nil
}

// turn lays a tile's cells from the rows of all tables into block, station by
// station.
func (s *stations) turn(lo int, block []dayCells, tally []Tally) {
	places := make([][]rowPlace, len(s.tables))
	for j := range s.tables {
		places[j] = s.places(j, lo, tally)
	}
	for day := range s.days {
		to, empty := block[day:], true
		for j, t := range s.tables {
			row := t.rowOf(s.first + weather.Date(day))
			switch {
			case row == nil:
			case empty:
				row.lay(places[j], to, s.days)
				empty = false
			default: // shares of the file meet in this day
				row.layAfter(places[j], to, s.days, tally)
			}
		}
		if empty {
			for i := range tally {
				to[i*s.days] = dayCells{}
			}
		}
	}
}

// rowPlace is where the cells of one station lie in the rows of a table: its
// rain, and the first of its extremes. Where there is none, nothing lies there.
type rowPlace struct{ rain, warm int32 }

// places returns where the stations of a tile lie in the rows of table j, and
// counts what came twice within it.
func (s *stations) places(j, lo int, tally []Tally) []rowPlace {
	t := s.tables[j]
	out := make([]rowPlace, len(tally))
	for i, n := range s.at[j][lo : lo+len(tally)] { // n is 0 where it has not met the station
		out[i].warm = int32(warmAt(t.met[n].warm))
		if !t.dry {
			out[i].rain = n
		}
		if own := t.tally[n]; own != nil {
			tally[i].Duplicate += own.Duplicate
			tally[i].Differing += own.Differing
		}
	}
	return out
}

// cells returns what lies at a place.
func (r *yearRow) cells(p rowPlace) dayCells {
	return dayCells{cellMin: r[p.warm+cellMin], cellMax: r[p.warm+cellMax], cellRain: r[p.rain]}
}

// lay puts the cells of stations, one every stride, where there are none yet.
func (r *yearRow) lay(from []rowPlace, to []dayCells, stride int) {
	for i, p := range from {
		to[i*stride] = r.cells(p)
	}
}

// layAfter puts the cells of a later share after those of an earlier one.
func (r *yearRow) layAfter(from []rowPlace, to []dayCells, stride int, tally []Tally) {
	for i, p := range from {
		if k := r.cells(p); k != (dayCells{}) {
			tally[i].merge(&to[i*stride], &k)
		}
	}
}

// merge puts the cells of a later share after those of an earlier one.
func (n *Tally) merge(have, later *dayCells) {
	if *have == (dayCells{}) {
		*have = *later
		return
	}
	for e, c := range later {
		if c == 0 {
			continue
		}
		again, differs := have[e].put(c)
		if again && e != cellRain {
			n.Duplicate++
			if differs {
				n.Differing++
			}
		}
	}
}

// id returns the identifier.
func (k key2) id() string {
	var b [16]byte
	binary.LittleEndian.PutUint64(b[:], k.a)
	binary.LittleEndian.PutUint64(b[3:], k.b)
	return string(b[:11])
}

// valid reports whether it is an identifier of GHCN-Daily.
func (k *key2) valid() bool { return isID([]byte(k.id())) }
