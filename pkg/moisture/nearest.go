package moisture

import (
	"slices"
	"strings"
)

// nearest returns the n known keys closest to a name: those that hold it or are
// held by it first, then by the number of letters to change.
func nearest(name string, known []string, n int) []string {
	name = strings.ToLower(strings.TrimSpace(name))
	if len(name) > 60 { // a longer text is no slip of the pen
		return nil
	}
	cost := func(key string) int {
		d := letters(name, key)
		if len(name) > 2 && (strings.Contains(key, name) || strings.Contains(name, key)) {
			d -= 100
		}
		return d
	}
	list := slices.Clone(known)
	slices.SortStableFunc(list, func(a, b string) int { return cost(a) - cost(b) })
	return list[:min(n, len(list))]
}

// letters is the Levenshtein distance: the fewest letters to insert, drop or change.
func letters(a, b string) int {
	last := make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range len(a) {
		diagonal := last[0]
		last[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = last[j+1]
			last[j+1] = min(change, last[j]+1, last[j+1]+1)
		}
	}
	return last[len(b)]
}
