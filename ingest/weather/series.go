package weather

// Series is the daily record of one site, one Day for every date from Start
// on, with empty Days where nothing is known.
type Series struct {
	Site    Site
	Start   Date
	Days    []Day
	Sources []Site // the stations that the series was made from
}

// End returns the day after the last one, so that End−Start is the length.
func (s Series) End() Date { return s.Start + Date(len(s.Days)) }

// At returns the day at date d, an empty one outside the series.
func (s Series) At(d Date) Day {
	if d < s.Start || d >= s.End() {
		return Day{}
	}
	return s.Days[d-s.Start]
}

// Slice returns the part from (inclusive) to (exclusive) that the series
// covers. It shares its days with s.
func (s Series) Slice(from, to Date) Series {
	from, to = max(from, s.Start), min(to, s.End())
	out := s
	if from >= to {
		out.Start, out.Days = from, nil
		return out
	}
	out.Days = s.Days[from-s.Start : to-s.Start]
	out.Start = from
	return out
}

// Usable counts the usable days in from (inclusive) to to (exclusive).
func (s Series) Usable(from, to Date) int {
	n := 0
	for _, d := range s.Slice(from, to).Days {
		if d.Usable() {
			n++
		}
	}
	return n
}
