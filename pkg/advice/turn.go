package advice

import (
	"fmt"
	"strings"

	"github.com/tanrad/tanrad/pkg/arrange"
)

// mostNamed is how many blocks a sentence names.
const mostNamed = 6

// turnText says which blocks to turn.
func turnText(turns []arrange.Turn, units int) string {
	if len(turns) > mostNamed {
		by := map[string]int{}
		var order []string
		for _, t := range turns {
			if by[t.How] == 0 {
				order = append(order, t.How)
			}
			by[t.How]++
		}
		parts := make([]string, len(order))
		for i, how := range order {
			parts[i] = fmt.Sprintf("%d %s", by[how], how)
		}
		return fmt.Sprintf("Turn %s in their places: %s; the new board file tells which.", count(units, "block"), strings.Join(parts, ", "))
	}
	parts := make([]string, len(turns))
	for i, t := range turns {
		parts[i] = t.Place + " " + t.How
		if t.Piece != "" {
			parts[i] = t.Piece + " to " + t.Place + ", " + t.How
		}
	}
	place := "their places"
	if units == 1 {
		place = "its place"
	}
	return "Turn " + count(units, "block") + " in " + place + ": " + strings.Join(parts, "; ") + "."
}

func costOfTurns(n int) string { return count(n, "block") + " turned; the pattern stays" }

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
