package format

import "bloomtide/ingest/weather"

// wind is what one line of a by-year file says of wind. Some thousand stations
// of a file's tens of thousands measure it, so that a list takes a hundredth of
// the room that a place in every row would.
type wind struct {
	station int32  // index in its table
	day     uint16 // from the table's base
	c       cell
}

// dayWind is wind of one station.
type dayWind struct {
	day uint16 // from the first day of all tables
	c   cell
}

// stationWinds are all winds of a file, station by station and of each in the
// order of the file. The zero value is that of a file without any.
type stationWinds struct {
	begin []int32 // by station, and at the end: where its winds begin
	winds []dayWind
}

// windsByStation sorts the winds of all tables, of stations with temperatures.
func windsByStation(s *stations) (out stationWinds) {
	n := 0
	for _, t := range s.tables {
		n += len(t.winds)
	}
	if n == 0 {
		return out
	}
	number := make([][]int32, len(s.tables)) // by table and its own index: of s.keys, plus 1
	out.begin = make([]int32, len(s.keys)+1)
	for j, t := range s.tables {
		number[j] = make([]int32, len(t.met))
		for k, i := range s.at[j] {
			if i > 0 {
				number[j][i] = int32(k) + 1
			}
		}
		for _, w := range t.winds {
			if k := number[j][w.station]; k > 0 {
				out.begin[k]++
			}
		}
	}
	for k := range s.keys {
		out.begin[k+1] += out.begin[k]
	}
	next := append([]int32(nil), out.begin...)
	out.winds = make([]dayWind, out.begin[len(s.keys)])
	for j, t := range s.tables {
		shift := int(t.base - s.first)
		for _, w := range t.winds {
			if k := number[j][w.station]; k > 0 {
				out.winds[next[k-1]] = dayWind{uint16(int(w.day) + shift), w.c}
				next[k-1]++
			}
		}
		t.winds = nil // not needed twice
	}
	return out
}

// blow gives a station's winds to the days of its series; first is the day that
// they count from.
func (s *stationWinds) blow(station int, first weather.Date, to weather.Series) {
	if len(s.winds) == 0 {
		return
	}
	for _, w := range s.winds[s.begin[station]:s.begin[station+1]] {
		if at := int(first-to.Start) + int(w.day); at >= 0 && at < len(to.Days) {
			w.c.blow(&to.Days[at])
		}
	}
}
