package format

import "strings"

// stem makes a station's name of a file's name: without folder, endings, years
// and the words that tell a file of minima from one of maxima.
func stem(name string) string {
	if i := strings.LastIndexAny(name, "/\\:"); i >= 0 {
		name = name[i+1:]
	}
	for _, ext := range []string{".gz", ".zip", ".bz2", ".zst", ".csv", ".txt", ".tsv", ".dat"} {
		if n := len(name) - len(ext); n > 0 && strings.EqualFold(name[n:], ext) {
			name = name[:n]
		}
	}
	parts := strings.FieldsFunc(name, func(r rune) bool { return r == '-' || r == '_' || r == ' ' })
	var keep []string
	for _, p := range parts {
		switch strings.ToLower(p) {
		case "tmin", "tmax", "min", "max", "minimum", "maximum", "tn", "tx", "daily", "temperature":
			continue
		}
		if n, ok := whole([]byte(p)); ok && len(p) == 4 && n >= Oldest && n <= Newest {
			continue
		}
		keep = append(keep, p)
	}
	if len(keep) == 0 {
		return "record"
	}
	return text([]byte(strings.Join(keep, "-")))
}

func firstNonEmpty(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
