package config

import (
	"fmt"
	"slices"
	"strings"
)

const (
	maxSuggestions = 3 // keeps an error to one line
	maxEdits       = 3 // more letters astray make another word; our own choice
)

// didYouMean returns `did you mean "x" or "y"?` for the known words nearest to
// a word, or "" where none is near.
func didYouMean(word string, known []string) string { return suggest(nearest(word, known), "") }

// suggest asks whether one of the words is meant, each after a prefix.
func suggest(near []string, prefix string) string {
	if len(near) == 0 {
		return ""
	}
	for i, n := range near {
		near[i] = fmt.Sprintf("%q", prefix+n)
	}
	return "did you mean " + strings.Join(near, " or ") + "?"
}

// Nearest returns the known words that may be meant by a word that is not among
// them, the likeliest first; none where nothing is near.
func Nearest(word string, known []string) []string { return nearest(word, known) }

// nearest returns the known words that are a slip of the keyboard away, nearest
// first, and then those that hold the word or are held by it.
func nearest(word string, known []string) []string {
	w := fold(word)
	type hit struct {
		word string
		far  int
	}
	var slips []hit
	var holds []string
	for _, k := range known {
		f := fold(k)
		if d := edits(w, f); d <= min(max(1, len(w)/3), maxEdits) && d < len(f) {
			slips = append(slips, hit{k, d})
		}
		if len(w) > 2 && (strings.Contains(f, w) || strings.Contains(w, f)) {
			holds = append(holds, k)
		}
	}
	slices.SortStableFunc(slips, func(a, b hit) int { return a.far - b.far })
	var out []string
	for _, s := range slips {
		out = append(out, s.word)
	}
	for _, h := range holds {
		if !slices.Contains(out, h) {
			out = append(out, h)
		}
	}
	return out[:min(len(out), maxSuggestions)]
}

// fold makes names comparable: lower case, commas and repeated blanks gone.
func fold(s string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(s, ",", " "))), " ")
}

// edits returns the number of letters to insert, delete or change to turn a
// into b (Levenshtein's distance), counted in runes.
func edits(a, b string) int {
	ra, rb := []rune(a), []rune(b)
	row := make([]int, len(rb)+1)
	for j := range row {
		row[j] = j
	}
	for i := range ra {
		corner := row[0]
		row[0] = i + 1
		for j := range rb {
			cost := corner
			if ra[i] != rb[j] {
				cost++
			}
			corner = row[j+1]
			row[j+1] = min(cost, corner+1, row[j]+1)
		}
	}
	return row[len(rb)]
}
