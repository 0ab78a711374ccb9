package format

import (
	"bytes"

	"bloomtide/ingest/weather"
)

// ecad is the European Climate Assessment & Dataset: one element a file, so
// that TX and TN are two files of one station; tenths of °C and mm; quality 0
// is valid, 1 suspect, 9 missing. Source: its published file header, from
// memory (Klein Tank et al. 2002, Int. J. Climatol. 22, 1441-1453).
func ecad() layout {
	col := func(e weather.Element, name string) column {
		c := column{element: e, names: []string{name}, flag: "q" + name, reject: ecadSuspect}
		if !temperature(e) {
			c.scale = tenth
		}
		return c
	}
	return layout{
		name: "ECA&D daily", unit: TenthsC,
		need: []string{"souid", "date"},
		id:   []string{"staid"}, date: [][]string{{"date"}},
		site: ecadSite,
		columns: []column{
			col(weather.TMax, "tx"), col(weather.TMin, "tn"), col(weather.TMean, "tg"),
			col(weather.Rain, "rr"), col(weather.Wind, "fg"),
		},
	}
}

func ecadSuspect(flag []byte) bool { return len(flag) != 1 || flag[0] != '0' }

// ecadSite finds the name in "... series of station NAME, COUNTRY (STAID: 12)".
func ecadSite(head [][]byte, p *preface) {
	for _, line := range head {
		_, after, ok := bytes.Cut(line, []byte("series of station "))
		if !ok {
			_, after, ok = bytes.Cut(line, []byte("of station "))
		}
		if name, id, found := bytes.Cut(after, []byte("(STAID")); ok && found {
			digits, _ := leadingDigits(bytes.TrimLeft(id, ": "))
			p.site.ID, p.site.Name = text(digits), text(trim(name))
			return
		}
	}
}
