package county

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// NotFoundError says that no county is called so.
type NotFoundError struct {
	Query string
	Near  []string // counties that may be meant, as they can be asked for
	Mend  string
}

// Error names the query and what may be meant.
func (e *NotFoundError) Error() string {
	s := fmt.Sprintf("no county for %q", e.Query)
	if len(e.Near) > 0 {
		s += "; did you mean " + orList(e.Near) + "?"
	}
	if e.Mend != "" {
		s += "; " + e.Mend
	}
	return s
}

// AmbiguousError says that several counties are called so.
type AmbiguousError struct {
	Query  string
	Choice []County
}

// Error names the first few of them.
func (e *AmbiguousError) Error() string {
	const most = 6
	var names []string
	for _, c := range e.Choice[:min(most, len(e.Choice))] {
		names = append(names, fmt.Sprintf("%s (%s)", c, c.FIPS))
	}
	s := strings.Join(names, "; ")
	if n := len(e.Choice) - most; n > 0 {
		s += fmt.Sprintf("; and %d more", n)
	}
	return fmt.Sprintf("%d counties are called %q: %s; add the state, the word county or city, or give the five digits", len(e.Choice), e.Query, s)
}

func orList(names []string) string {
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = fmt.Sprintf("%q", n)
	}
	return strings.Join(quoted, " or ")
}

// Find returns the county that a word means: its FIPS code, or its name with
// the state in full or as postal code, with or without the word county, in any
// case and with or without accents and blanks. A name that only one state has
// needs no state. The error is a *NotFoundError or an *AmbiguousError.
func (a *Atlas) Find(query string) (County, error) {
	if code, ok := digitsOnly(query); ok {
		return a.byCode(query, code)
	}
	name, in := a.splitState(query)
	found := a.named(name, in)
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return County{}, &AmbiguousError{query, found}
	}
	return County{}, &NotFoundError{Query: query, Near: a.suggest(name, in), Mend: mendFind(name, in)}
}

func mendFind(name, in string) string {
	if name != "" && in == "" {
		return "write name and state, such as \"Linn, Iowa\""
	}
	return ""
}

func digitsOnly(s string) (string, bool) {
	s = strings.TrimSpace(s)
	if len(s) == 4 {
		s = "0" + s // a spreadsheet took the leading zero
	}
	if len(s) != 5 {
		return "", false
	}
	return s, strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' }) < 0
}

func (a *Atlas) byCode(query, code string) (County, error) {
	if i, ok := a.byFIPS[code]; ok {
		return a.counties[i], nil
	}
	for _, old := range aliases() {
		if old.fips == code {
			return a.answer(old), nil
		}
	}
	e := &NotFoundError{Query: query, Mend: "a county code has five digits, the first two of the state"}
	for _, s := range states() {
		if strings.HasPrefix(code, s.fips) {
			e.Mend = fmt.Sprintf("%s has no county %s", s.name, code[2:])
		}
	}
	return County{}, e
}

func (a *Atlas) answer(old alias) County {
	c := a.counties[a.byFIPS[old.to]]
	c.Note = fmt.Sprintf("%s (%s): %s", old.name, old.fips, old.why)
	return c
}

// splitState takes the state from the end of a query: after a comma, or the
// longest last words that name one. in is its postal code or "".
func (a *Atlas) splitState(query string) (name, in string) {
	query = strings.TrimSpace(strings.TrimRight(query, ". "))
	if at := strings.LastIndexByte(query, ','); at >= 0 {
		if s, ok := a.states[key(query[at+1:])]; ok {
			return strings.TrimSpace(query[:at]), s.postal
		}
	}
	words := strings.Fields(strings.ReplaceAll(query, ",", " "))
	for i := 1; i < len(words); i++ {
		if s, ok := a.states[key(strings.Join(words[i:], " "))]; ok {
			return strings.Join(words[:i], " "), s.postal
		}
	}
	return strings.Join(words, " "), ""
}

