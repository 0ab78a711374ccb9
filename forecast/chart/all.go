package chart

import (
	"io"
	"strings"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
)

// Drawing is one chart of a page, drawn Bare for a phone and for a desk or
// paper, with what it shows as a table for those who do not see it.
type Drawing struct {
	ID, Name     string
	Narrow, Wide string // SVG; texts in it are escaped
	Table        Table
}

// Table is a chart in words and numbers, each row as long as Head.
type Table struct {
	Head []string
	Rows [][]string
}

// All returns the charts of a forecast: the season, the flow, room and stores.
// One without anything to show is left out, and those of amounts where amounts
// are not known.
func All(f forecast.Forecast, us bool) ([]Drawing, error) {
	var out []Drawing
	for _, c := range []struct {
		id, name string
		draw     func(io.Writer, forecast.Forecast, Options) error
		table    func(forecast.Forecast, Options) Table
		amounts  bool
	}{
		{"season", "What blooms when", Season, seasonTable, false},
		{"gain", "What one hive gains a day", Gain, gainTable, true},
		{"room", "Room for honey and the supers that make it", Room, roomTable, true},
		{"stores", "Honey for the winter", Stores, storesTable, false},
	} {
		if c.amounts && f.Apiary.Relative {
			continue
		}
		d := Drawing{ID: c.id, Name: c.name, Table: c.table(f, Options{US: us}.withDefaults())}
		if len(d.Table.Rows) == 0 {
			continue
		}
		for _, size := range []struct {
			letter string
			width  int
			to     *string
		}{{"n", Narrow, &d.Narrow}, {"w", Wide, &d.Wide}} {
			var b strings.Builder
			if err := c.draw(&b, f, Options{ID: c.id + "-" + size.letter, WidthPx: size.width, US: us, Bare: true}); err != nil {
				return nil, err
			}
			*size.to = b.String()
		}
		out = append(out, d)
	}
	return out, nil
}

func seasonTable(f forecast.Forecast, o Options) Table {
	t := Table{Head: []string{"", "from – to, middle of the years"}}
	for _, r := range seasonRows(f, o) {
		t.Rows = append(t.Rows, []string{r.name, r.dates})
	}
	return t
}

// everyDays is the step of the tables of daily amounts, days.
const everyDays = 7

func gainTable(f forecast.Forecast, o Options) Table {
	days, one, start := flowDays(f)
	t := Table{Head: []string{"day", "one middling year, " + o.massUnit(), "middle of all", "eight in ten"}}
	for i := 0; i < len(days); i += everyDays {
		if days[i][2] == 0 && one[i] == 0 {
			continue
		}
		t.Rows = append(t.Rows, []string{o.day(start + weather.Date(i)), number(o.mass(one[i])), number(o.mass(days[i][1])),
			number(o.mass(days[i][0])) + " – " + number(o.mass(days[i][2]))})
	}
	return t
}

func roomTable(f forecast.Forecast, o Options) Table { return roomOf(f).table(o) }

func (r room) table(o Options) Table {
	t := Table{Head: []string{"day", "supers on, by the plan", "comb wanted, in supers", "eight years in ten"}}
	for i := 0; i < len(r.need); i += everyDays {
		day := r.start + weather.Date(i)
		on := 0
		for _, s := range r.supers {
			if s.day <= day && (r.off == 0 || day < r.off) {
				on++
			}
		}
		if n := r.need[i]; on > 0 || n[2] > 0 {
			t.Rows = append(t.Rows, []string{o.day(day), number(float64(on)), number(n[1]), number(n[0]) + " – " + number(n[2])})
		}
	}
	return t
}

func storesTable(f forecast.Forecast, o Options) Table {
	days, have, start := storeDays(f)
	t := Table{Head: []string{"day", o.massUnit() + " needed, middle of the years", "in the brood boxes", "eight years in ten"}}
	if highest(days) == 0 {
		return t
	}
	for _, m := range append([]weather.Date{start}, monthStarts(start+1, start+weather.Date(len(days)-1))...) {
		row := []string{o.day(m), number(o.mass(days[m-start][1])), "", ""}
		if len(have) > 0 {
			s := have[m-start]
			row[2], row[3] = number(o.mass(s[1])), number(o.mass(s[0]))+" – "+number(o.mass(s[2]))
		}
		t.Rows = append(t.Rows, row)
	}
	t.Rows = append(t.Rows, []string{"reserve", number(o.mass(hive.ReserveKg)), "", ""})
	return t
}
