package fault

import (
	"sort"
	"strings"
)

// Nearest returns up to n of the known words that are close enough to word to
// be what was meant, nearest first, equals in alphabetical order. Case, hyphens,
// underscores and spaces do not count. A word further away than half its own
// length is not offered: a wild suggestion is worse than none.
func Nearest(word string, known []string, n int) []string {
	const longest = 64 // letters compared; a longer word is no misspelling of a key
	w := fold(word)
	if len(w) == 0 || len(w) > longest {
		return nil
	}
	type near struct {
		word string
		dist int
	}
	var found []near
	for _, k := range known {
		f := fold(k)
		d := Distance(w, f)
		if 2*d <= max(len(w), len(f)) {
			found = append(found, near{k, d})
		}
	}
	sort.Slice(found, func(i, j int) bool {
		if found[i].dist != found[j].dist {
			return found[i].dist < found[j].dist
		}
		return found[i].word < found[j].word
	})
	words := make([]string, 0, n)
	for _, f := range found {
		if len(words) == n {
			break
		}
		words = append(words, f.word)
	}
	return words
}

// fold strips what a person does not mean by a difference in spelling.
func fold(s string) string {
	return strings.NewReplacer("-", "", "_", "", " ", "").Replace(strings.ToLower(s))
}

// Distance counts the single-letter insertions, deletions, replacements and
// swaps of neighbours that turn a into b (restricted Damerau–Levenshtein).
func Distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		for j := 1; j <= len(y); j++ {
			change := 1
			if x[i-1] == y[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(y)]
}