// kinds are the words that may follow a county's name.
func kinds() []string {
	return []string{"cityandborough", "censusarea", "planningregion", "municipality", "municipio", "district", "borough", "county", "parish", "island", "city", "co"}
}

// named returns the counties of a name, the kind of which may follow it.
func (a *Atlas) named(name, in string) []County {
	k := key(name)
	if k == "" {
		return nil
	}
	if found := a.filter(a.byKey[k], in, ""); len(found) > 0 {
		return found
	}
	for _, kind := range kinds() {
		if bare, ok := strings.CutSuffix(k, kind); ok && bare != "" {
			if found := a.filter(a.byKey[bare], in, kind); len(found) > 0 {
				return found
			}
		}
	}
	for _, old := range aliases() {
		c := a.counties[a.byFIPS[old.to]]
		if ok := key(old.name); (ok == k || ok+"planningregion" == k || ok+"censusarea" == k || ok+"county" == k) && (in == "" || in == c.State) {
			return []County{a.answer(old)}
		}
	}
	return nil
}

// filter keeps the counties of a state, and of a kind where city and county
// share a name.
func (a *Atlas) filter(at []int, in, kind string) []County {
	var out []County
	for _, i := range at {
		c := a.counties[i]
		if in == "" || c.State == in {
			out = append(out, c)
		}
	}
	if kind == "city" || kind == "county" {
		kept := slices.DeleteFunc(slices.Clone(out), func(c County) bool { return c.City() != (kind == "city") })
		if len(kept) > 0 {
			return kept
		}
	}
	return out
}

// suggest returns the counties whose names are a slip away, nearest first.
func (a *Atlas) suggest(name, in string) []string {
	const (
		most   = 3 // keeps the message to one line
		letter = 3 // one slip for every three letters, our own choice
	)
	k := key(name)
	for _, kind := range kinds() {
		if bare, ok := strings.CutSuffix(k, kind); ok && len(bare) > 2 {
			k = bare
			break
		}
	}
	type hit struct {
		name string
		far  int
	}
	var hits []hit
	for _, c := range a.counties {
		if in != "" && c.State != in {
			continue
		}
		if d := edits(k, key(c.Name)); d <= max(1, len(k)/letter) {
			hits = append(hits, hit{c.String(), d})
		}
	}
	if len(hits) == 0 && in != "" {
		return a.elsewhere(k)
	}
	slices.SortStableFunc(hits, func(x, y hit) int { return cmp.Compare(x.far, y.far) })
	var out []string
	for _, h := range hits[:min(most, len(hits))] {
		out = append(out, h.name)
	}
	return out
}

// elsewhere returns counties of exactly that name in other states.
func (a *Atlas) elsewhere(k string) []string {
	const most = 3
	var out []string
	for _, i := range a.byKey[k] {
		if len(out) < most {
			out = append(out, a.counties[i].String())
		}
	}
	return out
}

// key folds a name: small letters a to z only, accents and blanks gone, saint
// shortened.
func key(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z':
			b.WriteRune(r)
		case unicode.IsLetter(r):
			b.WriteString(plain(r))
		}
	}
	k := b.String()
	switch {
	case strings.HasPrefix(k, "sainte"):
		return "ste" + k[len("sainte"):]
	case strings.HasPrefix(k, "saint"):
		return "st" + k[len("saint"):]
	}
	return k
}

// plain returns the letter under an accent, for the accents that names of
// counties in the United States and Puerto Rico have.
func plain(r rune) string {
	const accented, bare = "áàâäãåéèêëíìîïóòôöõúùûüñç", "aaaaaaeeeeiiiiooooouuuunc"
	at := 0
	for _, a := range accented {
		if a == r {
			return bare[at : at+1]
		}
		at++
	}
	return ""
}

// edits returns the letters to insert, delete or change to turn a into b
// (Levenshtein's distance).
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		corner := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := corner
			if a[i] != b[j] {
				cost++
			}
			corner = row[j+1]
			row[j+1] = min(cost, corner+1, row[j]+1)
		}
	}
	return row[len(b)]
}
