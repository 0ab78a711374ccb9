package config

import (
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"bloomtide/ingest/weather"
)

var (
	dateType    = reflect.TypeFor[weather.Date]()
	stringsType = reflect.TypeFor[[]string]()
)

// decodeHook reads issue dates, quoted or not: YAML turns an unquoted one into
// a time. It also keeps a single file name whole, which viper would split at
// commas.
func decodeHook(from, to reflect.Type, data any) (any, error) {
	switch to {
	case dateType:
		return decodeDate(data)
	case stringsType:
		if s, ok := data.(string); ok {
			return []string{s}, nil
		}
	}
	return data, nil
}

func decodeDate(data any) (weather.Date, error) {
	switch d := data.(type) {
	case time.Time:
		return weather.FromTime(d), nil
	case string:
		if v := fold(d); v == "" || v == "today" {
			return 0, nil
		}
		return weather.ParseDate(strings.TrimSpace(d))
	}
	return 0, fmt.Errorf("not a date of the form YYYY-MM-DD: %v", data)
}

// checkKinds compares the value of every key that was told with the kind of its
// default, since the decoder bends one kind into another (true into 1) and names
// no place.
func (l *layers) checkKinds() error {
	d := defaults()
	for _, k := range slices.Sorted(slices.Values(l.v.AllKeys())) {
		value := l.v.Get(k)
		if value == nil {
			continue // a name without a value
		}
		what, mend := kindFault(d[k], value)
		if k == "issue" {
			if _, err := decodeDate(value); err != nil {
				what, mend = err.Error(), "write it as 2027-04-14"
			}
		}
		if what != "" {
			return &UsageError{Where: l.where(k), What: what, Mend: mend}
		}
	}
	return l.checkStandKinds()
}

// kindFault returns what is wrong with a value whose default is like, and the
// mend; "" if nothing is.
func kindFault(like, value any) (what, mend string) {
	text := strings.TrimSpace(fmt.Sprint(value))
	var ok bool
	switch like.(type) {
	case float64:
		ok, mend = isNumber(value), "write a number such as 47.5, with a point and no unit"
		what = "is not a number"
	case int:
		_, err := strconv.Atoi(text)
		ok, mend = err == nil, "write a whole number such as 2"
		what = "is not a whole number"
	case bool:
		ok, mend = slices.Contains([]string{"true", "false"}, text), "write true or false"
		what = "is neither true nor false"
	case []string:
		ok, mend = allScalar(value), `write one name, or a list with "- " before each`
		what = "is not a list of names"
	case []any:
		_, ok = value.([]any)
		what, mend = "is not a list", `begin each entry with "- "`
	default:
		ok, mend = isScalar(value), "write one value; put it in quotes if it holds : or #"
		what = "is not plain text"
	}
	if ok {
		return "", ""
	}
	return fmt.Sprintf("%q %s", text, what), mend
}

func isNumber(value any) bool {
	switch x := value.(type) {
	case int, int64, uint64, float64:
		return true
	case string:
		_, err := strconv.ParseFloat(strings.TrimSpace(x), 64)
		return err == nil
	}
	return false
}

func isScalar(value any) bool {
	switch value.(type) {
	case string, int, int64, uint64, float64, bool, time.Time:
		return true
	}
	return false
}

func allScalar(value any) bool {
	switch list := value.(type) {
	case []string:
		return true
	case []any:
		return !slices.ContainsFunc(list, func(v any) bool { return !isScalar(v) })
	}
	return isScalar(value)
}

// standFields are the settings of a stand.
var standFields = []string{"plant", "hectares"}

// checkStandKinds looks into the entries of the list of stands.
func (l *layers) checkStandKinds() error {
	list, _ := l.v.Get("stands").([]any)
	for i, entry := range list {
		fields, ok := entry.(map[string]any)
		if !ok {
			return &UsageError{Where: l.standLine(i), What: fmt.Sprintf("%q is not a stand", fmt.Sprint(entry)),
				Mend: `write "- plant: white clover" and below it "hectares: 12"`}
		}
		for _, k := range slices.Sorted(maps.Keys(fields)) {
			if !slices.Contains(standFields, k) {
				mend := didYouMean(k, standFields)
				if mend == "" {
					mend = "a stand has " + strings.Join(standFields, " and ")
				}
				return &UsageError{Where: l.standLine(i), What: fmt.Sprintf("unknown setting %q", k), Mend: mend}
			}
		}
		if h, ok := fields["hectares"]; ok && !isNumber(h) {
			return &UsageError{Where: l.standLine(i), What: fmt.Sprintf("hectares %q is not a number", fmt.Sprint(h)), Mend: "write a number such as 3.5, with a point and no unit"}
		}
		if p, ok := fields["plant"]; ok && !isScalar(p) {
			return &UsageError{Where: l.standLine(i), What: fmt.Sprintf("plant %q is not a name", fmt.Sprint(p)), Mend: "write one plant for each stand"}
		}
	}
	return nil
}

// badName finds the key in the decoder's message.
var badName = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`'([^']+)'`) })

// decodeError gives a place to what the decoder alone has noticed.
func (l *layers) decodeError(err error) error {
	text := strings.Join(strings.Fields(err.Error()), " ")
	where := l.o.File
	if m := badName().FindStringSubmatch(text); m != nil {
		where = l.where(strings.ToLower(m[1]))
	}
	return &UsageError{Where: where, What: "cannot be read: " + text, Mend: "`bloomtide init` writes an example"}
}
