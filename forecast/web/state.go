package web

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"bloomtide/ingest/weather"
)

// Bounds of a question. Our own choices, wider than any that can be meant.
const (
	mostStands   = 60
	mostHectares = 100000 // ha, as a list of cover may have
	mostBoxes    = 6
	mostColonies = 10000
	mostName     = 120 // characters of a name
	firstYear    = 1800
	lastYear     = 2200
)

// badQuery is a choice in the address that cannot be meant.
type badQuery struct{ field, value, mend string }

func (e *badQuery) Error() string {
	return fmt.Sprintf("%s: %.60q cannot be meant; %s", e.field, e.value, e.mend)
}

// parseAsk reads the choices of an address.
func parseAsk(q url.Values) (Ask, error) {
	a := Ask{Place: q.Get("place"), BroodBox: q.Get("brood"), Super: q.Get("super"), US: q.Get("units") == "us"}
	for field, name := range map[string]string{"place": a.Place, "brood": a.BroodBox, "super": a.Super} {
		if len(name) > mostName {
			return a, &badQuery{field, name, "choose one of the list"}
		}
	}
	for _, read := range []func(url.Values, *Ask) error{readIssue, readPoint, readSetup, readStands} {
		if err := read(q, &a); err != nil {
			return a, err
		}
	}
	return a, nil
}

func readIssue(q url.Values, a *Ask) error {
	s := q.Get("issue")
	if s == "" {
		return nil
	}
	d, err := weather.ParseDate(s)
	if err != nil || d.Year() < firstYear || d.Year() > lastYear {
		return &badQuery{"issue date", s, "write it as 2027-04-14"}
	}
	a.Issue = d
	return nil
}

func readPoint(q url.Values, a *Ask) error {
	if q.Get("lat") == "" && q.Get("lon") == "" {
		return nil
	}
	p := Point{}
	for _, c := range []struct {
		field string
		to    *float64
		most  float64
	}{{"lat", &p.Lat, 90}, {"lon", &p.Lon, 180}} {
		x, err := strconv.ParseFloat(strings.TrimSpace(q.Get(c.field)), 64)
		if err != nil || !(math.Abs(x) <= c.most) {
			return &badQuery{c.field, q.Get(c.field), fmt.Sprintf("write degrees from -%g to %g, with a point", c.most, c.most)}
		}
		*c.to = x
	}
	a.Point = &p
	return nil
}

func readSetup(q url.Values, a *Ask) error {
	if s := q.Get("boxes"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil || n < 1 || n > mostBoxes {
			return &badQuery{"brood boxes", s, fmt.Sprintf("write a number from 1 to %d", mostBoxes)}
		}
		a.BroodBoxes = n
	}
	if s := q.Get("colonies"); s != "" {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil || !(x >= 1 && x <= mostColonies) {
			return &badQuery{"colonies in reach", s, fmt.Sprintf("write a number from 1 to %d", mostColonies)}
		}
		a.Colonies = x
	}
	return nil
}

// readStands pairs the plants of the address with their hectares. A pair
// without a plant or with nothing of it is left out.
func readStands(q url.Values, a *Ask) error {
	plants, ha := q["plant"], q["ha"]
	if len(plants) > mostStands {
		return &badQuery{"forage", strconv.Itoa(len(plants)) + " stands", fmt.Sprintf("give %d at most", mostStands)}
	}
	for i, p := range plants {
		if p = strings.TrimSpace(p); p == "" || i >= len(ha) || strings.TrimSpace(ha[i]) == "" {
			continue
		}
		x, err := strconv.ParseFloat(strings.TrimSpace(ha[i]), 64)
		if err != nil || !(x >= 0 && x <= mostHectares) {
			return &badQuery{p, ha[i], "write hectares, with a point"}
		}
		if len(p) > mostName {
			return &badQuery{"plant", p, "choose one of the list"}
		}
		if x > 0 {
			a.Stands = append(a.Stands, Stand{p, x})
		}
	}
	return nil
}

// query writes the question as an address has it, one form for each question.
func (a Ask) query() string {
	q := url.Values{}
	put := func(k, v string) {
		if v != "" {
			q.Add(k, v)
		}
	}
	put("place", a.Place)
	if a.Point != nil {
		put("lat", num(a.Point.Lat))
		put("lon", num(a.Point.Lon))
	}
	if a.Issue != 0 {
		put("issue", a.Issue.String())
	}
	for _, s := range a.Stands {
		put("plant", s.Plant)
		put("ha", num(s.Hectares))
	}
	put("brood", a.BroodBox)
	put("super", a.Super)
	if a.BroodBoxes != 0 {
		put("boxes", strconv.Itoa(a.BroodBoxes))
	}
	if a.Colonies != 0 {
		put("colonies", num(a.Colonies))
	}
	if a.US {
		put("units", "us")
	}
	return q.Encode()
}

func num(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// over puts the choices of an address over a place's own settings.
func (a Ask) over(own Ask) Ask {
	own.Place, own.Point, own.US = a.Place, a.Point, a.US || own.US
	if a.Issue != 0 {
		own.Issue = a.Issue
	}
	if len(a.Stands) > 0 {
		own.Stands = slices.Concat(a.Stands, slices.DeleteFunc(slices.Clone(own.Stands), func(s Stand) bool {
			return s.Hectares > 0 || slices.ContainsFunc(a.Stands, func(x Stand) bool { return x.Plant == s.Plant })
		}))
	}
	if a.BroodBox != "" {
		own.BroodBox = a.BroodBox
	}
	if a.BroodBoxes != 0 {
		own.BroodBoxes = a.BroodBoxes
	}
	if a.Super != "" {
		own.Super = a.Super
	}
	if a.Colonies != 0 {
		own.Colonies = a.Colonies
	}
	return own
}
