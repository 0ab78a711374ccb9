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
	at     [][]int32 // by table: the table's index of each of keys, plus 1; 0 where it has not met it
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
		place[j] = make([]int32, len(t.keys))
		for i, k := range t.keys {
			at, ok := i, true
			if j > 0 {
				at, ok = tables[0].lookup(k)
			}
			if !ok {
				return nil, false
			}
			place[j][i] = int32(at)
		}
	}
	all := tables[0].keys
	s.met = len(all)
	number := make([]int32, s.met) // of s.keys, plus 1; 0 without temperatures
	for j, t := range tables {
		for i, at := range place[j] {
			if number[at] == 0 && t.warm[i] > 0 {
				s.keys = append(s.keys, all[at])
				number[at] = int32(len(s.keys))
			}
		}
	}
	for j := range tables {
		at := make([]int32, len(s.keys))
		for i, p := range place[j] {
			if n := number[p]; n > 0 {
				at[n-1] = int32(i) + 1
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
	clear(block)
	tally := make([]Tally, hi-lo)
	for j := range s.tables {
		s.turn(j, lo, block, tally)
	}
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

// turn adds a tile's cells of table j, which come after those of tables before
// it in the file.
func (s *stations) turn(j, lo int, block []dayCells, tally []Tally) {
	t := s.tables[j]
	at := s.at[j][lo : lo+len(tally)]
	for d, row := range t.rows {
		if row == nil {
			continue
		}
		to := int(t.base-s.first) + d
		for i, n := range at {
			if n == 0 {
				continue
			}
			var from dayCells
			if !t.dry { // else not even looked at, since its memory was never touched
				from[cellRain] = row[n-1]
			}
			if w := t.warm[n-1]; w > 0 {
				from[cellMin], from[cellMax] = row[warmAt(w)+cellMin], row[warmAt(w)+cellMax]
			}
			if from != (dayCells{}) {
				tally[i].merge(&block[i*s.days+to], &from)
			}
		}
	}
	for i, n := range at {
		if own := t.tally[n-1]; n > 0 && own != nil {
			tally[i].Duplicate += own.Duplicate
			tally[i].Differing += own.Differing
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
